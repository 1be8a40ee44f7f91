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
