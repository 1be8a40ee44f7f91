package httpapi

import (
	"math"
	"strconv"
	"sync"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
)

// What one address or one device may do. A phone at work asks a few times a
// second and some hundred times when it opens the app or syncs an evening's
// finds; these bounds are far above that and keep a runaway page from taking
// the laptop.
const (
	addressBurst, addressRate = 2000, 400 // requests, and requests a second
	deviceBurst, deviceRate   = 1000, 200

	// Wrong codes from one address: five at once, then one in twenty seconds.
	// Fewer than pairing's ten, so that one stranger on the network can't
	// close joining for everybody; those who change their address still meet
	// the ten.
	wrongBurst, wrongRate = 5, 1.0 / 20

	// Refusals of one address in the log: ten at once, then one in ten seconds,
	// so that nobody fills the disk with them.
	refusalBurst, refusalRate = 10, 1.0 / 10

	maxBuckets = 4096
	sweepEvery = time.Second // looking through all of them for each newcomer would be work for an attacker to give
)

// limiter is a token bucket for each key, in memory only: a restart forgives.
// Its methods are safe for concurrent use.
type limiter struct {
	burst, rate float64
	now         func() time.Time

	mu      sync.Mutex
	buckets map[string]bucket
	swept   time.Time
}

// bucket held so many tokens at that time and has been filling since.
type bucket struct {
	tokens float64
	at     time.Time
}

func newLimiter(burst, rate float64, now func() time.Time) *limiter {
	return &limiter{burst: burst, rate: rate, now: now, buckets: map[string]bucket{}}
}

// take takes a token, or tells how long until there is one again.
func (l *limiter) take(key string) (wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	b, known := l.buckets[key]
	if !known {
		if len(l.buckets) >= maxBuckets && now.Sub(l.swept).Abs() >= sweepEvery {
			l.sweep(now)
			l.swept = now
		}
		if len(l.buckets) >= maxBuckets {
			key = "" // so many at once share one
		}
		b = bucket{l.burst, now}
		if shared, ok := l.buckets[key]; ok {
			b = shared
		}
	}
	b = bucket{l.level(b, now), now}
	if b.tokens < 1 {
		wait = time.Duration((1 - b.tokens) / l.rate * float64(time.Second))
	} else {
		b.tokens--
	}
	l.buckets[key] = b
	return wait
}

// giveBack undoes a take that turned out to be fine.
func (l *limiter) giveBack(key string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if b, ok := l.buckets[key]; ok {
		b.tokens = min(l.burst, b.tokens+1)
		l.buckets[key] = b
	}
}

// level is what a bucket holds now. A clock set back fills nothing.
func (l *limiter) level(b bucket, now time.Time) float64 {
	return min(l.burst, b.tokens+max(0, now.Sub(b.at).Seconds())*l.rate)
}

// sweep forgets the full ones: they say nothing.
func (l *limiter) sweep(now time.Time) {
	for key, b := range l.buckets {
		if l.level(b, now) >= l.burst {
			delete(l.buckets, key)
		}
	}
}

// addressOf is where a request really comes from, whatever its headers say.
func addressOf(c *fiber.Ctx) string { return c.Context().RemoteIP().String() }

// limitAddress is for every request, limitDevice for those of a joined device.
func (s *api) limitAddress(c *fiber.Ctx) error {
	if wait := s.byAddress.take(addressOf(c)); wait > 0 {
		return tooFast(c, wait)
	}
	return c.Next()
}

func (s *api) limitDevice(c *fiber.Ctx, id string) error {
	if wait := s.byDevice.take(id); wait > 0 {
		return tooFast(c, wait)
	}
	return nil
}

func tooFast(c *fiber.Ctx, wait time.Duration) error {
	retryAfter(c, wait)
	return fault.New(fault.SlowDown, "Too much was asked of the laptop at once. Nothing is lost; wait a moment and go on.")
}

// retryAfter is in whole seconds (RFC 9110, 10.2.3).
func retryAfter(c *fiber.Ctx, wait time.Duration) {
	c.Set(fiber.HeaderRetryAfter, strconv.Itoa(max(1, int(math.Ceil(wait.Seconds())))))
}
