package bridge_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"panside/internal/book"
	"panside/internal/book/booktest"
	"panside/internal/book/data"
	"panside/internal/bridge"
)

// bookPhone is a phone that fetches from files what its core needs, as the
// app's worker does.
type bookPhone struct {
	t       *testing.T
	core    *bridge.Phone
	files   map[string][]byte
	fetched []string
	// language it reads the book in; English if empty.
	language string
}

func newBookPhone(t *testing.T, files map[string][]byte) *bookPhone {
	return &bookPhone{t: t, core: bridge.NewPhone(func(b []byte) { clear(b) }), files: files}
}

func (p *bookPhone) ask(method, question string) string {
	p.t.Helper()
	for range 5 {
		out, _ := p.core.Call(method, []byte(question))
		var answer struct{ Need []string }
		if err := json.Unmarshal(out, &answer); err != nil {
			p.t.Fatal(err)
		}
		if answer.Need == nil {
			return string(out)
		}
		for _, name := range answer.Need {
			p.fetched = append(p.fetched, name)
			line, err := json.Marshal(map[string]any{"language": cmp.Or(p.language, "en"), "name": name, "why": "status 404", "gone": true})
			if err != nil {
				p.t.Fatal(err)
			}
			how, content := "book-put", p.files[name]
			switch {
			case name == book.ManifestName:
				how = "book-open"
			case content == nil:
				how = "book-lost"
			}
			p.core.Call(how, append(append(line, '\n'), content...))
		}
	}
	p.t.Fatalf("%s %s: it needs something for ever: %v", method, question, p.fetched)
	return ""
}

// TestAPhoneAnswersAsTheServerDoes from files that it fetches when they are needed.
func TestAPhoneAnswersAsTheServerDoes(t *testing.T) {
	p := newBookPhone(t, data.Files())
	for _, q := range []struct{ method, question string }{
		{"judge", `{"denomination":"cent","year":1982,"mean_g":2.5,"u_g":0.01,"resolution_g":0.01}`},
		{"judge", `{"country":"GB","denomination":"penny","value":"3.56"}`},
		{"judge", `{"country":"ZZ","denomination":"cent","value":"3"}`},
		{"look", `{"denomination":"dime","year":1982,"mint":"-"}`},
		{"key", `{"hint":"light"}`}, {"dated", `{"denomination":"dime","kind":"doubled-die"}`}, {"book", `{}`}, {"coins", `{"text":"silver"}`},
		{"roll", `{"issue":"dime 1998","total_g":"113.40"}`},
		{"density", `{"method":"hung","dry_g":"3.11","wet_g":"2.76","water_c":"20"}`},
	} {
		if got, want := p.ask(q.method, q.question), string(bridge.Call(q.method, []byte(q.question))); got != want {
			t.Errorf("%s %s:\n%.300s\nwant\n%.300s", q.method, q.question, got, want)
		}
	}
	if seen := strings.Join(p.fetched, " "); strings.Count(seen, "metals") != 1 || strings.Contains(seen, "/us/nickel") {
		t.Errorf("fetched: %s", seen)
	}
}

// TestAJudgementDoesNotDependOnWhatElseIsLoaded: with strays from one country only,
// a coin gets the same verdict before and after another country is opened.
func TestAJudgementDoesNotDependOnWhatElseIsLoaded(t *testing.T) {
	files := booktest.FewerStrays(t)
	before := newBookPhone(t, files)
	after := newBookPhone(t, files)
	after.ask("coins", `{}`) // opens all countries
	for _, weight := range []string{"7.81", "5.65", "3.56", "6.5", "8.5"} {
		q := `{"denomination":"quarter","value":"` + weight + `"}`
		if alone, among := before.ask("judge", q), after.ask("judge", q); alone != among {
			t.Errorf("%s g:\n%.400s\nwith all countries loaded\n%.400s", weight, alone, among)
		}
	}
	if strings.Contains(strings.Join(before.fetched, " "), "/gb-") {
		t.Errorf("a coin of the United States fetched %v", before.fetched)
	}
}

// TestWhatCannotBeHadIsSaid: a file that the server no longer has, a damaged one,
// and a manifest of another version.
func TestWhatCannotBeHadIsSaid(t *testing.T) {
	for what, spoil := range map[string]func(name string, content []byte) []byte{
		"book-version": func(name string, content []byte) []byte {
			if strings.Contains(name, "/us-") {
				return nil
			}
			return content
		},
		"book-damaged": func(name string, content []byte) []byte {
			if strings.Contains(name, "/us-") {
				return content[1:]
			}
			return content
		},
		`book-version","sentence":"The app`: func(name string, content []byte) []byte {
			if name == book.ManifestName {
				return bytes.Replace(content, fmt.Appendf(nil, `"format":%d`, book.Format), fmt.Appendf(nil, `"format":%d`, book.Format+1), 1)
			}
			return content
		},
	} {
		files := map[string][]byte{}
		for name, content := range data.Files() {
			files[name] = spoil(name, content)
		}
		p := newBookPhone(t, files)
		if got := p.ask("judge", `{"denomination":"cent","value":"3.11"}`); !strings.Contains(got, `{"error":{"code":"`+what) {
			t.Errorf("want %s: %s", what, got)
		}
	}
}
