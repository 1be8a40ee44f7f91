package scale

import (
	"log/slog"
	"os"
	"path/filepath"
	"testing"

	"panside/internal/dialect"
	"panside/server/scalefeed"
)

func TestTheLastPortIsKept(t *testing.T) {
	dir := t.TempDir()
	m := newLastPort(dir, slog.New(slog.DiscardHandler))
	if r, ok := m.Recall(); ok {
		t.Errorf("an empty folder recalls %+v", r)
	}
	want := scalefeed.Remembered{Name: "/dev/serial/by-id/usb-x", Kind: scalefeed.Serial, PortSettings: dialect.Settings{Baud: 2400, Framing: "7E1"}, Format: "print-line"}
	for range 2 { // the second replaces the first
		if err := m.Remember(want); err != nil {
			t.Fatal(err)
		}
	}
	if r, ok := newLastPort(dir, m.log).Recall(); !ok || r != want {
		t.Errorf("got %+v, %v", r, ok)
	}
	if err := os.WriteFile(m.file, []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if r, ok := m.Recall(); ok {
		t.Errorf("a damaged file recalls %+v", r)
	}
	gone := newLastPort(filepath.Join(dir, "gone"), m.log)
	if gone.Remember(want) == nil {
		t.Error("a folder that isn't there took it")
	}
}

func TestOnlyASearchRemembers(t *testing.T) {
	dir := t.TempDir()
	for port, want := range map[string]bool{"auto": true, "/dev/ttyUSB0": true, "tcp://localhost:1": false} {
		c, err := AsServed(Settings{Port: port}, Options{Folder: dir, Log: slog.New(slog.DiscardHandler)})
		if err != nil {
			t.Fatal(err)
		}
		f, ok := c.Source.(*scalefeed.Finder)
		if ok != want || ok && f.Memory == nil {
			t.Errorf("%s: %+v", port, c.Source)
		}
	}
}
