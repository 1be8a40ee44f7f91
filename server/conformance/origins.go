package conformance

import (
	"context"
	"maps"
	"testing"
	"time"
)

// OriginStore keeps the origins under which the server was served.
type OriginStore interface {
	Origins(ctx context.Context) (map[string]time.Time, error)
	KeepOrigin(ctx context.Context, origin string, at time.Time) error
	DropOrigin(ctx context.Context, origin string) error
}

// TestOriginStore holds an empty store of origins to what is expected of one.
func TestOriginStore(t *testing.T, s OriginStore) {
	ctx := t.Context()
	evening := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	const first, second = "https://192.168.1.5:8311", "https://192.168.1.6:8311"
	want := func(doing string, err error, all map[string]time.Time) {
		t.Helper()
		wantCode(t, doing, err, "")
		got, err := s.Origins(ctx)
		if err != nil || !maps.EqualFunc(got, all, time.Time.Equal) {
			t.Errorf("after %s there are %v %v, want %v", doing, got, err, all)
		}
	}
	want("nothing", nil, nil)
	want("one", s.KeepOrigin(ctx, first, evening), map[string]time.Time{first: evening})
	want("two", s.KeepOrigin(ctx, second, evening), map[string]time.Time{first: evening, second: evening})
	later := evening.Add(48 * time.Hour)
	want("serving again", s.KeepOrigin(ctx, first, later), map[string]time.Time{first: later, second: evening})
	want("dropping one", s.DropOrigin(ctx, second), map[string]time.Time{first: later})
	want("dropping it again", s.DropOrigin(ctx, second), map[string]time.Time{first: later})
}

// Origins are those that the server had, as its routes ask for them.
type Origins interface {
	Has(origin string) bool
	Learn(ctx context.Context, origin string)
	All() []string
}

// TestOrigins holds origins to what is expected of them. old is one that they know,
// and the newest of them.
func TestOrigins(t *testing.T, o Origins, old string) {
	const unknown, learnt = "https://evil.example", "https://192.168.7.7:8311"
	if !o.Has(old) || o.Has(unknown) || o.Has(learnt) {
		t.Errorf("has the old %v, one of elsewhere %v, one to come %v", o.Has(old), o.Has(unknown), o.Has(learnt))
	}
	before := len(o.All())
	for range 2 {
		o.Learn(t.Context(), learnt)
	}
	if all := o.All(); len(all) != before+1 || all[0] != learnt || !o.Has(learnt) || !o.Has(old) {
		t.Errorf("after learning %s there are %q", learnt, all)
	}
}
