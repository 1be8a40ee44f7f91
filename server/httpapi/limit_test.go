package httpapi

import (
	"fmt"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/server/limit"
)

// drain takes all a bucket holds but some.
func drain(l *limit.Limiter, key string, burst, leave int) {
	for range burst - leave {
		l.Take(key)
	}
}

func TestWhoAsksTooFastWaits(t *testing.T) {
	f := newFixture(t)
	drain(f.api.byDevice, aPhone.ID, deviceBurst, 1)
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
	drain(f.api.byAddress, "0.0.0.0", addressBurst, 1) // what fiber's test connection says
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
	for range 5 {
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
