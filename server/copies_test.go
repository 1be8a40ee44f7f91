package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/server/backup"
	"panside/server/config"
)

// copiedEntries restores the newest copy of a day and counts what it has.
func copiedEntries(t *testing.T, file string) int {
	t.Helper()
	dir := t.TempDir()
	if code, _, errOut := call(t, "restore", file, "--data", dir); code != exitGood {
		t.Fatal(errOut)
	}
	return entriesIn(t, dir)
}

func todaysCopy(folder string, now time.Time) string {
	return filepath.Join(folder, backup.CopyName(now))
}

// hasCopied waits until the log tells of so many copies.
func (k *kitchen) hasCopied(times int) {
	k.t.Helper()
	for deadline := time.Now().Add(patience); strings.Count(k.log.String(), "the records are copied") < times; time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			k.t.Fatalf("fewer than %d copies; the log: %s", times, k.log.String())
		}
	}
}

func writeMany(p *pocket, n int) {
	for i := range n {
		p.write("find", "", fmt.Sprintf(`{"note":"find %d"}`, i))
	}
	p.push()
}

// TestTheEveningIsInTheCopy: a server is started in an empty folder, used, and
// stopped.
func TestTheEveningIsInTheCopy(t *testing.T) {
	k := open(t, config.Config{})
	k.hasCopied(1) // of nothing, at the start
	writeMany(k.pocket(1), 60)
	dir, now := k.folder, k.now()
	k.close()
	if n := copiedEntries(t, todaysCopy(filepath.Join(dir, backup.CopiesFolder), now)); n != 60 {
		t.Errorf("the copy has %d of 60 entries", n)
	}
	k = open(t, config.Config{Data: dir})
	k.close()
	if strings.Contains(k.log.String(), "the records are copied") {
		t.Error("copied again though nothing was new")
	}
}

// TestCopiesWhileItRuns: after so many entries, and after so long with anything
// new, but not without.
func TestCopiesWhileItRuns(t *testing.T) {
	k := open(t, config.Config{})
	k.hasCopied(1)
	p := k.pocket(1)
	writeMany(p, backup.CopyEntries-1)
	k.copyIfDue(t.Context(), false)
	copies := func() int { return strings.Count(k.log.String(), "the records are copied") }
	if n := copies(); n != 1 {
		t.Errorf("copied %d times before there was enough", n)
	}
	// A copy comes when its time has come and the one before is long enough ago,
	// by how long that took.
	comes := func(what string, entries int) {
		t.Helper()
		was, began := copies(), time.Now()
		for k.copyIfDue(t.Context(), false); copies() == was; k.copyIfDue(t.Context(), false) {
			if time.Since(began) > patience {
				t.Fatalf("no copy %s", what)
			}
			time.Sleep(5 * time.Millisecond)
		}
		if n := copiedEntries(t, todaysCopy(filepath.Join(k.folder, backup.CopiesFolder), k.now())); n != entries {
			t.Errorf("the copy %s has %d entries", what, n)
		}
	}
	writeMany(p, 1)
	comes("with enough that is new", backup.CopyEntries)
	was := copies()
	k.clock.forward(backup.CopyWithin)
	k.copyIfDue(t.Context(), false)
	if copies() != was {
		t.Error("copied though nothing was new")
	}
	writeMany(p, 1)
	k.copyIfDue(t.Context(), false)
	k.clock.forward(backup.CopyWithin)
	comes("in time", backup.CopyEntries+1)
	writeMany(p, 1)
	k.clock.forward(24 * time.Hour)
	comes("of the next day", backup.CopyEntries+2)
}

// TestCopiesDatedAhead are no reason to throw today's away.
func TestCopiesDatedAhead(t *testing.T) {
	k := open(t, config.Config{})
	k.hasCopied(1)
	folder := filepath.Join(k.folder, backup.CopiesFolder)
	for i := range 14 {
		if err := os.WriteFile(todaysCopy(folder, k.now().AddDate(5, 0, i)), []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	writeMany(k.pocket(1), 3)
	dir, now := k.folder, k.now()
	k.close()
	if n := copiedEntries(t, todaysCopy(filepath.Join(dir, backup.CopiesFolder), now)); n != 3 {
		t.Errorf("today's copy has %d entries", n)
	}
}

// said collects what the terminal would show.
type said struct {
	mu    sync.Mutex
	lines []string
}

func (s *said) add(line string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lines = append(s.lines, line)
}

func (s *said) all() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.Join(s.lines, "\n")
}

// openTelling starts a server whose terminal is read.
func openTelling(t *testing.T, cfg config.Config) (*kitchen, *said) {
	t.Helper()
	k := prepare(t, cfg, make(fakeScale).scale())
	s := &said{}
	k.Said = s.add
	k.begin()
	return k, s
}

// TestASecondFolder gets the copies too, is remembered, and is missed.
func TestASecondFolder(t *testing.T) {
	disk := t.TempDir()
	k, s := openTelling(t, config.Config{Copies: disk})
	k.hasCopied(1)
	writeMany(k.pocket(1), 5)
	dir, now := k.folder, k.now()
	place := k.copies.Second()
	k.close()
	if n := copiedEntries(t, todaysCopy(place, now)); n != 5 || s.all() != "" {
		t.Errorf("the second folder's copy has %d of 5 entries; said: %s", n, s.all())
	}

	// The disk is pulled out; its mount point stays and is empty.
	if err := os.Rename(place, filepath.Join(t.TempDir(), "pulled")); err != nil {
		t.Fatal(err)
	}
	k, s = openTelling(t, config.Config{Data: dir})
	if !strings.Contains(s.all(), place) || strings.Contains(s.all(), "\n") {
		t.Errorf("of the missing disk is said: %q", s.all())
	}
	conn := k.socket(k.join(device.Desk).Token)
	if m := aboutRecords(t, conn); !strings.Contains(m.Copies, place) || m.Sentence != "" {
		t.Errorf("the desk is told %+v", m)
	}
	p := k.pocket(2)
	writeMany(p, 1)
	k.copyIfDue(t.Context(), true)
	if list, err := os.ReadDir(disk); err != nil || len(list) != 0 {
		t.Errorf("copies landed where the disk isn't: %v, %v", list, err)
	}
	if n := copiedEntries(t, todaysCopy(filepath.Join(dir, backup.CopiesFolder), now)); n != 6 {
		t.Errorf("this computer's own copy has %d of 6 entries", n)
	}
	if err := os.Mkdir(place, 0o700); err != nil { // a new disk, made ready
		t.Fatal(err)
	}
	writeMany(p, 1)
	k.close()
	if n := copiedEntries(t, todaysCopy(place, now)); n != 7 || !strings.Contains(s.all(), "is back") {
		t.Errorf("the new disk's copy has %d of 7 entries; said: %s", n, s.all())
	}

	k, _ = openTelling(t, config.Config{Data: dir, Copies: backup.NoSecondFolder})
	if words := k.copies.Words(); strings.Contains(words, disk) {
		t.Error(words)
	}
	k.close()
}

// toldRecords is the live message about the laptop's records.
type toldRecords struct{ Type, Sentence, Copies string }

// aboutRecords reads messages up to the next one about the records.
func aboutRecords(t *testing.T, conn *websocket.Conn) (m toldRecords) {
	t.Helper()
	patiently(t, conn)
	for m.Type != "records" {
		m = toldRecords{}
		if err := conn.ReadJSON(&m); err != nil {
			t.Fatalf("waiting for a word about the records: %v", err)
		}
	}
	return m
}
