package scale

import (
	"log/slog"
	"os"
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
	practice := Settings{Port: "virtual", Pattern: practicePattern, Step: "0.05", StepUnit: "g", KeepAwake: true}
	for port, want := range map[string]Settings{"auto": real, "virtual": practice} {
		m, _, err := find(Settings{Port: port}, Options{Folder: dir, Log: log})
		if err != nil || !m.kept || m.settings != want {
			t.Errorf("%s: %v %+v", port, err, m)
		}
	}
	if a := newUnits(dir, log).of("/dev/serial/by-id/usb-x"); a.Unit != mass.Carat || a.Gr != mass.Grain {
		t.Errorf("units: %+v", a)
	}
	last := scalefeed.Remembered{Name: "/dev/serial/by-id/usb-x", Kind: scalefeed.Serial, Line: dialect.Settings{Baud: 2400, Framing: "7E1"}, Dialect: "print-line"}
	if r, ok := newLastPort(dir, log).Recall(); !ok || r != last {
		t.Errorf("the last port: %+v", r)
	}
}
