package pairing_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"panside/server/pairing"
)

type originMemory struct {
	kept   map[string]time.Time
	writes int
	fail   error
}

func (m *originMemory) Origins(context.Context) (map[string]time.Time, error) {
	return maps.Clone(m.kept), m.fail
}

func (m *originMemory) KeepOrigin(_ context.Context, origin string, at time.Time) error {
	if m.fail == nil {
		m.kept[origin] = at
		m.writes++
	}
	return m.fail
}

func (m *originMemory) DropOrigin(_ context.Context, origin string) error {
	if m.fail == nil {
		delete(m.kept, origin)
	}
	return m.fail
}

type originTable struct {
	*pairing.Origins
	store *originMemory
	now   time.Time
	log   bytes.Buffer
}

func setOrigins(t *testing.T, known ...string) *originTable {
	t.Helper()
	tb := &originTable{store: &originMemory{kept: map[string]time.Time{}}, now: time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)}
	for i, o := range known {
		tb.store.kept[o] = tb.now.Add(-time.Duration(len(known)-i) * 48 * time.Hour)
	}
	var err error
	tb.Origins, err = pairing.OpenOrigins(t.Context(), tb.store, func() time.Time { return tb.now }, slog.New(slog.NewTextHandler(&tb.log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	return tb
}

func TestOriginsAreLearntOnceADay(t *testing.T) {
	tb := setOrigins(t, "https://192.168.1.5:8311")
	const fresh = "https://192.168.1.9:8311"
	if !tb.Has("https://192.168.1.5:8311") || tb.Has(fresh) || tb.Has("") || tb.Has("null") {
		t.Error("the wrong origins are known at the start")
	}
	for range 47 { // every hour of two days
		tb.Learn(t.Context(), fresh)
		tb.now = tb.now.Add(time.Hour)
	}
	if !tb.Has(fresh) || tb.store.writes != 2 {
		t.Errorf("known: %v, written %d times in two days, want 2", tb.Has(fresh), tb.store.writes)
	}
	if got := tb.All(); !slices.Equal(got, []string{fresh, "https://192.168.1.5:8311"}) {
		t.Errorf("listed %v", got)
	}
}

func TestTheOldestOriginGoesFirst(t *testing.T) {
	var known []string
	for i := range 500 {
		known = append(known, fmt.Sprintf("https://10.0.%d.%d:8311", i/250, i%250))
	}
	tb := setOrigins(t, known...)
	tb.Learn(t.Context(), known[0]) // in use again
	tb.Learn(t.Context(), "https://192.168.1.9:8311")
	if tb.Has(known[1]) || !tb.Has(known[0]) || !tb.Has(known[2]) || len(tb.store.kept) != 500 {
		t.Errorf("the one served longest ago: %v, one in use: %v, kept %d", tb.Has(known[1]), tb.Has(known[0]), len(tb.store.kept))
	}
}

func TestAnOriginThatCannotBeStoredHoldsUntilTheRestart(t *testing.T) {
	tb := setOrigins(t)
	tb.store.fail = errors.New("disk full")
	tb.Learn(t.Context(), "https://192.168.1.9:8311")
	if !tb.Has("https://192.168.1.9:8311") || !strings.Contains(tb.log.String(), "disk full") {
		t.Errorf("known: %v, log: %s", tb.Has("https://192.168.1.9:8311"), &tb.log)
	}
	if _, err := pairing.OpenOrigins(t.Context(), tb.store, time.Now, slog.New(slog.DiscardHandler)); !errors.Is(err, tb.store.fail) {
		t.Errorf("opening: %v", err)
	}
}

func TestOriginsLearntByManyAtOnce(t *testing.T) {
	tb := setOrigins(t)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for i := range 100 {
				origin := fmt.Sprintf("https://10.0.0.%d:8311", i)
				tb.Learn(t.Context(), origin)
				if !tb.Has(origin) {
					t.Errorf("%s is not known", origin)
				}
			}
		})
	}
	wg.Wait()
	if tb.store.writes != 100 {
		t.Errorf("written %d times, want 100", tb.store.writes)
	}
}
