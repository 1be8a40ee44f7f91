package scale

import (
	"encoding/json"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/server/scaleapi"
	"panside/server/scalefeed"
	"panside/server/sqlite"
)

// TestACheckCountsForAllNamesOfAScale: the lines of one scale can fit the one
// plain format today and another tomorrow.
func TestACheckCountsForAllNamesOfAScale(t *testing.T) {
	t.Parallel()
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "panside.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	record := json.RawMessage(`{"weights":[{"nominal_g":"50","class":"F2"}],"readings":[{"weight":0,"shown":"50.15"},{"weight":0,"shown":"50.15"},{"weight":0,"shown":"50.15"}]}`)
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	if _, err := db.AddScaleCheck(t.Context(), sqlite.ScaleCheck{Scale: "/dev/scale", Dialect: "print-line", Taken: at, Record: record}); err != nil {
		t.Fatal(err)
	}
	var s Checks
	if err := s.Load(t.Context(), db, slog.New(slog.DiscardHandler)); err != nil {
		t.Fatal(err)
	}
	info := scalefeed.Info{Name: "/dev/scale"}
	for _, format := range []string{"worded-line", "value-only", "print-line"} {
		if r := s.heard(info, format); r == nil || !r.Taken.Equal(at) {
			t.Errorf("read as %s the scale counts as never checked", format)
		}
		scale := scaleapi.ScaleName{Name: "/dev/scale", Format: format}
		if connected, _ := s.Connected(); connected != scale {
			t.Errorf("connected is %+v", connected)
		}
		if c, ok := s.Newest(scale); !ok || c.Scale != scale {
			t.Errorf("the newest check is %+v", c)
		}
	}
	if s.heard(info, "status-comma") != nil {
		t.Error("another scale on the same cable counts as checked")
	}

	// A newer one goes before it, under whatever name it was made.
	newer, err := s.Keep(t.Context(), scaleapi.Check{Scale: scaleapi.ScaleName{Name: "/dev/scale", Format: "value-only"}, Taken: at.Add(time.Hour), Record: record})
	if err != nil {
		t.Fatal(err)
	}
	if r := s.heard(info, "print-line"); r == nil || !r.Taken.Equal(newer.Taken) {
		t.Errorf("the older check counts: %+v", r)
	}
}

// TestAnOlderCheckReplacesNoNewerOne: of two checks sent at once, the one stored
// first may be the last to be told of.
func TestAnOlderCheckReplacesNoNewerOne(t *testing.T) {
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "panside.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var s Checks
	if err := s.Load(t.Context(), db, slog.New(slog.DiscardHandler)); err != nil {
		t.Fatal(err)
	}
	name := scaleapi.ScaleName{Name: "/dev/scale", Format: "print-line"}
	check := func(at int64) scaleapi.Check {
		return scaleapi.Check{Scale: name, Taken: time.UnixMilli(at), Record: json.RawMessage(`{"weights":[{"nominal_g":"50","class":"F2"}],"readings":[{"weight":0,"shown":"50.15"},{"weight":0,"shown":"50.15"},{"weight":0,"shown":"50.15"}]}`)}
	}
	first, err := s.store(t.Context(), check(1))
	if err != nil {
		t.Fatal(err)
	}
	second, err := s.Keep(t.Context(), check(2))
	if err != nil {
		t.Fatal(err)
	}
	s.count(first)
	if c, _ := s.Newest(name); c.ID != second.ID {
		t.Errorf("check %d counts, want %d", c.ID, second.ID)
	}
}

func TestTheTerminalSaysHowOldTheCheckIs(t *testing.T) {
	now := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	for at, want := range map[time.Time]string{
		{}:                            "never checked",
		now.Add(-40 * 24 * time.Hour): "40 days old",
		now.Add(-5 * 24 * time.Hour):  "on February 24, 2026.",
		now.Add(9 * 24 * time.Hour):   "in the future",
	} {
		if got := CheckedWords(at, now); !strings.Contains(got, want) {
			t.Errorf("%v: %s", at, got)
		}
	}
}
