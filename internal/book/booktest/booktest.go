// Package booktest builds coin books for tests that the real one can't serve.
package booktest

import (
	"bytes"
	"io/fs"
	"slices"
	"testing"
	"testing/fstest"

	"panside/internal/book/data"
)

// FewerStrays is the real book, but that coins of the United States have strays
// from Canada alone: the files of other countries are then needed by nobody who
// doesn't ask for them.
func FewerStrays(t testing.TB) map[string][]byte {
	t.Helper()
	const from = `"strays_from": ["CA",` // and more countries, to the line's end
	sources, found := fstest.MapFS{}, false
	err := fs.WalkDir(data.Sources(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(data.Sources(), name)
		before, list, ok := bytes.Cut(raw, []byte(from))
		if _, after, closed := bytes.Cut(list, []byte("]")); ok && closed && !found {
			raw, found = slices.Concat(before, []byte(`"strays_from": ["CA"]`), after), true
		}
		sources[name] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if !found {
		t.Fatal("no country of the book has strays as this test expects them")
	}
	files, err := data.Build(sources)
	if err != nil {
		t.Fatal(err)
	}
	return files
}
