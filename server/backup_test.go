package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"panside/internal/device"
	"panside/server/archive"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/testjpeg"
)

// files lists a folder's files with their bytes.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		all[path] = string(raw)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func (k *kitchen) sendPhoto(token string, photo []byte) {
	k.t.Helper()
	if status, body := k.raw("PUT", "/api/v1/photos/"+sha(photo), token, photo); status != 200 || !strings.Contains(string(body), `"complete":true`) {
		k.t.Fatalf("%d %s", status, body)
	}
}

// TestALaptopIsLostAndReplaced: a backup is made while the server runs and
// phones push; it is put back on another computer; the phones know that one
// again and bring what the backup doesn't have.
func TestALaptopIsLostAndReplaced(t *testing.T) {
	k := open(t, config.Config{})
	a, b := k.pocket(1), k.pocket(2)
	for i := range 10 {
		a.write("find", "", fmt.Sprintf(`{"note":"find %d"}`, i))
	}
	a.push()
	a.pull()
	photos := [][]byte{testjpeg.Noise(1, 300), testjpeg.Noise(2, 300)}
	for _, p := range photos {
		k.sendPhoto(a.token, p)
	}
	file := filepath.Join(t.TempDir(), "panside.zip")
	code, out, errOut := call(t, "backup", file, "--data", k.folder)
	if code != exitGood || !strings.Contains(out, "10 entries, 2 photos") {
		t.Fatalf("backup: %d %s %s", code, out, errOut)
	}
	for i := range 5 {
		a.write("find", "", fmt.Sprintf(`{"note":"later find %d"}`, i))
	}
	a.push()
	a.pull() // its cursor is beyond the backup
	key := k.authority.Fingerprint()
	k.close()

	dir := t.TempDir()
	// A part of one photo had arrived here before, and is damaged.
	part := filepath.Join(dir, backup.PhotosFolder, "arriving", sha(photos[0]))
	if err := os.MkdirAll(filepath.Dir(part), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(part, make([]byte, 100), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errOut = call(t, "restore", file, "--data", dir)
	if code != exitGood || !strings.Contains(out, ": 10 entries and 2 photos.") {
		t.Fatalf("restore: %d %s %s", code, out, errOut)
	}
	k2 := open(t, config.Config{Data: dir})
	if k2.authority.Fingerprint() != key {
		t.Error("phones don't know the new computer by its key")
	}
	a.k, b.k = k2, k2
	b.pull() // by the token of before
	if len(b.Entries) != 10 {
		t.Errorf("the other phone has %d entries", len(b.Entries))
	}
	a.pull() // hears that the laptop has lost the 5 after the backup, and sends them again
	if a.Unsent() != 0 {
		t.Errorf("%d entries count as only on the phone", a.Unsent())
	}
	b.pull()
	if !slices.Equal(a.raws(), b.raws()) || len(b.Entries) != 15 {
		t.Errorf("the phones have %d and %d entries", len(a.Entries), len(b.Entries))
	}
	for _, p := range photos {
		if status, body := k2.raw("GET", "/api/v1/photos/"+sha(p), b.token, nil); status != 200 || !bytes.Equal(body, p) {
			t.Errorf("photo: %d", status)
		}
	}
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

func copyOver(from, to string) error {
	raw, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, raw, 0o600)
}

func TestBackupSaysWhatItCanNot(t *testing.T) {
	empty := t.TempDir()
	if code, _, errOut := call(t, "backup", filepath.Join(empty, "b.zip"), "--data", empty); code != exitBad || !strings.Contains(errOut, "no records") {
		t.Errorf("no records: %d %s", code, errOut)
	}
	mistyped := filepath.Join(empty, "mistyped")
	if code, _, errOut := call(t, "backup", filepath.Join(empty, "b.zip"), "--data", mistyped); code != exitBad || !strings.Contains(errOut, "no records") {
		t.Errorf("no such data folder: %d %s", code, errOut)
	}
	if _, err := os.Stat(mistyped); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("asking for a backup made the folder: %v", err)
	}
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	photos := [][]byte{testjpeg.Noise(1, 200), testjpeg.Noise(2, 200)}
	for _, p := range photos {
		k.sendPhoto(phone.Token, p)
	}
	damaged := filepath.Join(k.folder, backup.PhotosFolder, sha(photos[0])+".jpg")
	if err := os.WriteFile(damaged, photos[1], 0o600); err != nil {
		t.Fatal(err)
	}
	there := filepath.Join(t.TempDir(), "b.zip")
	if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := call(t, "backup", there, "--data", k.folder); code != exitBad || !strings.Contains(errOut, "--force") {
		t.Errorf("over a file that is there: %d %s", code, errOut)
	}
	code, out, errOut := call(t, "backup", there, "--data", k.folder, "--force")
	if code != exitBad || !strings.Contains(out, "1 photo and") || !strings.Contains(errOut, damaged) {
		t.Errorf("a damaged photo: %d %s %s", code, out, errOut)
	}
	back, err := archive.Open(t.Context(), there)
	if err != nil {
		t.Fatal(err)
	}
	defer back.Close()
	if _, ok := back.Find(backup.PhotosIn + sha(photos[1]) + ".jpg"); !ok {
		t.Error("the good photo isn't in the backup")
	}
	if code, _, errOut := call(t, "backup", filepath.Join(t.TempDir(), "none", "b.zip"), "--data", k.folder); code != exitBad || !strings.Contains(errOut, "doesn’t exist") {
		t.Errorf("no such folder: %d %s", code, errOut)
	}
}

// TestAServerMakesTodaysBackup by itself.
func TestAServerMakesTodaysBackup(t *testing.T) {
	k := open(t, config.Config{})
	// Of the day it was made on, even if midnight has passed since.
	pattern := filepath.Join(k.folder, backup.CopiesFolder, "records-????-??-??.zip")
	var made []string
	for deadline := time.Now().Add(patience); len(made) == 0; time.Sleep(10 * time.Millisecond) {
		var err error
		if made, err = filepath.Glob(pattern); err != nil {
			t.Fatal(err)
		}
		if time.Now().After(deadline) {
			t.Fatalf("no backup; the log: %s", k.log.String())
		}
	}
	back, err := archive.Open(t.Context(), made[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := back.Close(); err != nil || back.Whole {
		t.Errorf("%+v, %v", back.Contents, err)
	}
}

// TestABackupTellsHowFarItIs, and a quick one doesn't.
func TestABackupTellsHowFarItIs(t *testing.T) {
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	for i := range 3 {
		k.sendPhoto(phone.Token, testjpeg.Noise(uint64(i), 200))
	}
	var out, told bytes.Buffer
	c := BackupCmd{File: filepath.Join(t.TempDir(), "b.zip"), Data: k.folder, firstProgress: 1, nextProgress: 1}
	if err := c.Run(t.Context(), &stdio{strings.NewReader(""), &out, &told}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(told.String()), "\n")
	last := lines[len(lines)-1]
	if len(lines) < 6 || !strings.HasPrefix(lines[0], "Copying the records") || !strings.HasPrefix(last, "Writing and reading back: ") {
		t.Errorf("it told %q", lines)
	}
	percents := 0
	for _, line := range lines {
		var now int
		if n, _ := fmt.Sscanf(line, "Writing and reading back: %d %%", &now); n == 1 {
			if now < percents {
				t.Errorf("it went back: %q", lines)
			}
			percents = now
		}
	}
	if percents < 90 {
		t.Errorf("it ended at %d %%", percents)
	}
	if code, _, errOut := call(t, "backup", filepath.Join(t.TempDir(), "b.zip"), "--data", k.folder); code != exitGood || strings.Contains(errOut, "%") && !strings.Contains(errOut, "reading back") {
		t.Errorf("a quick one: %d %s", code, errOut)
	}
}
