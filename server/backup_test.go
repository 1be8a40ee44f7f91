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
	"panside/internal/fault"
	"panside/server/archive"
	"panside/server/certs"
	"panside/server/config"
	"panside/server/sqlite"
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
	part := filepath.Join(dir, photosFolder, "arriving", sha(photos[0]))
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

func TestRestoreOverwritesNothingUnasked(t *testing.T) {
	k := open(t, config.Config{})
	a := k.pocket(1)
	a.write("find", "", `{"note":"first"}`)
	a.push()
	file := filepath.Join(t.TempDir(), "panside.zip")
	if code, _, errOut := call(t, "backup", file, "--data", k.folder); code != exitGood {
		t.Fatal(errOut)
	}
	if code, _, errOut := call(t, "restore", file, "--data", k.folder, "--force"); code != exitBad || !strings.Contains(errOut, "Another Panside is running") {
		t.Errorf("into a running server: %d %s", code, errOut)
	}
	a.write("find", "", `{"note":"second"}`)
	a.push()
	dir := k.folder
	k.close()
	before := files(t, dir)
	if code, _, errOut := call(t, "restore", file, "--data", dir); code != exitBad || !strings.Contains(errOut, "--force") {
		t.Errorf("without --force: %d %s", code, errOut)
	}
	bad := filepath.Join(t.TempDir(), "bad.zip")
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	raw[len(raw)/2] ^= 1
	if err := os.WriteFile(bad, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := call(t, "restore", bad, "--data", dir, "--force"); code != exitBad || !strings.Contains(errOut, "damaged") {
		t.Errorf("a damaged one: %d %s", code, errOut)
	}
	for path, now := range files(t, dir) {
		if was, ok := before[path]; ok && was != now {
			t.Errorf("%s was changed", path)
		}
	}
	code, out, errOut := call(t, "restore", file, "--data", dir, "--force")
	if code != exitGood || !strings.Contains(out, "What was there before is in ") {
		t.Fatalf("%d %s %s", code, out, errOut)
	}
	// The replaced records are a server's folder again.
	aside, err := filepath.Glob(filepath.Join(dir, "replaced-*"))
	if err != nil || len(aside) != 1 {
		t.Fatalf("set aside in %v, %v", aside, err)
	}
	for data, want := range map[string]int{dir: 1, aside[0]: 2} {
		k := open(t, config.Config{Data: data})
		p := k.pocket(7)
		p.pull()
		if len(p.Entries) != want {
			t.Errorf("%s has %d entries, want %d", data, len(p.Entries), want)
		}
		k.close()
	}
}

// afterAKill makes a backup of one entry and a folder as a killed server leaves
// it, with 50 entries more, some of them beside the records only.
func afterAKill(t *testing.T) (backup, folder string) {
	t.Helper()
	k := open(t, config.Config{})
	a := k.pocket(1)
	a.write("find", "", `{"note":"first"}`)
	a.push()
	backup = filepath.Join(t.TempDir(), "panside.zip")
	if code, _, errOut := call(t, "backup", backup, "--data", k.folder); code != exitGood {
		t.Fatal(errOut)
	}
	for range 50 {
		a.write("find", "", `{"note":"more"}`)
	}
	a.push()
	folder = t.TempDir()
	for _, name := range append([]string{recordsFile}, besides...) {
		if err := copyFile(filepath.Join(k.folder, name), filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	return backup, folder
}

// entriesIn counts the entries of a folder's records, 0 if there are none or
// they aren't whole.
func entriesIn(t *testing.T, folder string) int {
	t.Helper()
	facts, err := sqlite.Inspect(t.Context(), filepath.Join(folder, recordsFile))
	if err != nil {
		t.Log(err)
	}
	return facts.Entries
}

func setAsideIn(t *testing.T, folder string) []string {
	t.Helper()
	aside, err := filepath.Glob(filepath.Join(folder, "replaced-*"))
	if err != nil {
		t.Fatal(err)
	}
	return aside
}

// TestRestoreAfterAKill: what SQLite left beside the old records is not taken
// for a part of the new ones, and is set aside with the old.
func TestRestoreAfterAKill(t *testing.T) {
	file, killed := afterAKill(t)
	damaged := t.TempDir() // so that what is beside the records can't be put into them
	if err := os.CopyFS(damaged, os.DirFS(killed)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(damaged, recordsFile), bytes.Repeat([]byte("garbage "), 512), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{killed, damaged} {
		before := files(t, dir)
		if code, _, errOut := call(t, "restore", file, "--data", dir, "--force"); code != exitGood {
			t.Fatal(errOut)
		}
		if n := entriesIn(t, dir); n != 1 {
			t.Errorf("%d entries, want the backup's one", n)
		}
		aside := setAsideIn(t, dir)
		if len(aside) != 1 {
			t.Fatalf("set aside in %q", aside)
		}
		for path, was := range before {
			if now := files(t, aside[0])[filepath.Join(aside[0], filepath.Base(path))]; now != was {
				t.Errorf("%s is not aside as it was", filepath.Base(path))
			}
		}
	}
}

// TestARestoreThatBreaksOff at any step leaves a folder with which the server
// starts, with the old or the new records and the authority that belongs to
// them, and all that were there either in it or aside.
func TestARestoreThatBreaksOff(t *testing.T) {
	file, killed := afterAKill(t)
	other := anotherAuthority(t)
	for _, name := range authorityFiles {
		if err := copyOver(filepath.Join(other, name), filepath.Join(killed, name)); err != nil {
			t.Fatal(err)
		}
	}
	back, err := archive.Open(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	defer back.Close()
	broken := errors.New("the power is gone")
	wholes := map[int]bool{}
	for failing := 1; ; failing++ {
		dir := t.TempDir()
		if err := os.CopyFS(dir, os.DirFS(killed)); err != nil {
			t.Fatal(err)
		}
		steps, last := 0, ""
		r := restoring{ctx: t.Context(), back: back, dir: dir, now: time.Now(), probe: func(step string) error {
			last = step
			if steps++; steps == failing {
				return broken
			}
			return nil
		}}
		err := r.run()
		if err == nil {
			if failing < 12 {
				t.Errorf("only %d steps", failing-1)
			}
			break
		}
		if !errors.Is(err, broken) {
			t.Fatal(err)
		}
		if ready := filepath.Join(dir, readyToPlace); strings.Contains(fault.Of(err).Sentence, ready) != exists(ready) {
			t.Errorf("before %q the folder with the rest is said wrongly: %v", last, err)
		}
		all := entriesIn(t, dir)
		for _, folder := range setAsideIn(t, dir) {
			all = max(all, entriesIn(t, folder))
		}
		k := open(t, config.Config{Data: dir})
		here, err := k.db.Count(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		k.close()
		wholes[int(here)] = true
		if here != 51 && here != 1 || all != 51 {
			t.Errorf("before %q: the server starts with %d entries, at most %d of 51 anywhere", last, here, all)
		}
		if exists(filepath.Join(dir, readyToPlace)) {
			t.Errorf("before %q: the rest of the restore is still there", last)
		}
	}
	if !wholes[1] || !wholes[51] {
		t.Errorf("the server started with %v entries", wholes)
	}
}

// anotherAuthority is a folder with one.
func anotherAuthority(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if _, err := certs.OpenAuthority(dir, "another", time.Now()); err != nil {
		t.Fatal(err)
	}
	return dir
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
	damaged := filepath.Join(k.folder, photosFolder, sha(photos[0])+".jpg")
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
	if _, ok := back.Find(photosIn + sha(photos[1]) + ".jpg"); !ok {
		t.Error("the good photo isn't in the backup")
	}
	if code, _, errOut := call(t, "backup", filepath.Join(t.TempDir(), "none", "b.zip"), "--data", k.folder); code != exitBad || !strings.Contains(errOut, "isn't there") {
		t.Errorf("no such folder: %d %s", code, errOut)
	}
}

// TestAServerMakesTodaysBackup by itself.
func TestAServerMakesTodaysBackup(t *testing.T) {
	k := open(t, config.Config{})
	// Of the day it was made on, even if midnight has passed since.
	pattern := filepath.Join(k.folder, backupsFolder, backupPrefix+"????-??-??"+backupEnding)
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

// TestSweep removes what a broken restore left at once, since the folder is
// locked, and what a backup of an earlier version left after a day.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{backingUp + "1", restoringInto + "2", "photos", "mine"} {
		if err := os.MkdirAll(filepath.Join(dir, name, "x"), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	count := func() int {
		list, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		return len(list)
	}
	if err := sweep(dir, time.Now().Add(time.Hour)); err != nil || count() != 3 {
		t.Errorf("after an hour: %d left, %v", count(), err)
	}
	if err := sweep(dir, time.Now().Add(25*time.Hour)); err != nil || count() != 2 {
		t.Errorf("after a day: %d left, %v", count(), err)
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
