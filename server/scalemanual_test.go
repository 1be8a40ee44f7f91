package main

import (
	"log/slog"
	"path/filepath"
	"strings"
	"testing"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/config"
	"panside/server/scale"
	"panside/server/scaleapi"
)

// practicePattern describes the lines of the virtual scale.
const practicePattern = "<state ST=stable US=moving OL=over>,GS,<sign><value>  <unit>"

// openFixable starts a server with the virtual scale, whose reading can be fixed.
func openFixable(t *testing.T, dir string) *kitchen {
	t.Helper()
	sc, err := scale.Open(scale.Settings{Port: "virtual"}, scale.Options{Folder: dir, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	return openWith(t, config.Config{Data: dir}, sc)
}

// TestAPatternSetByHandHoldsOverAStart names a pattern while the scale flows: it
// counts without a restart, and after one.
func TestAPatternSetByHandHoldsOverAStart(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	want := scaleapi.Settings{Port: "virtual", Pattern: practicePattern, Resolution: "0.05", ResolutionUnit: "g", KeepAwake: true}
	var v scaleapi.View
	t.Run("set", func(t *testing.T) {
		k := openFixable(t, dir)
		phone := k.join(device.Phone).Token
		conn := k.socket(phone)
		until(t, conn, "the format found by itself", func(m live) bool { return m.Phase == "empty" && m.Scale.Format == "status-comma" })
		if status := k.ask("GET", "/api/v1/scale", phone, nil, &v); status != 200 || v.Kept || v.Settings != (scaleapi.Settings{Port: "virtual"}) {
			t.Fatalf("%d %+v", status, v)
		}
		if n := v.Now; n.Format != "status-comma" || n.Probability < 0.95 || n.LineCount < 1 || n.Unit != "g" || n.Resolution != "0.01" || n.Problem != nil {
			t.Errorf("now: %+v", n)
		}
		if len(v.Received) == 0 || !strings.Contains(v.Received[0].Raw, ",GS,") || len(v.Formats) < 8 || v.Ports[len(v.Ports)-1].Port != "virtual" {
			t.Errorf("lines %+v, ports %+v, %d formats", v.Received, v.Ports, len(v.Formats))
		}
		if status := k.ask("PUT", "/api/v1/scale", phone, want, &v); status != 200 || !v.Kept || v.Settings != want {
			t.Fatalf("%d %+v", status, v)
		}
		until(t, conn, "the pattern", func(m live) bool { return m.Phase == "empty" && m.Scale.Format == "pattern" })
		if k.ask("GET", "/api/v1/scale", phone, nil, &v); v.Now.Resolution != "0.05" || v.Now.Format != "pattern" {
			t.Errorf("the step named by hand isn't used: %+v", v.Now)
		}
	})
	t.Run("started again", func(t *testing.T) {
		k := openFixable(t, dir)
		phone := k.join(device.Phone).Token
		conn := k.socket(phone)
		until(t, conn, "the pattern again", func(m live) bool { return m.Phase == "empty" && m.Scale.Format == "pattern" })
		if k.ask("GET", "/api/v1/scale", phone, nil, &v); !v.Kept || v.Settings != want {
			t.Errorf("after a start: %+v", v)
		}
		// Back to what the program finds.
		k.ask("PUT", "/api/v1/scale", phone, scaleapi.Settings{Port: "virtual"}, nil)
		until(t, conn, "the format found by itself", func(m live) bool { return m.Phase == "empty" && m.Scale.Format == "status-comma" })
	})
}

// TestAPortIsPickedWhileItFlows changes to a port that isn't there, which only
// the desk may name, and back.
func TestAPortIsPickedWhileItFlows(t *testing.T) {
	t.Parallel()
	k := openFixable(t, t.TempDir())
	phone, desk := k.join(device.Phone).Token, k.join(device.Desk).Token
	conn := k.socket(phone)
	until(t, conn, "the empty pan", func(m live) bool { return m.Phase == "empty" })
	elsewhere := scaleapi.Settings{Port: filepath.Join(t.TempDir(), "nothing"), Baud: 2400}
	var refused struct {
		Error struct {
			Code  fault.Code
			Field string
		}
	}
	if status := k.ask("PUT", "/api/v1/scale", phone, elsewhere, &refused); status != 403 || refused.Error.Code != fault.DeskOnly || refused.Error.Field != "port" {
		t.Errorf("from a phone: %d %+v", status, refused)
	}
	if status := k.ask("PUT", "/api/v1/scale", desk, elsewhere, nil); status != 200 {
		t.Fatalf("from the desk: %d", status)
	}
	until(t, conn, "the missing port", func(m live) bool { return m.Problem.Code == fault.PortMissing })
	if status := k.ask("PUT", "/api/v1/scale", phone, scaleapi.Settings{Port: "virtual"}, nil); status != 200 {
		t.Fatalf("back: %d", status)
	}
	until(t, conn, "the empty pan again", func(m live) bool { return m.Phase == "empty" })
}

func TestSettingsThatCanNotBe(t *testing.T) {
	t.Parallel()
	k := openFixable(t, t.TempDir())
	desk := k.join(device.Desk).Token
	for field, s := range map[string]scaleapi.Settings{
		"baud":            {Baud: 3},
		"format":          {Format: "nonsense"},
		"pattern":         {Pattern: "<value"},
		"unit":            {Unit: "tael"},
		"resolution":      {Resolution: "-0.01"},
		"resolution_unit": {Resolution: "0.01", ResolutionUnit: "stone"},
		"port":            {Port: "ttyUSB0"},
	} {
		var e struct {
			Error struct{ Field, Sentence string }
		}
		if status := k.ask("PUT", "/api/v1/scale", desk, s, &e); status != 400 || e.Error.Field != field || e.Error.Sentence == "" {
			t.Errorf("%+v: %d %+v", s, status, e)
		}
	}
	for _, s := range []scaleapi.Settings{{Format: "print-line", Pattern: "<value> <unit>"}, {Framing: "9X9"}, {Port: "tcp://nowhere"}, {Port: "replay:/etc/passwd"}} {
		if status := k.ask("PUT", "/api/v1/scale", desk, s, nil); status != 400 {
			t.Errorf("%+v: %d", s, status)
		}
	}
	var v scaleapi.View
	if k.ask("GET", "/api/v1/scale", desk, nil, &v); v.Kept {
		t.Errorf("something was kept: %+v", v.Settings)
	}
}
