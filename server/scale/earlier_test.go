package scale

import (
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"panside/internal/dialect"
	"panside/internal/mass"
	"panside/server/scalefeed"
)

// TestTheFilesOfAnEarlierProgram: what was set by hand, the last port and the
// units are read from a data folder as an earlier program left it.
func TestTheFilesOfAnEarlierProgram(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/datafolder/kitchen")); err != nil {
		t.Fatal(err)
	}
	log := slog.New(slog.DiscardHandler)
	real := Settings{Port: "tcp://127.0.0.1:4001", Baud: 2400, Framing: "7E1", Unit: "ct", Format: "value-only"}
	practice := Settings{Port: "virtual", Pattern: practicePattern, Resolution: "0.05", ResolutionUnit: "g", KeepAwake: true}
	for port, want := range map[string]Settings{"auto": real, "virtual": practice} {
		m, _, err := find(Settings{Port: port}, Options{Folder: dir, Log: log})
		if err != nil || !m.kept || m.settings != want {
			t.Errorf("%s: %v %+v", port, err, m)
		}
	}
	if a := newUnits(dir, log).of("/dev/serial/by-id/usb-x"); a.Unit != mass.Carat || a.Gr != mass.Grain {
		t.Errorf("units: %+v", a)
	}
	last := scalefeed.Remembered{Name: "/dev/serial/by-id/usb-x", Kind: scalefeed.Serial, PortSettings: dialect.Settings{Baud: 2400, Framing: "7E1"}, Format: "print-line"}
	if r, ok := newLastPort(dir, log).Recall(); !ok || r != last {
		t.Errorf("the last port: %+v", r)
	}
	// Another program that still runs on the folder keeps its files.
	for _, old := range []string{"scale.json", "scale-settings.json"} {
		if _, err := os.Stat(filepath.Join(dir, old)); err != nil {
			t.Errorf("%s was taken away: %v", old, err)
		}
	}
	if err := newLastPort(dir, log).Remember(last); err != nil {
		t.Fatal(err)
	}
	if r, ok := newLastPort(dir, log).Recall(); !ok || r != last {
		t.Errorf("the last port, written anew: %+v", r)
	}
	f := newManualFile(dir, log)
	if err := f.keep(real); err != nil {
		t.Fatal(err)
	}
	if raw, err := os.ReadFile(f.file); err != nil || strings.Contains(string(raw), `"step"`) {
		t.Errorf("written with the old names: %s, %v", raw, err)
	}
	if r, p := f.read(); *r != real || *p != practice {
		t.Errorf("set by hand, written anew: %+v, %+v", r, p)
	}
}
