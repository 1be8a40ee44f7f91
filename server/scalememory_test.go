package main

import (
	"log/slog"
	"os"
	"path/filepath"
	"testing"

	"panside/internal/dialect"
	"panside/server/scalefeed"
)

func TestScaleMemoryKeepsTheLastScale(t *testing.T) {
	dir := t.TempDir()
	m := newScaleMemory(dir, slog.New(slog.DiscardHandler))
	if r, ok := m.Recall(); ok {
		t.Errorf("an empty folder recalls %+v", r)
	}
	want := scalefeed.Remembered{Name: "/dev/serial/by-id/usb-x", Kind: scalefeed.Serial, Line: dialect.Settings{Baud: 2400, Framing: "7E1"}, Dialect: "print-line"}
	for range 2 { // the second replaces the first
		if err := m.Remember(want); err != nil {
			t.Fatal(err)
		}
	}
	if r, ok := newScaleMemory(dir, m.log).Recall(); !ok || r != want {
		t.Errorf("got %+v, %v", r, ok)
	}
	if err := os.WriteFile(m.file, []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if r, ok := m.Recall(); ok {
		t.Errorf("a damaged file recalls %+v", r)
	}
	gone := newScaleMemory(filepath.Join(dir, "gone"), m.log)
	if gone.Remember(want) == nil {
		t.Error("a folder that isn't there took it")
	}
}

func TestOnlyASearchRemembers(t *testing.T) {
	m := newScaleMemory(t.TempDir(), slog.New(slog.DiscardHandler))
	for choice, want := range map[string]bool{"auto": true, "/dev/ttyUSB0": true, "tcp://localhost:1": false} {
		c, err := chooseScale(ScaleFlags{Scale: choice}, replayOptions{}, m.log)
		if err != nil {
			t.Fatal(err)
		}
		c.remember(m)
		f, ok := c.source.(*scalefeed.Finder)
		if ok != want || ok && f.Memory != scalefeed.Memory(m) {
			t.Errorf("%s: %+v", choice, c.source)
		}
	}
}
