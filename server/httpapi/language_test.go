package httpapi

import (
	"encoding/json"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"panside/internal/bridge"
)

// TestErrorsInTheReadersLanguage: by Accept-Language, and English for one that there
// isn't.
func TestErrorsInTheReadersLanguage(t *testing.T) {
	const (
		spanish = "No hay nada en esta dirección. No cambió nada; vuelve a la primera página."
		english = "There is nothing at this address. Nothing was changed; go back to the first page."
	)
	f := newFixture(t, func(c *Config) { c.Core = bridge.CallIn })
	for accept, want := range map[string]struct{ sentence, language string }{
		"es": {spanish, "es"}, "es-MX,es;q=0.9,en;q=0.8": {spanish, "es-419"}, "de, es;q=0.5": {spanish, "es"},
		"": {english, "en"}, "xx": {english, "en"}, "fr-CA, fr": {english, "en"}, "en, es;q=0.9": {english, "en"},
	} {
		a := f.do(f.secure, "GET", "/api/v1/nothing", "", asPhone, "Accept-Language: "+accept)
		if got := sentenceOf(t, a); got != want.sentence || a.header.Get("Content-Language") != want.language || a.status != 404 {
			t.Errorf("%q: %d %s %q", accept, a.status, a.header.Get("Content-Language"), got)
		}
	}
	// The core's errors, with their field and with numbers as the region writes them.
	for accept, want := range map[string]string{
		"es":    "El espesor de una moneda está entre 0,2 y 20 mm. No se juzgó nada; revisa el número.",
		"es-US": "El espesor de una moneda está entre 0.2 y 20 mm. No se juzgó nada; revisa el número.",
		"xx":    "A coin’s thickness lies between 0.2 and 20 mm. Nothing was judged; check the number.",
	} {
		a := f.do(f.secure, "POST", "/api/v1/core/judge", `{"denomination":"cent","value":"3.11","evidence":{"thickness_mm":90}}`, asPhone, "Accept-Language: "+accept)
		if got := sentenceOf(t, a); got != want || a.status != 400 || !strings.Contains(a.body, `"field":"evidence.thickness_mm"`) {
			t.Errorf("%s: %d %s", accept, a.status, a.body)
		}
	}
	// Before the live stream is one.
	if a := f.do(f.secure, "GET", "/api/v1/live", "", "Accept-Language: es"); !strings.HasPrefix(sentenceOf(t, a), "Esta dirección es para la transmisión en vivo") {
		t.Errorf("%d %s", a.status, a.body)
	}
}

func sentenceOf(t *testing.T, a answered) string {
	t.Helper()
	var e wireError
	if err := json.Unmarshal([]byte(a.body), &e); err != nil {
		t.Fatalf("%v in %s", err, a.body)
	}
	return e.Error.Sentence
}

// TestPagesInTheReadersLanguage: those that are no part of the app.
func TestPagesInTheReadersLanguage(t *testing.T) {
	f := newFixture(t)
	for what, ask := range map[string]func(header ...string) answered{
		"trust":       func(h ...string) answered { return f.do(f.plain, "GET", "/", "", h...) },
		"secure only": func(h ...string) answered { return f.do(f.plain, "GET", "/hunts", "", h...) },
		"not built":   func(h ...string) answered { return f.do(f.secure, "GET", "/", "", h...) },
	} {
		es := ask("Accept-Language: es-AR, en;q=0.5", "User-Agent: Windows")
		if !strings.HasPrefix(es.body, "<!doctype html>\n<html lang=\"es\">") || !strings.Contains(es.body, "sin revisar por un hablante nativo") {
			t.Errorf("%s: %.200s", what, es.body)
		}
		if !strings.Contains(es.header.Get("Vary"), "Accept-Language") {
			t.Errorf("%s: a cache may hand the page to a reader of another language: Vary is %q", what, es.header.Get("Vary"))
		}
		if what == "trust" && !strings.Contains(es.body, "Haz que esta computadora confíe en") {
			t.Errorf("the computer is called a telephone")
		}
		for _, accept := range []string{"", "xx", "en"} {
			if en := ask("Accept-Language: " + accept); !strings.HasPrefix(en.body, "<!doctype html>\n<html lang=\"en\">") {
				t.Errorf("%s in %q: %.200s", what, accept, en.body)
			}
		}
	}
}

// kept are the parts of a page that a translation keeps: elements with their
// attributes, drawings, conditions and places of values.
var kept = regexp.MustCompile(`<[^>]*>|\{\{(template "draw-[^}]*|if eq \.Kind[^}]*|range[^}]*|if \.Own|\.[^}]*)\}\}`)

// TestTranslatedPagesKeepTheSteps: a step, a link or a line to compare that a
// translation lacks would lead its reader astray.
func TestTranslatedPagesKeepTheSteps(t *testing.T) {
	names, err := fs.Glob(pageFiles, "pages/*.es.html")
	if err != nil {
		t.Fatal(err)
	}
	names = slices.DeleteFunc(names, func(n string) bool { return n == "pages/words.es.html" })
	if len(names) != 3 {
		t.Errorf("translated are %v", names)
	}
	partsOf := func(name string) []string {
		raw, err := pageFiles.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		parts := kept.FindAllString(string(raw), -1)
		// The device has a gender in Spanish, so its word isn't a value there.
		return slices.DeleteFunc(parts, func(p string) bool { return p == "{{.Device}}" || strings.HasPrefix(p, "<html ") })
	}
	for _, name := range names {
		es, en := partsOf(name), partsOf(strings.Replace(name, ".es.", ".", 1))
		for i := range max(len(es), len(en)) {
			if i >= len(es) || i >= len(en) || es[i] != en[i] {
				t.Errorf("%s differs from the English page at part %d: %v, want %v", name, i, at(es, i), at(en, i))
				break
			}
		}
	}
}

func at(parts []string, i int) []string { return parts[min(i, len(parts)):min(i+3, len(parts))] }
