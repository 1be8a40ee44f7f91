package photocare

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/device"
	"panside/internal/journal"
)

// laptop is the disk, the journal and the devices in memory.
type laptop struct {
	*Care
	t *testing.T

	mu       sync.Mutex // over the rest while a round is going
	steps    []Step
	stepErr  error
	reads    int
	fresh    chan struct{}
	troubled []Trouble
	here     map[string]bool
	entries  []json.RawMessage
	life     int
	devices  []device.Device
	changed  int
	now      time.Time
	log      strings.Builder
}

var ann, desk = device.Device{ID: "a", Name: "Ann's phone"}, device.Device{ID: "d", Name: "kitchen"}

func newLaptop(t *testing.T) *laptop {
	l := &laptop{t: t, fresh: make(chan struct{}, 1), here: map[string]bool{}, life: 1, devices: []device.Device{ann, desk}, now: time.UnixMilli(1_700_000_000_000)}
	l.Care = New(Options{
		ReadNext: func() (Step, error) {
			l.mu.Lock()
			defer l.mu.Unlock()
			l.reads++
			if l.stepErr != nil || len(l.steps) == 0 {
				return Step{Wait: time.Hour}, l.stepErr
			}
			step := l.steps[0]
			l.steps = l.steps[1:]
			return step, nil
		},
		Fresh:    l.fresh,
		Troubled: func() ([]Trouble, error) { return locked(l, &l.troubled), nil },
		Missing: func(sums []string) (missing []string, err error) {
			for _, sum := range sums {
				if !l.here[sum] {
					missing = append(missing, sum)
				}
			}
			return missing, nil
		},
		EntriesAfter: func(_ context.Context, cursor, _ string, limit int) (journal.Page, error) {
			life, from := 0, 0
			_, _ = fmt.Sscanf(cursor, "%d.%d", &life, &from) // nothing at first
			l.mu.Lock()
			defer l.mu.Unlock()
			p := journal.Page{Restart: cursor != "" && life != l.life}
			if p.Restart {
				from = 0
			}
			to := min(from+2, len(l.entries))
			p.Entries, p.More, p.Cursor = l.entries[from:to], to < len(l.entries), fmt.Sprintf("%d.%d", l.life, to)
			return p, nil
		},
		Devices: func(context.Context) ([]device.Device, error) { return l.devices, nil },
		Changed: func() {
			l.mu.Lock()
			defer l.mu.Unlock()
			l.changed++
		},
		Now: func() time.Time { return l.now },
		Log: slog.New(slog.NewTextHandler(l, nil)),
	})
	return l
}

func locked[T any](l *laptop, v *T) T {
	l.mu.Lock()
	defer l.mu.Unlock()
	return *v
}

// Write is the log's.
func (l *laptop) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.log.Write(b)
}

const find = "0190a000-0000-7000-8000-000000000001"

func sum(letter string) string { return strings.Repeat(letter, 64) }

// names lets a find name a photo, or takes it away from it again.
func (l *laptop) names(letter string, at time.Time, replaces string) {
	value := `{"sha256":"` + sum(letter) + `","type":"image/jpeg","bytes":1}`
	if replaces != "" {
		value, replaces = "null", `,"replaces":["`+replaces+`"]`
	}
	if len(l.entries) > 0 {
		replaces += `,"prev":"` + sum("0") + `"`
	}
	l.entries = append(l.entries, json.RawMessage(fmt.Sprintf(`{"id":"w.%d","at":"%d.0","record":%q,"kind":"find","field":"photo/%s","value":%s%s}`, len(l.entries)+1, at.UnixMilli(), find, sum(letter), value, replaces)))
}

// sees looks and tells what Ann's phone is then shown.
func (l *laptop) sees() string {
	l.t.Helper()
	if err := l.Look(l.t.Context()); err != nil {
		l.t.Fatal(err)
	}
	w, err := l.Wanted(l.t.Context(), "a")
	if err != nil || w.V != 1 || w.Photos == nil {
		l.t.Fatal(w, err)
	}
	var b strings.Builder
	for _, p := range w.Photos {
		fmt.Fprint(&b, p.Photo[:1], " ", p.Why, " of ", string(p.Record[max(0, len(p.Record)-1):]), " told ", p.Told, " waiting for ", p.WaitingFor, "; ")
	}
	return b.String()
}

func TestWhatIsWanted(t *testing.T) {
	l := newLaptop(t)
	for letter, age := range map[string]time.Duration{"a": 2 * time.Hour, "b": time.Minute, "c": -1000 * time.Hour} {
		l.names(letter, l.now.Add(-age), "")
	}
	l.here[sum("e")] = true
	l.names("e", l.now.Add(-time.Hour), "")
	want := "a absent of 1 told false waiting for [Ann's phone kitchen]; c absent of 1 told false waiting for [Ann's phone kitchen]; "
	if got := l.sees(); got != want {
		t.Errorf("what finds name: %s", got)
	}
	l.here[sum("a")], l.here[sum("c")] = true, true
	if got := l.sees(); got != "" {
		t.Errorf("after they came: %s", got)
	}
	if l.changed != 2 || strings.Count(l.log.String(), "is asked for from the phones") != 2 || strings.Count(l.log.String(), "isn’t asked for any more") != 2 {
		t.Errorf("told %d times:\n%s", l.changed, &l.log)
	}
	l.now = l.now.Add(time.Hour) // and b hasn't come
	l.troubled = []Trouble{{sum("e"), journal.PhotoDamaged}, {sum("f"), journal.PhotoGone}}
	delete(l.here, sum("e"))
	if got := l.sees(); !strings.HasPrefix(got, "b absent of 1") || !strings.Contains(got, "; e damaged of 1 ") || !strings.Contains(got, "; f gone of  ") {
		t.Errorf("damaged and gone: %s", got)
	}
	// A photo that a find had and has no more is wanted by nobody.
	for i, raw := range l.entries {
		if strings.Contains(string(raw), sum("e")) {
			l.names("e", l.now, fmt.Sprintf("w.%d", i+1))
		}
	}
	if got := l.sees(); strings.Contains(got, "e damaged") {
		t.Errorf("removed from its find: %s", got)
	}
	// The records are put back to before all of this.
	l.life, l.entries = 2, nil
	if got := l.sees(); !strings.HasPrefix(got, "e damaged") || strings.Contains(got, "absent") {
		t.Errorf("put back: %s", got)
	}
}

// TestWhatNobodyHas is known once every device said so; what came and went again
// is asked for anew.
func TestWhatNobodyHas(t *testing.T) {
	l := newLaptop(t)
	l.NotHeld("a", []string{sum("a")}) // nobody asked
	l.troubled = []Trouble{{sum("a"), journal.PhotoDamaged}}
	for _, step := range []struct{ says, want string }{
		{"", "a damaged of  told false waiting for [Ann's phone kitchen]; "},
		{"d", "a damaged of  told false waiting for [Ann's phone]; "},
		{"a", "a damaged of  told true waiting for []; "},
	} {
		if step.says != "" {
			l.NotHeld(step.says, []string{sum("b"), sum("a")})
		}
		if got := l.sees(); got != step.want {
			t.Errorf("after word of %q: %s", step.says, got)
		}
	}
	l.here[sum("a")] = true
	if w, err := l.Wanted(t.Context(), "a"); err != nil || len(w.Photos) > 0 {
		t.Errorf("came meanwhile: %+v, %v", w, err)
	}
	l.troubled = nil
	l.sees()
	delete(l.here, sum("a"))
	l.troubled = []Trouble{{sum("a"), journal.PhotoDamaged}}
	if got := l.sees(); got != "a damaged of  told false waiting for [Ann's phone kitchen]; " {
		t.Errorf("once more: %s", got)
	}
}

// TestTheRound: it rests between readings, wakes for new photos, tells the
// phones when some were read back or found damaged, and logs a dead disk once.
func TestTheRound(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLaptop(t)
		l.o.Now = time.Now
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan struct{})
		after := func(d time.Duration, look func()) {
			time.Sleep(d)
			synctest.Wait()
			l.mu.Lock()
			defer l.mu.Unlock()
			look()
		}
		rested := func(d time.Duration, reads int) {
			t.Helper()
			after(d, func() {
				if l.reads != reads {
					t.Errorf("%d reads, want %d", l.reads, reads)
				}
			})
		}
		for i := range 30 {
			l.steps = append(l.steps, Step{Sum: fmt.Sprint(i), Right: true, First: true, Waiting: 29 - i, Wait: time.Second})
		}
		go func() { l.Run(ctx); close(done) }()
		rested(time.Millisecond, 1)
		l.fresh <- struct{}{} // is no reason to hurry
		rested(28*time.Second, 29)
		rested(time.Second, 30)
		after(0, func() {
			if l.changed != 2 {
				t.Errorf("told %d times of 30 photos read back", l.changed)
			}
		})
		rested(3*time.Second, 33) // the word it was woken by, and once more to look
		rested(time.Minute, 33)

		after(0, func() {
			l.steps = []Step{{Sum: "e", Wait: time.Second}}
			l.troubled = []Trouble{{sum("e"), journal.PhotoDamaged}}
		})
		l.fresh <- struct{}{}
		rested(0, 34)
		after(time.Minute, func() {
			if l.changed != 3 || !strings.Contains(l.log.String(), sum("e")) {
				t.Errorf("told %d times\n%s", l.changed, &l.log)
			}
			l.names("e", l.o.Now(), "")
			l.names("e", l.o.Now(), "w.1")
		})
		l.Grown()
		after(0, func() {
			if l.changed != 4 {
				t.Errorf("told %d times of a photo that was removed from its find", l.changed)
			}
			l.stepErr = errors.New("no disk")
		})
		after(time.Hour, func() {
			if n := strings.Count(l.log.String(), "could not be read again"); n != 1 {
				t.Errorf("logged %d times", n)
			}
		})
		cancel()
		<-done
	})
}

// TestNothingIsTold while nothing changes.
func TestNothingIsTold(t *testing.T) {
	l := newLaptop(t)
	l.troubled = []Trouble{{sum("a"), journal.PhotoGone}}
	l.sees()
	l.sees()
	if l.changed != 1 {
		t.Errorf("told %d times", l.changed)
	}
	if !slices.Equal(l.devices, []device.Device{ann, desk}) {
		t.Error("the devices were changed")
	}
}
