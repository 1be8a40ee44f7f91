package photostore

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/server/testjpeg"
)

// night is a store with a clock of its own and some photos.
type night struct {
	*Store
	t      *testing.T
	now    time.Time
	photos [][]byte
}

func newNight(t *testing.T, photos int) *night {
	t.Helper()
	n := &night{t: t, now: time.Unix(1_700_000_000, 0)}
	dir := filepath.Join(t.TempDir(), "photos")
	n.reopen(dir)
	for i := range photos {
		b := testjpeg.Noise(uint64(100+i), 16)
		put(t, n.Store, b, 1<<20)
		n.photos = append(n.photos, b)
	}
	return n
}

func (n *night) reopen(dir string) {
	n.t.Helper()
	n.Store = open(n.t, dir)
	n.Now = func() time.Time { return n.now }
}

// step reads once more and lets the time pass that it is to wait.
func (n *night) step() Step {
	n.t.Helper()
	step, err := n.ReadNext(Calm)
	if err != nil {
		n.t.Fatal(err)
	}
	n.now = n.now.Add(step.Wait)
	return step
}

// through reads until nothing is due now, and says what was found.
func (n *night) through() (found []Step) {
	n.t.Helper()
	n.now = n.now.Add(Calm.Quiet)
	for {
		step := n.step()
		if step.Found == Nothing {
			return found
		}
		found = append(found, step)
	}
}

func (n *night) sum(i int) string { return sumOf(n.photos[i]) }

func (n *night) file(i int) string {
	n.t.Helper()
	p, err := n.Find(n.sum(i))
	if err != nil {
		n.t.Fatal(err)
	}
	return p.Path
}

// rot flips a bit without leaving a trace in the file's times, as a disk does.
func (n *night) rot(i int) {
	n.t.Helper()
	file := n.file(i)
	info, err := os.Stat(file)
	if err != nil {
		n.t.Fatal(err)
	}
	raw := bytes.Clone(n.photos[i])
	raw[len(raw)/2] ^= 4
	if err := errors.Join(os.WriteFile(file, raw, 0o600), os.Chtimes(file, time.Time{}, info.ModTime())); err != nil {
		n.t.Fatal(err)
	}
}

func (n *night) progress(i int) journal.PhotoProgress {
	n.t.Helper()
	p, err := n.Have(n.sum(i))
	if err != nil {
		n.t.Fatal(err)
	}
	return p
}

func (n *night) troubles() []Trouble {
	n.t.Helper()
	list, err := n.Troubled()
	if err != nil {
		n.t.Fatal(err)
	}
	return list
}

// TestEveryPhotoIsReadWithinAWeek, new ones within a day, over two months with a
// restart now and then, by the schedule alone.
func TestEveryPhotoIsReadWithinAWeek(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const day = 24 * time.Hour
		now := time.Unix(1_700_000_000, 0)
		photos, last, came := map[string]reading{}, map[string]time.Time{}, map[string]time.Time{}
		// The disk needs so long for one photo; all of them fit into a day's share.
		n := rapid.IntRange(1, 60).Draw(t, "photos")
		most := int(day / 20 / time.Duration(n) / time.Second)
		reads := time.Duration(rapid.IntRange(1, most).Draw(t, "seconds")) * time.Second
		began, ended, share := now, now, 0
		for i := range n {
			photos[fmt.Sprint(i)] = reading{}
			came[fmt.Sprint(i)] = now
		}
		for now.Sub(began) < 60*day {
			sum, due, _ := Calm.next(photos, now)
			if due.After(now) {
				now = due
				continue
			}
			first := photos[sum].at.IsZero()
			since := cmp.Or(last[sum], came[sum])
			most := 7 * day
			if first {
				most = day
			}
			if wait := now.Sub(since); wait > most {
				t.Fatalf("photo %s waited %v (first: %v)", sum, wait, first)
			}
			if gap := now.Sub(ended); gap < reads*time.Duration(share) {
				t.Fatalf("after %v of reading the disk is left alone for %v", reads, gap)
			}
			share = map[bool]int{true: 4, false: 19}[first] // a fifth, a twentieth
			now = now.Add(reads)
			ended = now
			last[sum] = now
			photos[sum] = reading{at: now}
			now = now.Add(Calm.rest(reads, first))
		}
	})
}

func TestAWrongClockMakesAPhotoDue(t *testing.T) {
	now := time.Unix(1_700_000_000, 0)
	for _, tc := range []struct {
		at     time.Time
		counts bool
		due    bool
	}{
		{now.Add(-time.Hour), true, false},
		{now.Add(-7 * 24 * time.Hour), true, true},
		{now.Add(-9 * 24 * time.Hour), false, true},
		{now.Add(400 * 24 * time.Hour), false, true},
		{time.Time{}, false, true},
	} {
		r := reading{at: tc.at}
		if got := r.counts(now); got != tc.counts {
			t.Errorf("read at %v counts: %v", tc.at, got)
		}
		if got := !Calm.due(r, now).After(now); got != tc.due {
			t.Errorf("read at %v is due: %v", tc.at, got)
		}
	}
}

// TestReadBackBeforeVerified: complete comes with the upload, verified only
// after the photo was read from the disk; the place in the round is kept.
func TestReadBackBeforeVerified(t *testing.T) {
	n := newNight(t, 3)
	all := []string{n.sum(0), n.sum(1), n.sum(2)}
	if p := n.progress(0); !p.Complete || p.Verified {
		t.Errorf("just uploaded: %+v", p)
	}
	select {
	case <-n.Fresh():
	default:
		t.Error("nobody is told of new photos")
	}
	if missing, verified, err := n.Missing(all, false); err != nil || len(missing)+len(verified) > 0 {
		t.Errorf("%q, %q, %v", missing, verified, err)
	}
	steps := n.through()
	if len(steps) != 3 || slices.ContainsFunc(steps, func(s Step) bool { return s.Found != Right || !s.First }) || steps[2].Waiting != 0 {
		t.Errorf("%+v", steps)
	}
	if p := n.progress(0); !p.Complete || !p.Verified || p.Have != int64(len(n.photos[0])) || p.V != 1 {
		t.Errorf("read back: %+v", p)
	}
	n.reopen(n.dir)
	if steps := n.through(); len(steps) != 0 {
		t.Errorf("after a restart all begins anew: %+v", steps)
	}
	if missing, verified, err := n.Missing(all, false); err != nil || len(missing) > 0 || !slices.Equal(verified, all) {
		t.Errorf("after a restart %q, %q, %v", missing, verified, err)
	}
	n.now = n.now.Add(6 * 24 * time.Hour)
	if steps := n.through(); len(steps) != 3 || steps[0].First {
		t.Errorf("after a week %+v", steps)
	}
	// The laptop was off for a month.
	n.now = n.now.Add(30 * 24 * time.Hour)
	if _, verified, err := n.Missing(all, false); err != nil || len(verified) > 0 {
		t.Errorf("after a month %q, %v", verified, err)
	}
	// A phone wants to free its copies, and one has rotten since.
	n.rot(1)
	if missing, verified, err := n.Missing(all, true); err != nil || !slices.Equal(missing, all[1:2]) || !slices.Equal(verified, []string{all[0], all[2]}) {
		t.Errorf("read for the answer %q, %q, %v", missing, verified, err)
	}
}

// TestUploadsGoFirst, but not for ever.
func TestUploadsGoFirst(t *testing.T) {
	n := newNight(t, 1)
	b := testjpeg.Noise(7, 16)
	part := func() {
		if _, err := n.Put(sumOf(b), 0, int64(len(b)), b[:10]); err != nil {
			t.Fatal(err)
		}
	}
	if s := n.step(); s.Found != Nothing || s.Wait != Calm.Quiet {
		t.Errorf("right after an upload: %+v", s)
	}
	part()
	if s := n.step(); s.Found != Nothing {
		t.Errorf("while the next one comes: %+v", s)
	}
	for began := n.now; ; n.now = n.now.Add(Calm.Quiet / 2) {
		part()
		s, err := n.ReadNext(Calm)
		if err != nil {
			t.Fatal(err)
		}
		if waited := n.now.Sub(began); s.Found == Right && waited < Calm.Patience-time.Minute || waited > Calm.Patience+time.Minute {
			t.Fatalf("read after %v: %+v", waited, s)
		}
		if s.Found == Right {
			break
		}
	}
}

// TestADamagedPhotoIsSetApart whatever happened to it and whoever finds it, and
// comes again from a phone.
func TestADamagedPhotoIsSetApart(t *testing.T) {
	empty := func(n *night) {
		if err := os.Truncate(n.file(0), 0); err != nil {
			t.Fatal(err)
		}
	}
	shorten := func(n *night) {
		if err := os.Truncate(n.file(0), 100); err != nil {
			t.Fatal(err)
		}
	}
	rot := func(n *night) { n.rot(0) }
	remove := func(n *night) {
		if err := os.Remove(n.file(0)); err != nil {
			t.Fatal(err)
		}
	}
	scrub := func(n *night) {
		n.now = n.now.Add(7 * 24 * time.Hour)
		found := n.through()
		if !slices.ContainsFunc(found, func(s Step) bool { return s.Sum == n.sum(0) && s.Found == Damaged }) {
			t.Errorf("found %+v", found)
		}
	}
	show := func(n *night) {
		if _, _, err := n.Read(n.sum(0)); code(err) != fault.NotFound {
			t.Errorf("shown: %v", err)
		}
	}
	look := func(n *night) { // within the hour
		n.now = n.now.Add(time.Hour)
		n.through()
	}
	for _, tc := range []struct {
		what   string
		damage func(*night)
		find   func(*night)
		why    Found
	}{
		{"rotten, found by reading again", rot, scrub, Damaged},
		{"rotten, found when asked for", rot, func(*night) {}, Damaged},
		{"rotten, found when it is to be shown", rot, show, Damaged},
		{"empty, found by looking through", empty, look, Damaged},
		{"empty, found when asked for", empty, func(*night) {}, Damaged},
		{"shorter, found by looking through", shorten, look, Damaged},
		{"gone", remove, look, Gone},
		{"gone, found when asked for", remove, func(*night) {}, Gone},
	} {
		t.Run(tc.what, func(t *testing.T) {
			for _, restart := range []bool{false, true} {
				n := newNight(t, 2)
				n.through()
				n.now = n.now.Add(2 * time.Minute)
				tc.damage(n)
				if restart {
					n.reopen(n.dir)
				}
				select {
				case <-n.Fresh(): // that they came
				default:
				}
				tc.find(n)
				if p := n.progress(0); p.Complete || p.Verified || p.Have != 0 || p.V != 1 {
					t.Errorf("%+v", p)
				}
				select {
				case <-n.Fresh():
				default:
					if tc.why == Damaged {
						t.Error("nobody is told of it")
					}
				}
				if missing, verified, err := n.Missing([]string{n.sum(0), n.sum(1)}, false); err != nil || !slices.Equal(missing, []string{n.sum(0)}) || !slices.Equal(verified, []string{n.sum(1)}) {
					t.Errorf("missing %q, verified %q, %v", missing, verified, err)
				}
				if _, _, err := n.Read(n.sum(0)); code(err) != fault.NotFound {
					t.Errorf("served: %v", err)
				}
				if got := n.troubles(); !slices.Equal(got, []Trouble{{n.sum(0), tc.why}}) {
					t.Errorf("troubles %v", got)
				}
				n.reopen(n.dir)
				if got := n.troubles(); !slices.Equal(got, []Trouble{{n.sum(0), tc.why}}) {
					t.Errorf("after a restart %v", got)
				}
				apart, err := filepath.Glob(filepath.Join(n.dir, damaged, n.sum(0)+"*"))
				if err != nil || len(apart) != map[Found]int{Damaged: 1, Gone: 0}[tc.why] {
					t.Errorf("set apart: %q, %v", apart, err)
				}
				put(t, n.Store, n.photos[0], 100)
				if got := n.troubles(); len(got) != 0 {
					t.Errorf("sent again and still troubled: %v", got)
				}
				if p := n.progress(0); !p.Complete || p.Verified {
					t.Errorf("sent again: %+v", p)
				}
				n.through()
				if p := n.progress(0); !p.Verified {
					t.Errorf("read back again: %+v", p)
				}
				if left, err := filepath.Glob(filepath.Join(n.dir, damaged, "*")); err != nil || !slices.Equal(left, apart) {
					t.Errorf("what was set apart is %q now, %v", left, err)
				}
			}
		})
	}
}

// TestDamagedTwice keeps both damaged copies, also when the clock stands still.
func TestDamagedTwice(t *testing.T) {
	n := newNight(t, 1)
	for range 2 {
		n.rot(0)
		if _, err := n.Have(n.sum(0)); err != nil {
			t.Fatal(err)
		}
		put(t, n.Store, n.photos[0], 1<<20)
	}
	if apart, err := os.ReadDir(filepath.Join(n.dir, damaged)); err != nil || len(apart) != 2 {
		t.Errorf("%v, %v", apart, err)
	}
}

// TestAPhotoPutBackByHandIsReadAgain: its times differ from what was read, so it
// is looked at, and counts as read back only after it was.
func TestAPhotoPutBackByHandIsReadAgain(t *testing.T) {
	n := newNight(t, 1)
	n.through()
	if err := os.Chtimes(n.file(0), time.Time{}, time.Unix(5, 0)); err != nil {
		t.Fatal(err)
	}
	if p := n.progress(0); !p.Complete || p.Verified {
		t.Errorf("%+v", p)
	}
	n.through()
	if p := n.progress(0); !p.Verified {
		t.Errorf("read: %+v", p)
	}
}

// TestWhatCantBeMovedAwayIsNeverCalledWhole: the folder can't be written, so the
// damaged photo stays in its place.
func TestWhatCantBeMovedAwayIsNeverCalledWhole(t *testing.T) {
	n := newNight(t, 1)
	n.through()
	n.rot(0)
	n.Probe = func(step string) error {
		if step == "set-apart" {
			return &os.PathError{Op: "rename", Path: "x", Err: errors.New("no more")}
		}
		return nil
	}
	n.now = n.now.Add(7 * 24 * time.Hour)
	if _, err := n.ReadNext(Calm); code(err) != fault.DataFolder {
		t.Errorf("reading it again: %v", err)
	}
	for range 2 {
		if p, err := n.Have(n.sum(0)); err == nil {
			t.Errorf("%+v", p)
		}
		if missing, verified, err := n.Missing([]string{n.sum(0)}, false); err == nil && (len(missing) == 0 || len(verified) > 0) {
			t.Errorf("missing %q, verified %q", missing, verified)
		}
		if _, _, err := n.Read(n.sum(0)); err == nil {
			t.Error("served")
		}
	}
	if _, err := os.Stat(filepath.Join(n.dir, n.sum(0)+".jpg")); err != nil {
		t.Error(err)
	}
}

// TestALedgerOfAnyBytes never makes more photos count as read back than were.
func TestALedgerOfAnyBytes(t *testing.T) {
	n := newNight(t, 2)
	n.through()
	file := filepath.Join(n.dir, ledger)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for name, raw := range map[string][]byte{
		"nothing":    {},
		"torn":       whole[:len(whole)-30],
		"noise":      append([]byte("\x00\xff 1 2\n../../x 1 1 1\n"+n.sum(0)+" -5 x\n"), whole...),
		"long lines": append(bytes.Repeat([]byte("9"), 100_000), whole...),
	} {
		if err := os.WriteFile(file, raw, 0o600); err != nil {
			t.Fatal(err)
		}
		n.reopen(n.dir)
		if p := n.progress(0); !p.Complete {
			t.Errorf("%s: %+v", name, p)
		}
		n.through()
		for i := range n.photos {
			if p := n.progress(i); !p.Complete || !p.Verified {
				t.Errorf("%s: read again %+v", name, p)
			}
		}
		if tidy, err := os.ReadFile(file); err != nil || bytes.Count(tidy, []byte("\n")) > 4 {
			t.Errorf("%s: %d lines, %v", name, bytes.Count(tidy, []byte("\n")), err)
		}
	}
}

func TestTheProgressOfAnythingSaysItsVersion(t *testing.T) {
	n := newNight(t, 0)
	b := testjpeg.Noise(1, 24)
	for i, want := range []int64{0, 1, 300} {
		if i > 0 {
			if p, err := n.Put(sumOf(b), 0, int64(len(b)), b[:want]); err != nil || p.V != 1 || p.Have != want {
				t.Errorf("%+v, %v", p, err)
			}
		}
		if p, err := n.Have(sumOf(b)); err != nil || p != (journal.PhotoProgress{V: 1, Have: want}) {
			t.Errorf("%+v, %v", p, err)
		}
	}
}

func TestReadGivesTheWholePhoto(t *testing.T) {
	n := newNight(t, 1)
	f, kind, err := n.Read(n.sum(0))
	if err != nil || kind != "image/jpeg" {
		t.Fatal(kind, err)
	}
	defer f.Close()
	if got, err := io.ReadAll(f); err != nil || !bytes.Equal(got, n.photos[0]) {
		t.Error("other bytes", err)
	}
}
