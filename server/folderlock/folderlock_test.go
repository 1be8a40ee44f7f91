package folderlock_test

import (
	"path/filepath"
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
	if _, err := folderlock.Hold(dir); err == nil || fault.Of(err).Code != fault.DataFolder || !strings.Contains(fault.Of(err).Sentence, "Another Panside") {
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
