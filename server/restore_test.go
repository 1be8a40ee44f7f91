package main

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/backup"
	"panside/server/certs"
	"panside/server/config"
	"panside/server/sqlite"
)

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
func afterAKill(t *testing.T) (file, folder string) {
	t.Helper()
	k := open(t, config.Config{})
	a := k.pocket(1)
	a.write("find", "", `{"note":"first"}`)
	a.push()
	file = filepath.Join(t.TempDir(), "panside.zip")
	if code, _, errOut := call(t, "backup", file, "--data", k.folder); code != exitGood {
		t.Fatal(errOut)
	}
	for range 50 {
		a.write("find", "", `{"note":"more"}`)
	}
	a.push()
	folder = t.TempDir()
	for _, name := range []string{backup.RecordsFile, backup.RecordsFile + "-wal", backup.RecordsFile + "-shm"} {
		if err := copyOver(filepath.Join(k.folder, name), filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	return file, folder
}

// entriesIn counts the entries of a folder's records, 0 if there are none or
// they aren't whole.
func entriesIn(t *testing.T, folder string) int {
	t.Helper()
	facts, err := sqlite.Inspect(t.Context(), filepath.Join(folder, backup.RecordsFile))
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
	if err := os.WriteFile(filepath.Join(damaged, backup.RecordsFile), bytes.Repeat([]byte("garbage "), 512), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{killed, damaged} {
		before := files(t, dir)
		if code, _, errOut := call(t, "restore", file, "--data", dir, "--force"); code != exitGood {
			t.Fatal(errOut)
		}
		for _, beside := range []string{"-wal", "-shm"} {
			if exists(filepath.Join(dir, backup.RecordsFile+beside)) {
				t.Errorf("the old records' %s lies beside the new ones", beside)
			}
		}
		k := open(t, config.Config{Data: dir}) // which would read it into them
		if n, err := k.db.Count(t.Context()); err != nil || n != 1 {
			t.Errorf("the server has %d entries, want the backup's one; %v", n, err)
		}
		k.close()
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

// TestRestoreWhileAnotherProgramLooksIn: what lies beside records that another
// program reads can't all be put into them. It is not left beside the restored
// ones, which it would be taken for a part of.
func TestRestoreWhileAnotherProgramLooksIn(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no file is removed there that a program has open")
	}
	t.Parallel() // it waits for the other program for some seconds
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	file := filepath.Join(t.TempDir(), "panside.zip")
	if code, _, errOut := call(t, "backup", file, "--data", k.folder); code != exitGood {
		t.Fatal(errOut)
	}
	if status := k.ask("PUT", "/api/v1/me", phone.Token, map[string]string{"name": "Hall phone"}, nil); status != 200 {
		t.Fatal(status)
	}
	dir := k.folder
	records := filepath.Join(dir, backup.RecordsFile)
	other, err := sql.Open("sqlite3", "file:"+records)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	looking, err := other.BeginTx(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = looking.Rollback() }()
	var name string
	if err := looking.QueryRowContext(t.Context(), `SELECT name FROM devices`).Scan(&name); err != nil || name != "Hall phone" {
		t.Fatalf("%q, %v", name, err)
	}
	k.close()
	if !exists(records + "-wal") {
		t.Fatal("nothing lies beside the records, so this tests nothing")
	}
	if code, _, errOut := call(t, "restore", file, "--data", dir, "--force"); code != exitGood {
		t.Fatal(errOut)
	}
	for _, beside := range []string{"-wal", "-shm"} {
		if exists(records + beside) {
			t.Errorf("the old records' %s lies beside the restored ones", beside)
		}
	}
	k = open(t, config.Config{Data: dir})
	devices, err := k.db.Devices(t.Context())
	if err != nil || len(devices) != 1 || devices[0].Name != phone.Device.Name {
		t.Errorf("the restored devices are %+v, %v", devices, err)
	}
}

// TestARestoreThatBreaksOff at any step leaves a folder with which the server
// starts, with the old or the new records and the authority that belongs to
// them, and all that were there either in it or aside.
func TestARestoreThatBreaksOff(t *testing.T) {
	file, killed := afterAKill(t)
	other := anotherAuthority(t)
	for _, name := range backup.AuthorityFiles {
		if err := copyOver(filepath.Join(other, name), filepath.Join(killed, name)); err != nil {
			t.Fatal(err)
		}
	}
	back, err := backup.Open(t.Context(), file)
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
		_, err := back.Restore(t.Context(), backup.Restoring{Dir: dir, Force: true, Now: time.Now(), Step: func(step string) error {
			last = step
			if steps++; steps == failing {
				return broken
			}
			return nil
		}})
		if err == nil {
			if failing < 12 {
				t.Errorf("only %d steps", failing-1)
			}
			break
		}
		if !errors.Is(err, broken) {
			t.Fatal(err)
		}
		if ready := filepath.Join(dir, backup.ReadyToPlace); strings.Contains(fault.Of(err).English(), ready) != exists(ready) {
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
		if exists(filepath.Join(dir, backup.ReadyToPlace)) {
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
