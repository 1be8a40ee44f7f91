package limit

import (
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var start = time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)

func TestLimiter(t *testing.T) {
	now := start
	l := New(3, 2, func() time.Time { return now })
	take := func(key string, want time.Duration) {
		t.Helper()
		if got := l.Take(key); got != want {
			t.Errorf("at %v, %s: wait %v, want %v", now.Sub(start), key, got, want)
		}
	}
	for range 3 {
		take("a", 0)
	}
	take("a", time.Second/2)
	take("a", time.Second/2) // asking costs nothing
	take("b", 0)             // another one has its own
	now = now.Add(time.Second / 4)
	take("a", time.Second/4)
	now = now.Add(time.Second / 4)
	take("a", 0)
	take("a", time.Second/2)
	l.GiveBack("a")
	take("a", 0)
	now = now.Add(time.Hour)
	for range 3 {
		take("a", 0)
	}
	take("a", time.Second/2)
	now = now.Add(-time.Hour) // the clock is set back
	take("a", time.Second/2)
	l.GiveBack("nobody")
}

// TestTheLimiterStaysSmall: however many addresses somebody takes on.
func TestTheLimiterStaysSmall(t *testing.T) {
	now := start
	l := New(2, 1, func() time.Time { return now })
	for i := range 3 * maxBuckets {
		l.Take(strconv.Itoa(i))
	}
	if n := len(l.buckets); n > maxBuckets+1 {
		t.Errorf("%d buckets", n)
	}
	if l.Take("one more") == 0 {
		t.Error("a flood of addresses isn't held together")
	}
	now = now.Add(time.Minute) // all full again, all forgotten
	if l.Take("a newcomer") != 0 {
		t.Error("after the flood nobody gets in")
	}
	if n := len(l.buckets); n > 2 {
		t.Errorf("%d buckets are kept for nothing", n)
	}
}

func TestLimiterByManyAtOnce(t *testing.T) {
	l := New(100, 1, func() time.Time { return start })
	var got atomic.Int64
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 50 {
				if l.Take("a") == 0 {
					got.Add(1)
				}
			}
		})
	}
	all.Wait()
	if got.Load() != 100 {
		t.Errorf("%d got through, want 100", got.Load())
	}
}
