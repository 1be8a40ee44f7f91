package main

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/internal/bridge"
	"panside/internal/say"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/scale"
	"panside/server/scaleapi"
)

// earlier is what testdata/datafolder/facts.json says of the folder beside it.
type earlier struct {
	Desk, Phone string // tokens
	Entries     int
	Hunt        string
	Finds       []string
	Fingerprint string
	Lacking     string
}

// openEarlier copies the data folder of an earlier program, with its second
// folder for copies, and gives both places.
func openEarlier(t *testing.T) (dir, usb string, e earlier) {
	t.Helper()
	root := t.TempDir()
	if err := os.CopyFS(root, os.DirFS("../testdata/datafolder")); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(filepath.Join(root, "facts.json"))
	if err == nil {
		err = json.Unmarshal(raw, &e)
	}
	if err != nil {
		t.Fatal(err)
	}
	dir, usb = filepath.Join(root, "kitchen"), filepath.Join(root, "usb")
	file := filepath.Join(dir, "copies.json")
	if raw, err = os.ReadFile(file); err == nil {
		err = os.WriteFile(file, bytes.ReplaceAll(raw, []byte("USB"), []byte(filepath.ToSlash(usb))), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	return dir, usb, e
}

// TestTheDataFolderOfAnEarlierProgram is opened with nothing lost: devices,
// records, photos, checks, settings, units, the last port, what is missing, and
// the copies.
func TestTheDataFolderOfAnEarlierProgram(t *testing.T) {
	t.Parallel()
	dir, usb, e := openEarlier(t)
	log := slog.New(slog.DiscardHandler)
	sc, err := scale.Open(scale.Settings{Port: "virtual"}, scale.Options{Folder: dir, Log: log})
	if err != nil {
		t.Fatal(err)
	}
	k := prepare(t, config.Config{Data: dir, Name: "kitchen"}, sc)
	// A day later, whatever the day of this test.
	k.clock.forward(time.Until(time.Date(2026, 11, 30, 20, 0, 0, 0, time.Local)))
	k.begin()
	k.client.Transport.(*http.Transport).TLSClientConfig.Time = k.clock.now

	for role, token := range map[string]string{"desk": e.Desk, "phone": e.Phone} {
		var me joinedAs
		if status := k.ask("GET", "/api/v1/me", token, nil, &me); status != 200 || me.Device.Role != role || me.Server.Fingerprint != e.Fingerprint {
			t.Errorf("the %s: %d %+v", role, status, me)
		}
	}
	k.hasItsRecords(e)
	k.hasItsScale(e)
	// The earlier program wrote straight apostrophes.
	if words, _, _ := strings.Cut(strings.ReplaceAll(e.Lacking, "'", "’"), ", confirmed"); !strings.HasPrefix(say.English.Write(k.promises.Missing()), words) {
		t.Errorf("of what is missing it says %q, want %q", say.English.Write(k.promises.Missing()), words)
	}
	if k.copies.Second() != filepath.Join(usb, "panside-"+e.Fingerprint[:8]) || !k.copies.Missing().None() {
		t.Errorf("the second folder: %q, %q", k.copies.Second(), say.English.Write(k.copies.Missing()))
	}
	for _, file := range []string{filepath.Join(dir, backup.CopiesFolder, "records-2026-11-29.zip"), filepath.Join(k.copies.Second(), "records-2026-11-29.zip")} {
		if n := copiedEntries(t, file); n != e.Entries {
			t.Errorf("%s has %d entries", file, n)
		}
	}
}

func (k *kitchen) hasItsRecords(e earlier) {
	t := k.t
	t.Helper()
	p := &pocket{k: k, token: e.Phone, core: bridge.NewPhone(func(b []byte) { clear(b) })}
	p.ask("journal-open", `{"entries":0}`, &struct{}{})
	p.pull()
	if len(p.Entries) != e.Entries {
		t.Errorf("%d entries, want %d", len(p.Entries), e.Entries)
	}
	var list struct {
		Total   int
		Records []struct {
			Record, Hunt, Note, Fate string
			Photos                   []struct{ SHA256 string }
		}
	}
	p.ask("journal-list", `{"kind":"find"}`, &list)
	if list.Total != len(e.Finds) {
		t.Fatalf("finds %+v", list)
	}
	for _, f := range list.Records {
		if f.Hunt != e.Hunt || f.Note == "" || len(f.Photos) != 1 || f.Record == e.Finds[1] && f.Fate != "keep" {
			t.Errorf("a find is %+v", f)
			continue
		}
		if status, photo := k.raw("GET", "/api/v1/photos/"+f.Photos[0].SHA256, e.Phone, nil); status != 200 || sha(photo) != f.Photos[0].SHA256 {
			t.Errorf("its photo: %d, %d bytes", status, len(photo))
		}
	}
}

func (k *kitchen) hasItsScale(e earlier) {
	t := k.t
	t.Helper()
	conn := k.socket(e.Phone)
	until(t, conn, "the pattern set by hand", func(m live) bool { return m.Phase == "empty" && m.Scale.Format == "pattern" })
	var v scaleapi.View
	practice := scaleapi.Settings{Port: "virtual", Pattern: practicePattern, Resolution: "0.05", ResolutionUnit: "g", KeepAwake: true}
	if status := k.ask("GET", "/api/v1/scale", e.Phone, nil, &v); status != 200 || !v.Kept || v.Settings != practice || v.Now.Resolution != "0.05" {
		t.Errorf("the practice scale: %d %+v", status, v)
	}
	c, ok := k.scale.Checks.Newest(scaleapi.ScaleName{Name: "virtual scale", Format: "status-comma"})
	if !ok || !strings.Contains(string(c.Record), "50.15") || c.Device == "" {
		t.Errorf("the practice scale's newest check: %+v", c)
	}
	if c, ok := k.scale.Checks.Newest(scaleapi.ScaleName{Name: "/dev/serial/by-id/usb-x", Format: "print-line"}); !ok || c.Device != "" {
		t.Errorf("the real scale's check: %+v", c)
	}
}
