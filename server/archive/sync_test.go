package archive

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// TestOnTheDiskBeforeItCounts: an archive has no name before it is on the disk,
// and a file that can't be put there is not extracted.
func TestOnTheDiskBeforeItCounts(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "b.zip")
	from := filepath.Join(t.TempDir(), "some")
	if err := os.WriteFile(from, []byte("some"), 0o600); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("no more")
	for _, want := range []error{broken, nil} {
		w, err := Create(path, filepath.Dir(path), time.Unix(0, 0), "v1", false)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Add(t.Context(), "some", from); err != nil {
			t.Fatal(err)
		}
		w.sync = func(f *os.File) error {
			if _, err := os.Stat(path); err == nil {
				t.Error("it has its name before it is on the disk")
			}
			return want
		}
		if err := w.Close(t.Context()); !errors.Is(err, want) {
			t.Errorf("closed with %v, the sync ended with %v", err, want)
		}
		if _, err := os.Stat(path); (err == nil) != (want == nil) {
			t.Errorf("synced with %v: %v", want, err)
		}
	}
	a, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	a.sync = func(*os.File) error { return broken }
	if err := a.Extract(t.Context(), a.Files[0], filepath.Join(dir, "out")); !errors.Is(err, broken) {
		t.Errorf("extracted with %v", err)
	}
}
