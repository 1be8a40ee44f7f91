package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/server/config"
	"panside/server/testjpeg"
)

// smallDisk is a disk in memory of so many bytes, where the test may mount one.
func smallDisk(t *testing.T, size int) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("panside-test", dir, "tmpfs", 0, fmt.Sprintf("size=%d", size)); err != nil {
		t.Skipf("this user may not mount a small disk, so a full one can't be tried: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Errorf("unmounting: %v", err)
		}
	})
	return dir
}

// TestAFullDisk pushes entries and photos until the disk is full. What was
// acknowledged stays and can be read, the sentence is plain, and with room again
// everything goes in.
func TestAFullDisk(t *testing.T) {
	dir := smallDisk(t, 4<<20)
	k := open(t, config.Config{Data: dir})
	phone := k.join(device.Phone)
	state := journal.NewState()
	author, err := journal.NewAuthor("phone", state)
	if err != nil {
		t.Fatal(err)
	}
	batch := func() (raws []string, body []byte) {
		for range 100 {
			e, err := author.Write(state, 1_750_000_000_000, "find", "0190a000-0000-7000-8000-000000000001", "note", []byte(`"`+strings.Repeat("x", 4000)+`"`))
			if err != nil {
				t.Fatal(err)
			}
			raws = append(raws, string(e.Wire()))
		}
		return raws, []byte(`{"v":1,"entries":[` + strings.Join(raws, ",") + `]}`)
	}
	wantFull := func(status int, answer []byte) {
		t.Helper()
		var e struct {
			Error struct{ Code, Sentence string }
		}
		if err := json.Unmarshal(answer, &e); err != nil || status != 500 || e.Error.Code != string(fault.DataFolder) || !strings.Contains(e.Error.Sentence, "is full") {
			t.Fatalf("%d %s", status, answer)
		}
	}
	// What is freed later, so that a photo finds room for its beginning.
	room := filepath.Join(dir, "room")
	if err := os.WriteFile(room, make([]byte, 200<<10), 0o600); err != nil {
		t.Fatal(err)
	}
	var kept []string
	var waiting [][]byte
	for len(waiting) == 0 {
		raws, body := batch()
		status, answer := k.raw("POST", "/api/v1/journal", phone.Token, body)
		if status != 200 {
			wantFull(status, answer)
			waiting = append(waiting, body)
			break
		}
		kept = append(kept, raws...)
	}
	if len(kept) == 0 {
		t.Fatal("the disk was full from the start")
	}
	if err := os.Remove(room); err != nil {
		t.Fatal(err)
	}
	photo := testjpeg.Noise(1, 1200)
	var full bool
	for range 10 { // some room may be left
		status, answer := k.raw("PUT", "/api/v1/photos/"+sha(photo), phone.Token, photo)
		if full = status != 200; full {
			wantFull(status, answer)
			break
		}
		photo = testjpeg.Noise(uint64(len(photo)), 1200)
	}
	if !full {
		t.Fatal("photos find room on a full disk")
	}
	if _, answer := k.raw("GET", "/api/v1/photos/"+sha(photo)+"/progress", phone.Token, nil); !strings.Contains(string(answer), `"have":0,`) {
		t.Errorf("half a chunk is kept: %s", answer)
	}
	pulled := func() (all []string) {
		cursor := ""
		for {
			_, answer := k.raw("GET", "/api/v1/journal?after="+url.QueryEscape(cursor), phone.Token, nil)
			var page journal.Page
			if err := json.Unmarshal(answer, &page); err != nil {
				t.Fatalf("%v %s", err, answer)
			}
			for _, e := range page.Entries {
				all = append(all, string(e))
			}
			if cursor = page.Cursor; !page.More {
				return all
			}
		}
	}
	if got := pulled(); strings.Join(got, "") != strings.Join(kept, "") {
		t.Errorf("%d entries, %d were acknowledged", len(got), len(kept))
	}
	if err := syscall.Mount("panside-test", dir, "tmpfs", syscall.MS_REMOUNT, "size=64m"); err != nil {
		t.Fatal(err)
	}
	if status, answer := k.raw("POST", "/api/v1/journal", phone.Token, waiting[0]); status != 200 || !strings.Contains(string(answer), `"stored":100`) {
		t.Errorf("with room again: %d %s", status, answer)
	}
	k.sendPhoto(phone.Token, photo)
	if got := pulled(); len(got) != len(kept)+100 {
		t.Errorf("%d entries, want %d", len(got), len(kept)+100)
	}
}

// TestAReadOnlyDisk says so at the start and leaves everything as it is.
func TestAReadOnlyDisk(t *testing.T) {
	dir := smallDisk(t, 16<<20)
	k := open(t, config.Config{Data: dir})
	p := k.pocket(1)
	p.write("find", "", `{"note":"first"}`)
	p.push()
	k.close()
	if err := syscall.Mount("panside-test", dir, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	app := New(config.Config{Data: dir, Listen: "127.0.0.1:0"}, make(fakeScale).scale(), slog.New(slog.DiscardHandler))
	app.network.announce = silent
	err := app.Start(t.Context())
	if err == nil {
		_ = app.Stop()
		t.Fatal("started")
	}
	if f := fault.Of(err); f.Code != fault.DataFolder || !strings.Contains(f.English(), "can’t be written") {
		t.Errorf("%v", err)
	}
	if err := syscall.Mount("panside-test", dir, "tmpfs", syscall.MS_REMOUNT, ""); err != nil {
		t.Fatal(err)
	}
	k = open(t, config.Config{Data: dir})
	p.k = k
	p.pull()
	if len(p.Entries) != 1 || p.Unsent() != 0 {
		t.Errorf("%d entries", len(p.Entries))
	}
}

// realDisk is a disk of so many bytes in a file, where the test may mount one:
// unlike one in memory it finds no room for SQLite's small file when it is full.
func realDisk(t *testing.T, size int64) string {
	t.Helper()
	image, dir := filepath.Join(t.TempDir(), "disk"), t.TempDir()
	if err := os.WriteFile(image, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(image, size); err != nil {
		t.Fatal(err)
	}
	for _, argv := range [][]string{{"mkfs.ext4", "-q", "-m", "0", image}, {"mount", "-o", "loop", image, dir}} {
		if out, err := exec.Command(argv[0], argv[1:]...).CombinedOutput(); err != nil {
			t.Skipf("this user may not mount a small disk, so a full one can't be tried: %v: %s", err, out)
		}
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Errorf("unmounting: %v", err)
		}
	})
	return dir
}

// TestABackupOfAFullDisk to another disk works, whether the server runs or not.
func TestABackupOfAFullDisk(t *testing.T) {
	dir := filepath.Join(realDisk(t, 12<<20), "data")
	k := open(t, config.Config{Data: dir})
	k.hasCopied(1)
	writeMany(k.pocket(1), 30)
	fill, err := os.Create(filepath.Join(dir, "fill"))
	if err != nil {
		t.Fatal(err)
	}
	for block := make([]byte, 512); err == nil; {
		_, err = fill.Write(block)
	}
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	fill.Close()
	elsewhere := t.TempDir()
	back := func(name string) {
		t.Helper()
		file := filepath.Join(elsewhere, name)
		if code, out, errOut := call(t, "backup", file, "--data", dir); code != exitGood || !strings.Contains(out, "30 entries") {
			t.Errorf("%s: %d %s %s", name, code, out, errOut)
		}
	}
	back("running.zip")
	if err := k.Stop(); err != nil { // its own copy finds no room, which is said in the log
		t.Error(err)
	}
	k.App = nil
	// What closing gave free is filled too: even SQLite's own small file beside the
	// records finds no room.
	fill, err = os.OpenFile(fill.Name(), os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		t.Fatal(err)
	}
	for block := make([]byte, 512); err == nil; {
		_, err = fill.Write(block)
	}
	fill.Close()
	back("stopped.zip")
	if list, err := os.ReadDir(elsewhere); err != nil || len(list) != 2 {
		t.Errorf("beside the backups lie %v, %v", list, err)
	}
}
