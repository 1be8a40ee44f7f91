package durable

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
)

var errBroken = errors.New("the disk fails")

// watched is a disk that writes down its steps and fails at one of them; 0 is
// none. A write that fails has written half.
func watched(failAt int, steps *[]string) Disk {
	step := func(what string) error {
		if *steps = append(*steps, what); len(*steps) == failAt {
			return errBroken
		}
		return nil
	}
	return Disk{
		Sync: func(f *os.File) error {
			if err := step("sync " + filepath.Base(f.Name())); err != nil {
				return err
			}
			return f.Sync()
		},
		write: func(f *os.File, b []byte) (int, error) {
			if err := step("write " + filepath.Base(f.Name())); err != nil {
				n, _ := f.Write(b[:len(b)/2])
				return n, err
			}
			return f.Write(b)
		},
		rename: func(from, to string) error {
			if err := step("rename"); err != nil {
				return err
			}
			return os.Rename(from, to)
		},
	}
}

// TestAFileIsWholeWhateverFails: what stands under the name is the old content or
// the new, and nothing is left beside it.
func TestAFileIsWholeWhateverFails(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("folders aren't synced there")
	}
	for failAt := range 5 {
		dir := filepath.Join(t.TempDir(), "data")
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, "settings.json")
		if err := WriteFile(file, []byte("the old content")); err != nil {
			t.Fatal(err)
		}
		var steps []string
		err := watched(failAt, &steps).WriteFile(file, []byte("the new content"))
		want := []string{"write .settings.json.new", "sync .settings.json.new", "rename", "sync data"}
		if failAt > 0 {
			want = want[:failAt]
		}
		if !slices.Equal(steps, want) || (failAt == 0) != (err == nil) || err != nil && !errors.Is(err, errBroken) {
			t.Errorf("failing at %d: %q, %v", failAt, steps, err)
		}
		content, err := os.ReadFile(file)
		holds := "the new content"
		if failAt > 0 && failAt < 4 {
			holds = "the old content"
		}
		if err != nil || string(content) != holds {
			t.Errorf("failing at %d it holds %q, %v", failAt, content, err)
		}
		list, err := os.ReadDir(dir)
		if err != nil || len(list) != 1 {
			t.Errorf("failing at %d there lie %v, %v", failAt, list, err)
		}
	}
}

// TestTheOldFileIsLeftAlone: whoever has the old one open reads it to its end.
func TestTheOldFileIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	file, other := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	if err := WriteFile(file, []byte("old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Link(file, other); err != nil {
		t.Skip(err)
	}
	if err := WriteFile(file, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if old, err := os.ReadFile(other); err != nil || string(old) != "old" {
		t.Errorf("the old one holds %q, %v", old, err)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 && runtime.GOOS != "windows" {
		t.Errorf("%v, %v", info.Mode(), err)
	}
}

// TestWhatAKilledProgramLeftIsTakenAway by the next try.
func TestWhatAKilledProgramLeftIsTakenAway(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a")
	if err := os.WriteFile(filepath.Join(dir, ".a.new"), []byte("half of something much longer"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(file, []byte("new")); err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(file)
	list, err2 := os.ReadDir(dir)
	if err != nil || err2 != nil || string(content) != "new" || len(list) != 1 {
		t.Errorf("%q and %v, %v, %v", content, list, err, err2)
	}
}

func TestContentThatBreaksOff(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a")
	err := Write(file, 0o644, func(w io.Writer) error {
		if _, err := io.WriteString(w, "half"); err != nil {
			return err
		}
		return errBroken
	})
	if _, there := os.Stat(file); !errors.Is(err, errBroken) || there == nil {
		t.Errorf("%v, %v", err, there)
	}
	if err := WriteFile(filepath.Join(t.TempDir(), "gone", "a"), nil); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder that isn't there took it: %v", err)
	}
	if err := SyncFolder(filepath.Join(t.TempDir(), "gone")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder that isn't there: %v", err)
	}
}
