package data_test

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"panside/internal/book"
	"panside/internal/book/data"
	"panside/internal/say"
)

// TestTemplatesAreRefusedByLine: what is wrong with a template is told with file and line.
func TestTemplatesAreRefusedByLine(t *testing.T) {
	files := fstest.MapFS{}
	err := fs.WalkDir(data.Sources(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(data.Sources(), name)
		files[name] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for content, want := range map[string]string{
		"{\n\"no-such-code\": \"a\"}":           "say/test.es.json:2: no-such-code is no code of English",
		"{\n\n\"x\": \"a {\"}":                  "say/test.es.json:3: x: byte 3: an argument has no name",
		"{\n\"x\": 1}":                          "say/test.es.json:2: ",
		"[]":                                    "say/test.es.json:1: no object of templates",
		"{\"x\": \"a\",\n\"x\": \"{a, date}\"}": "say/test.es.json:2: x: byte 3: no format: date",
		"{\"x\": \"a\",\n\n\n\"x\": \"b\"":      "say/test.es.json:4: ",
	} {
		files["say/test.es.json"] = &fstest.MapFile{Data: []byte(content)}
		_, err := data.Build(files)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", content, err, want)
		}
	}
}

// TestShelfSpeaksItsLanguage: with the region's decimal sign, and English until the
// templates are at hand.
func TestShelfSpeaksItsLanguage(t *testing.T) {
	for language, want := range map[string]string{"en": "en", "es": "es", "es-MX": "es-MX", "fr": "en"} {
		s, err := data.Open(data.Files(), language)
		if err != nil {
			t.Fatal(err)
		}
		coins, err := s.Coins()
		if err != nil {
			t.Fatal(err)
		}
		if got := coins.Tongue().Language(); got != want || s.Tongue().Language() != want {
			t.Errorf("opened in %s it speaks %s", language, got)
		}
	}
	s := book.NewShelf()
	if err := s.Open(data.Files()[book.ManifestName], "es"); err != nil {
		t.Fatal(err)
	}
	if s.Tongue() != say.English {
		t.Error("without its templates it doesn’t speak English")
	}
	if _, err := s.Speak(); err == nil {
		t.Error("the templates aren’t asked for")
	}
}
