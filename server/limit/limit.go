// Package limit bounds how often somebody may do something: a token bucket for
// each. It lies below the adapters and touches nothing outside.
package limit

import (
	"sync"
	"time"
)

const (
	maxBuckets = 4096
	sweepEvery = time.Second // looking through all of them for each newcomer would be work for an attacker to give
)

// Limiter is a token bucket for each key, in memory only: a restart forgives.
// Its methods are safe for concurrent use.
type Limiter struct {
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

// New makes a limiter that allows burst at once and rate a second.
func New(burst, rate float64, now func() time.Time) *Limiter {
	return &Limiter{burst: burst, rate: rate, now: now, buckets: map[string]bucket{}}
}

// Take takes a token, or tells how long until there is one again.
func (l *Limiter) Take(key string) (wait time.Duration) {
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

// GiveBack undoes a take that turned out to be fine.
func (l *Limiter) GiveBack(key string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if b, ok := l.buckets[key]; ok {
		b.tokens = min(l.burst, b.tokens+1)
		l.buckets[key] = b
	}
}

// level is what a bucket holds now. A clock set back fills nothing.
func (l *Limiter) level(b bucket, now time.Time) float64 {
	return min(l.burst, b.tokens+max(0, now.Sub(b.at).Seconds())*l.rate)
}

// sweep forgets the full ones: they say nothing.
func (l *Limiter) sweep(now time.Time) {
	for key, b := range l.buckets {
		if l.level(b, now) >= l.burst {
			delete(l.buckets, key)
		}
	}
}
