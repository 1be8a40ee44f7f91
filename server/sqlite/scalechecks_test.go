package sqlite

import (
	"encoding/json"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"panside/internal/device"
)

func TestNewestCheckOfEachScaleOutlivesARestart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	db := open(t, file)
	at := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	if err := db.AddDevice(t.Context(), device.Device{ID: "P", Name: "Phone", Role: device.Phone}, [32]byte{1}); err != nil {
		t.Fatal(err)
	}
	all := []ScaleCheck{
		{Scale: "/dev/serial/by-id/one", Dialect: "status-comma", Taken: at, Record: json.RawMessage(`{"a":1}`)},
		{Scale: "/dev/serial/by-id/one", Dialect: "print-line", Taken: at, Record: json.RawMessage(`{"b":1}`)},
		{Scale: "tcp://10.0.0.7:4001", Dialect: "status-comma", Taken: at, Device: "P", Record: json.RawMessage(`{"c":1}`)},
		{Scale: "/dev/serial/by-id/one", Dialect: "status-comma", Taken: at.Add(-time.Hour), Record: json.RawMessage(`{"a": 2}`)},
	}
	for i := range all {
		id, err := db.AddScaleCheck(t.Context(), all[i])
		if err != nil {
			t.Fatal(err)
		}
		all[i].ID = id
	}
	if _, err := db.AddScaleCheck(t.Context(), ScaleCheck{Scale: "x", Device: "nobody", Record: json.RawMessage(`{}`)}); err == nil {
		t.Error("a check from an unknown device was kept")
	}
	if _, err := db.AddScaleCheck(t.Context(), ScaleCheck{Record: json.RawMessage(`{}`)}); err == nil {
		t.Error("a check of no scale was kept")
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	got, err := open(t, file).NewestScaleChecks(t.Context())
	if want := []ScaleCheck{all[1], all[2], all[3]}; err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v\nwant %+v", got, err, want)
	}
}
