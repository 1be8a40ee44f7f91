package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
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
	return filepath.Join(folder, backupPrefix+now.Format(time.DateOnly)+backupEnding)
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
	if n := copiedEntries(t, todaysCopy(filepath.Join(dir, backupsFolder), now)); n != 60 {
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
	k.copies.rested()
	writeMany(p, copyEntries-1)
	k.copyIfDue(t.Context(), false)
	if copies := strings.Count(k.log.String(), "the records are copied"); copies != 1 {
		t.Errorf("copied %d times before there was enough", copies)
	}
	writeMany(p, 1)
	k.copyIfDue(t.Context(), false)
	if n := copiedEntries(t, todaysCopy(filepath.Join(k.folder, backupsFolder), k.now())); n != copyEntries {
		t.Errorf("the copy has %d entries", n)
	}
	copies := func() int { return strings.Count(k.log.String(), "the records are copied") }
	was := copies()
	k.clock.forward(copyWithin)
	k.copyIfDue(t.Context(), false)
	if copies() != was {
		t.Error("copied though nothing was new")
	}
	k.copies.took = time.Hour
	writeMany(p, 1)
	k.copyIfDue(t.Context(), false)
	k.clock.forward(copyWithin - time.Second)
	k.copyIfDue(t.Context(), false)
	if copies() != was {
		t.Error("copied too early")
	}
	k.clock.forward(time.Second)
	k.copyIfDue(t.Context(), false) // too soon after the last, by how long that took
	if copies() != was {
		t.Error("copies without a rest")
	}
	k.copies.rested()
	k.copyIfDue(t.Context(), false)
	if copies() != was+1 {
		t.Error("not copied in time")
	}
	writeMany(p, 1)
	k.copies.rested()
	k.clock.forward(24 * time.Hour)
	k.copyIfDue(t.Context(), false)
	if n := copiedEntries(t, todaysCopy(filepath.Join(k.folder, backupsFolder), k.now())); n != copyEntries+2 {
		t.Errorf("the next day's copy has %d entries", n)
	}
}

// rested lets the rest after a copy be over.
func (c *copies) rested() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.took = 0
}

// TestCopiesDatedAhead are no reason to throw today's away.
func TestCopiesDatedAhead(t *testing.T) {
	k := open(t, config.Config{})
	k.hasCopied(1)
	folder := filepath.Join(k.folder, backupsFolder)
	for i := range keepDays {
		if err := os.WriteFile(todaysCopy(folder, k.now().AddDate(5, 0, i)), []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	writeMany(k.pocket(1), 3)
	dir, now := k.folder, k.now()
	k.close()
	if n := copiedEntries(t, todaysCopy(filepath.Join(dir, backupsFolder), now)); n != 3 {
		t.Errorf("today's copy has %d entries", n)
	}
}

// TestWhichCopiesAreKept goes through three years of evenings and clocks that
// were wrong.
func TestWhichCopiesAreKept(t *testing.T) {
	others := []string{"mine.zip", "records-of-the-club.zip", "records-2026-02-30.zip", "records-2025-01-01.txt", "2025-01-01.zip", "records-2026-01-01-before-loss.zip"}
	day := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	names := slices.Clone(others)
	for range 600 {
		day = day.AddDate(0, 0, 2)
		names = append(names, filepath.Base(todaysCopy("", day)))
		old := superfluous(names, day)
		names = slices.DeleteFunc(names, func(n string) bool { return slices.Contains(old, n) })
	}
	var kept []string
	for _, n := range names {
		if d, ok := dayOf(n); ok {
			kept = append(kept, d)
		} else if !slices.Contains(others, n) {
			t.Errorf("%s is nobody's", n)
		}
	}
	if len(names) != len(kept)+len(others) || len(kept) != keepDays+keepMonths {
		t.Errorf("kept %d copies and %d others", len(kept), len(names)-len(kept))
	}
	for i := 1; i <= keepDays; i++ {
		if want := day.AddDate(0, 0, -2*(i-1)).Format(time.DateOnly); kept[len(kept)-i] != want {
			t.Errorf("the day %s is gone", want)
		}
	}
	if oldest := day.AddDate(0, -11, 0).Format(time.DateOnly); kept[0] > oldest {
		t.Errorf("the oldest is of %s", kept[0])
	}

	// The clock jumps ahead, and back, and far back.
	for _, now := range []time.Time{day.AddDate(5, 0, 0), day, day.AddDate(-30, 0, 0), day} {
		for i := range 20 {
			at := now.AddDate(0, 0, i)
			name := filepath.Base(todaysCopy("", at))
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
			old := superfluous(names, at)
			if slices.Contains(old, name) {
				t.Fatalf("on %s its own copy is thrown away", at)
			}
			names = slices.DeleteFunc(names, func(n string) bool { return slices.Contains(old, n) })
		}
		if len(names) > 2*(keepDays+keepMonths)+len(others) {
			t.Errorf("%d copies pile up", len(names))
		}
	}
	for i := range keepDays {
		if at := todaysCopy("", day.AddDate(0, 0, 19-i)); !slices.Contains(names, at) {
			t.Errorf("%s is gone", at)
		}
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
	k := prepare(t, cfg, make(pan).scale())
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
	place := k.copies.second.place()
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
	if n := copiedEntries(t, todaysCopy(filepath.Join(dir, backupsFolder), now)); n != 6 {
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

	k, _ = openTelling(t, config.Config{Data: dir, Copies: noSecondFolder})
	if words := k.copies.words(); strings.Contains(words, disk) {
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

// TestAKilledCopyLeavesNothing: the next start removes what it left, at once,
// and leaves alone what a running backup works in.
func TestAKilledCopyLeavesNothing(t *testing.T) {
	k := open(t, config.Config{})
	k.hasCopied(1)
	dir, elsewhere := k.folder, t.TempDir()
	k.close() // so that no copy is due at the next start, which would clean up too
	backups := filepath.Join(dir, backupsFolder)
	var left []string
	for _, folder := range []string{backups, elsewhere} {
		w, err := workIn(folder)
		if err != nil {
			t.Fatal(err)
		}
		if folder == elsewhere {
			_ = noteWork(dir, w.dir)
		}
		if err := w.lock.Release(); err != nil { // as a kill does
			t.Fatal(err)
		}
		left = append(left, w.dir)
	}
	running, err := workIn(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer running.remove()
	defer noteWork(dir, running.dir)()
	k = open(t, config.Config{Data: dir})
	for _, l := range left {
		if exists(l) {
			t.Errorf("%s is left", l)
		}
	}
	if !exists(running.dir) {
		t.Error("a running backup's folder is gone")
	}
	notes, err := filepath.Glob(filepath.Join(k.folder, notePrefix+"*"))
	if err != nil || len(notes) != 1 {
		t.Errorf("notes %v, %v", notes, err)
	}
}
