package bridge_test

import (
	"encoding/json"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/bridge"
)

func sentenceIn(t *testing.T, answer string) string {
	t.Helper()
	var a struct {
		Error struct{ Sentence string }
	}
	if err := json.Unmarshal([]byte(answer), &a); err != nil {
		t.Fatalf("%v in %s", err, answer)
	}
	return a.Error.Sentence
}

// TestErrorsInTheLanguageOfTheShelf on both homes alike, with values, lists, nouns of the
// book and endings; a language that there isn't gives English.
func TestErrorsInTheLanguageOfTheShelf(t *testing.T) {
	for _, q := range []struct{ method, question, spanish, english string }{
		{"judge", `{"denomination":"cent","value":"3,11"}`,
			"“3,11” no es un número. Escríbelo como 3.11.", "“3,11” isn’t a number. Write it like 3.11."},
		{"judge", `{"denomination":"cent","value":"3.11","year":1700}`, " de 1793–1814 y 1816–", "The coin book has no cent of 1700 (United States). It has cents of 1793–1814 and 1816–"},
		{"look", `{"denomination":"dime","year":1916,"mint":"CC"}`,
			" de ese año llevan ninguna marca, D o S.", "No dime of 1916 was struck with the mint mark CC. Those of that year carry no mark, D or S."},
		{"roll", `{"issue":"US/cent 1990x","total_g":"100"}`, "El libro de monedas no tiene la emisión “US/cent 1990x”.", "The coin book has no issue “US/cent 1990x”."},
		{"scale-check", `{"weights":[{"nominal_g":"20","class":"M1"}],"readings":[{"shown":"12.00"},{"shown":"12.00"}]}`,
			"“12 g” no puede ser lo que se lee con 20 g M1 en el platillo: ¿otra pesa, o un dedo encima? Si la báscula de veras muestra eso, ajústala primero, como dice su manual. No se calculó nada.",
			"“12 g” can’t be the display with 20 g M1 on the pan: another weight, or a finger on it? If the scale shows that indeed, adjust it first, as its manual says. Nothing was computed."},
		{"no-such-method", `{}`, "El programa no conoce ese método.", "The core has no method of that name."},
	} {
		for language, want := range map[string]string{"es-419": q.spanish, "xx": q.english} {
			if got := sentenceIn(t, string(bridge.CallIn(language, q.method, []byte(q.question)))); !strings.Contains(got, want) {
				t.Errorf("%s in %s: %q, want %q", q.method, language, got, want)
			}
			p := newBookPhone(t, data.Files())
			p.language = language
			p.ask("judge", `{"denomination":"cent","value":"3.11"}`) // fetches the templates
			if got := sentenceIn(t, p.ask(q.method, q.question)); !strings.Contains(got, want) {
				t.Errorf("%s on a phone in %s: %q, want %q", q.method, language, got, want)
			}
		}
	}
}

// TestAPhoneSpeaksOfItsRecordsInItsLanguage: what can’t be saved, and a find’s caution.
func TestAPhoneSpeaksOfItsRecordsInItsLanguage(t *testing.T) {
	p := newBookPhone(t, data.Files())
	p.language = "es"
	p.ask("judge", `{"denomination":"cent","value":"3.11"}`)
	p.ask("journal-write", `{"now":1,"kind":"find","set":{"kind":"counterfeit","fate":"spend"}}`)
	if list := p.ask("journal-list", `{"kind":"find"}`); !strings.Contains(list, "Una moneda que puede ser falsa no se gasta") {
		t.Error(list)
	}
	if got := sentenceIn(t, p.ask("journal-write", `{"now":2,"kind":"find","set":{"fate":"eat"}}`)); got != "Un hallazgo se guarda, se muestra a alguien para una segunda opinión, se cambia, se gasta o se devuelve al banco. No se guardó nada; corrígelo y guarda otra vez." {
		t.Error(got)
	}
}
