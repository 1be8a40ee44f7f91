// Package booktest builds coin books for tests that the real one can't serve.
package booktest

import (
	"io/fs"
	"regexp"
	"testing"
	"testing/fstest"

	"panside/internal/book/data"
)

// FewerStrays is the real book, but that coins of the United States have strays
// from Canada alone: the files of other countries are then needed by nobody who
// doesn't ask for them.
func FewerStrays(t testing.TB) map[string][]byte {
	t.Helper()
	real := regexp.MustCompile(`"strays_from": \["CA","GB","EU",.*\]`)
	sources, found := fstest.MapFS{}, false
	err := fs.WalkDir(data.Sources(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(data.Sources(), name)
		found = found || real.Match(raw)
		sources[name] = &fstest.MapFile{Data: real.ReplaceAll(raw, []byte(`"strays_from": ["CA"]`))}
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
