package httpapi

import (
	"fmt"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
)

func TestLimiter(t *testing.T) {
	now := joined
	l := newLimiter(3, 2, func() time.Time { return now })
	take := func(key string, want time.Duration) {
		t.Helper()
		if got := l.take(key); got != want {
			t.Errorf("at %v, %s: wait %v, want %v", now.Sub(joined), key, got, want)
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
	l.giveBack("a")
	take("a", 0)
	now = now.Add(time.Hour)
	for range 3 {
		take("a", 0)
	}
	take("a", time.Second/2)
	now = now.Add(-time.Hour) // the clock is set back
	take("a", time.Second/2)
	l.giveBack("nobody")
}

// TestTheLimiterStaysSmall: however many addresses somebody takes on.
func TestTheLimiterStaysSmall(t *testing.T) {
	now := joined
	l := newLimiter(2, 1, func() time.Time { return now })
	for i := range 3 * maxBuckets {
		l.take(strconv.Itoa(i))
	}
	if n := len(l.buckets); n > maxBuckets+1 {
		t.Errorf("%d buckets", n)
	}
	if l.take("one more") == 0 {
		t.Error("a flood of addresses isn't held together")
	}
	now = now.Add(time.Minute) // all full again, all forgotten
	if l.take("a newcomer") != 0 {
		t.Error("after the flood nobody gets in")
	}
	if n := len(l.buckets); n > 2 {
		t.Errorf("%d buckets are kept for nothing", n)
	}
}

func TestLimiterByManyAtOnce(t *testing.T) {
	l := newLimiter(100, 1, func() time.Time { return joined })
	var got atomic.Int64
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 50 {
				if l.take("a") == 0 {
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

// drain takes all a bucket holds but some.
func drain(l *limiter, key string, leave int) {
	for range int(l.burst) - leave {
		l.take(key)
	}
}

func TestWhoAsksTooFastWaits(t *testing.T) {
	f := newFixture(t)
	drain(f.api.byDevice, aPhone.ID, 1)
	if a := f.do(f.secure, "GET", "/api/v1/me", "", asPhone); a.status != 200 {
		t.Errorf("the last in time: %d %s", a.status, a.body)
	}
	a := f.do(f.secure, "GET", "/api/v1/me", "", asPhone)
	if a.status != 429 || a.code(t) != fault.SlowDown || a.header.Get("Retry-After") != "1" {
		t.Errorf("beyond: %d %s %v", a.status, a.body, a.header)
	}
	if a := f.do(f.secure, "GET", "/api/v1/me", "", asDesk); a.status != 200 {
		t.Errorf("another device waits, too: %d", a.status)
	}
	f.now = f.now.Add(time.Second)
	if a := f.do(f.secure, "GET", "/api/v1/me", "", asPhone); a.status != 200 {
		t.Errorf("a second later: %d", a.status)
	}
}

func TestAnAddressThatAsksTooFastWaits(t *testing.T) {
	f := newFixture(t)
	drain(f.api.byAddress, "0.0.0.0", 1) // what fiber's test connection says
	if a := f.do(f.secure, "GET", "/healthz", ""); a.status != 200 {
		t.Errorf("the last in time: %d %s", a.status, a.body)
	}
	for app, path := range map[*fiber.App]string{f.secure: "/healthz", f.plain: "/"} {
		if a := f.do(app, "GET", path, "", "X-Forwarded-For: 10.9.9.9"); a.status != 429 || a.code(t) != fault.SlowDown {
			t.Errorf("%s: %d %s", path, a.status, a.body)
		}
	}
}

// TestWrongCodesAreCountedRightOnesAreNot: a whole club joins from one
// address, while a guesser gets five tries and then one in twenty seconds.
func TestWrongCodesAreCountedRightOnesAreNot(t *testing.T) {
	f := newFixture(t)
	join := func(secret string) answered {
		return f.do(f.secure, "POST", "/api/v1/join", fmt.Sprintf(`{"secret":%q}`, secret))
	}
	for range 50 {
		if a := join("good"); a.status != 200 {
			t.Fatalf("a right code: %d %s", a.status, a.body)
		}
	}
	for range wrongBurst {
		if a := join("wrong"); a.status != 403 {
			t.Fatalf("a wrong code: %d %s", a.status, a.body)
		}
	}
	for _, secret := range []string{"wrong", "good"} {
		if a := join(secret); a.status != 429 || a.code(t) != fault.SlowDown || a.header.Get("Retry-After") != "20" {
			t.Errorf("%s: %d %s %v", secret, a.status, a.body, a.header)
		}
	}
	f.now = f.now.Add(20 * time.Second)
	if a := join("good"); a.status != 200 {
		t.Errorf("twenty seconds later: %d %s", a.status, a.body)
	}
}
