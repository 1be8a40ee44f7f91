package sqlite

import (
	"maps"
	"path/filepath"
	"testing"
	"time"
)

func TestOriginsOutliveARestart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	at := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	db := open(t, file)
	for _, step := range []struct {
		origin string
		at     time.Time
	}{
		{"https://192.168.1.5:8311", at},
		{"https://192.168.1.9:8311", at.Add(time.Hour)},
		{"https://192.168.1.5:8311", at.Add(2 * time.Hour)},
		{"https://192.168.1.5:8311", at.Add(-time.Hour)}, // a clock set back
		{"https://kitchen.local:8311", at},
	} {
		if err := db.KeepOrigin(t.Context(), step.origin, step.at); err != nil {
			t.Fatal(err)
		}
	}
	for range 2 {
		if err := db.DropOrigin(t.Context(), "https://kitchen.local:8311"); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.KeepOrigin(t.Context(), "http://192.168.1.5:8311", at); err == nil {
		t.Error("an origin without encryption was kept")
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	got, err := open(t, file).Origins(t.Context())
	want := map[string]time.Time{"https://192.168.1.5:8311": at.Add(2 * time.Hour), "https://192.168.1.9:8311": at.Add(time.Hour)}
	if err != nil || !maps.Equal(got, want) {
		t.Errorf("got %v, %v, want %v", got, err, want)
	}
}
