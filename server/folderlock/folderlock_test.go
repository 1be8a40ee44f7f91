package folderlock_test

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/server/folderlock"
)

func TestOneAtATime(t *testing.T) {
	dir := t.TempDir()
	first, err := folderlock.Hold(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := folderlock.Hold(dir); err == nil || fault.Of(err).Code != fault.DataFolder || !strings.Contains(fault.Of(err).English(), "Another Panside") {
		t.Errorf("a second one: %v", err)
	}
	if err := first.Release(); err != nil {
		t.Fatal(err)
	}
	again, err := folderlock.Hold(dir)
	if err != nil {
		t.Fatalf("after the first has gone: %v", err)
	}
	if err := again.Release(); err != nil {
		t.Fatal(err)
	}
	if _, err := folderlock.Hold(filepath.Join(dir, "none")); err == nil || fault.Of(err).Code != fault.DataFolder {
		t.Errorf("no folder: %v", err)
	}
}

// TestTheLocksFileIsRemoved: a new file of the name would be free, the folder
// isn't.
func TestTheLocksFileIsRemoved(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows removes no file that is open")
	}
	dir := t.TempDir()
	first, err := folderlock.Hold(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, "panside.lock")); err != nil {
		t.Fatal(err)
	}
	if second, err := folderlock.Hold(dir); err == nil {
		t.Errorf("a second one has the folder: %v", second.Release())
	} else if !strings.Contains(fault.Of(err).English(), "Another Panside") {
		t.Error(err)
	}
	if err := first.Release(); err != nil {
		t.Fatal(err)
	}
	again, err := folderlock.Hold(dir)
	if err != nil {
		t.Fatalf("after the first has gone: %v", err)
	}
	if err := again.Release(); err != nil {
		t.Fatal(err)
	}
}
