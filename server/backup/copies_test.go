package backup

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// TestWhichCopiesAreKept goes through three years of evenings and clocks that
// were wrong.
func TestWhichCopiesAreKept(t *testing.T) {
	others := []string{"mine.zip", "records-of-the-club.zip", "records-2026-02-30.zip", "records-2025-01-01.txt", "2025-01-01.zip", "records-2026-01-01-before-loss.zip"}
	day := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	names := slices.Clone(others)
	for range 600 {
		day = day.AddDate(0, 0, 2)
		names = append(names, CopyName(day))
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
			name := CopyName(at)
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
		if at := CopyName(day.AddDate(0, 0, 19-i)); !slices.Contains(names, at) {
			t.Errorf("%s is gone", at)
		}
	}
}

// TestWhenACopyIsDue: with something new, after enough of it or long enough, when
// the day changed, and never before the last one is long enough ago.
func TestWhenACopyIsDue(t *testing.T) {
	day := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	c, err := OpenCopies(t.TempDir(), "", "panside-x", "", func() bool { return false })
	if err != nil {
		t.Fatal(err)
	}
	copied := func(mark string, place int64, at time.Time, took time.Duration) {
		c.mark, c.place, c.since, c.took, c.ended = mark, place, time.Time{}, took, time.Now()
		if err := os.MkdirAll(filepath.Dir(c.file(at)), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(c.file(at), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	due := func(what string, mark string, place int64, at time.Time, want bool) {
		t.Helper()
		if got := c.Due(mark, place, at); got != want {
			t.Errorf("%s: due %v", what, got)
		}
	}
	due("no copy yet", "a", 1, day, true)
	copied("a", 1, day, 0)
	due("nothing new", "a", 1, day.Add(CopyWithin), false)
	due("one new", "b", 2, day, false)
	due("not yet long enough", "b", 2, day.Add(CopyWithin-time.Second), false)
	due("long enough", "b", 2, day.Add(CopyWithin), true)
	due("the clock was set back, so the waiting begins anew", "b", 2, day.Add(-time.Hour), false)
	copied("b", 2, day.Add(-24*time.Hour), 0)
	copied("b", 2, day, 0)
	due("too few", "c", 1+CopyEntries, day, false)
	due("enough", "c", 2+CopyEntries, day, true)
	due("the next day", "c", 3, day.AddDate(0, 0, 1), true)
	copied("c", 3, day, time.Hour)
	due("too soon after one that took long", "d", 3+CopyEntries, day, false)
	c.ended = time.Now().Add(-restAfter * time.Hour)
	due("after the rest", "d", 3+CopyEntries, day, true)
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// TestAKilledCopyLeavesNothing: what a start does removes what it left, at once,
// and leaves alone what a running backup works in.
func TestAKilledCopyLeavesNothing(t *testing.T) {
	dir, elsewhere := t.TempDir(), t.TempDir()
	backups := filepath.Join(dir, CopiesFolder)
	if err := os.Mkdir(backups, 0o700); err != nil {
		t.Fatal(err)
	}
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
	if err := Sweep(dir, time.Now()); err != nil {
		t.Fatal(err)
	}
	if _, err := OpenCopies(dir, "", "panside-x", "", func() bool { return false }); err != nil {
		t.Fatal(err)
	}
	for _, l := range left {
		if exists(l) {
			t.Errorf("%s is left", l)
		}
	}
	if !exists(running.dir) {
		t.Error("a running backup's folder is gone")
	}
	notes, err := filepath.Glob(filepath.Join(dir, notePrefix+"*"))
	if err != nil || len(notes) != 1 {
		t.Errorf("notes %v, %v", notes, err)
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
	if err := Sweep(dir, time.Now().Add(time.Hour)); err != nil || count() != 3 {
		t.Errorf("after an hour: %d left, %v", count(), err)
	}
	if err := Sweep(dir, time.Now().Add(25*time.Hour)); err != nil || count() != 2 {
		t.Errorf("after a day: %d left, %v", count(), err)
	}
}
