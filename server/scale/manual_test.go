package scale

import (
	"log/slog"
	"os"
	"path/filepath"
	"testing"

	"panside/internal/fault"
)

// practicePattern describes the lines of the virtual scale.
const practicePattern = "<state ST=stable US=moving OL=over>,GS,<sign><value>  <unit>"

func TestManualSettingsOfTheRealScale(t *testing.T) {
	dir := t.TempDir()
	log := slog.New(slog.DiscardHandler)
	keeper := newManualFile(dir, log)
	real := Settings{Port: "tcp://127.0.0.1:4001", Unit: "ct", Format: "value-only"}
	for _, s := range []Settings{real, {Port: "virtual", Pattern: practicePattern}} {
		if err := keeper.keep(s); err != nil {
			t.Fatal(err)
		}
	}
	for _, tc := range []struct {
		settings Settings
		practice bool
		kept     bool
		port     string
	}{
		{Settings{}, false, true, real.Port},
		{Settings{Port: "auto"}, true, true, real.Port},
		{Settings{Unit: "g"}, false, false, ""},
		{Settings{Port: "virtual"}, false, true, "virtual"},
		{Settings{Port: "/dev/ttyUSB0"}, false, false, "/dev/ttyUSB0"},
	} {
		m, _, err := find(tc.settings, Options{Folder: dir, Practice: tc.practice, Log: log})
		if err != nil {
			t.Fatal(err)
		}
		if m.kept != tc.kept || m.settings.Port != tc.port {
			t.Errorf("%+v: %v %+v", tc.settings, m.kept, m.settings)
		}
	}
	// A pattern of a later version, or a damaged file, stops nobody.
	for _, text := range []string{`{"real":{"pattern":"<later>"}}`, "{"} {
		if err := os.WriteFile(keeper.file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if m, _, err := find(Settings{}, Options{Folder: dir, Log: log}); err != nil || m.kept {
			t.Errorf("%s: %v %+v", text, err, m)
		}
	}
	gone := newManualFile(filepath.Join(dir, "gone"), log)
	if err := gone.keep(real); fault.Of(err).Code != fault.DataFolder {
		t.Errorf("a folder that isn't there took it: %v", err)
	}
}

// TestManualSettingsAreReplacedWhole: whoever reads while they are written, or
// after the power went, has the old ones or the new, never half of them.
func TestManualSettingsAreReplacedWhole(t *testing.T) {
	dir := t.TempDir()
	f := newManualFile(dir, slog.New(slog.DiscardHandler))
	if err := f.keep(Settings{Port: "tcp://127.0.0.1:4001"}); err != nil {
		t.Fatal(err)
	}
	old, err := os.ReadFile(f.file)
	if err != nil {
		t.Fatal(err)
	}
	before := filepath.Join(dir, "before")
	if err := os.Link(f.file, before); err != nil {
		t.Skip(err)
	}
	if err := f.keep(Settings{Port: "tcp://127.0.0.1:4002"}); err != nil {
		t.Fatal(err)
	}
	if still, err := os.ReadFile(before); err != nil || string(still) != string(old) {
		t.Errorf("the old file was written over: %s, %v", still, err)
	}
	if err := os.Mkdir(filepath.Join(dir, "."+filepath.Base(f.file)+".new"), 0o700); err != nil { // so that writing fails
		t.Fatal(err)
	}
	err = f.keep(Settings{Port: "tcp://127.0.0.1:4003"})
	if real, _ := f.read(); err == nil || real.Port != "tcp://127.0.0.1:4002" {
		t.Errorf("after a write that failed (%v) they are %+v", err, real)
	}
}
