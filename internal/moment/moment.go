// Package moment is what the core needs of the package time. Everywhere but on the
// phone it is that package. The phone's build (tag phone) has points in time of
// its own, in whole milliseconds: the library brings its settings from outside and
// the counting of them along, which are 25 kB of the phone's download.
package moment

// plain is a point in time, in milliseconds since 1970; the zero value is none.
type plain struct {
	ms  int64
	set bool
}

// span is a time between two, in nanoseconds.
type span int64

const (
	millisecond span = 1_000_000
	minute           = 60_000 * millisecond
	hour             = 60 * minute
)

// Milliseconds are the whole ones.
func (d span) Milliseconds() int64 { return int64(d / millisecond) }

// Seconds are those with their part of one.
func (d span) Seconds() float64 {
	const second = 1_000 * millisecond
	return float64(d/second) + float64(d%second)/1e9
}

func at(ms int64) plain { return plain{ms, true} }

// UTC is the same point in time.
func (p plain) UTC() plain { return p }

// IsZero reports whether it is none.
func (p plain) IsZero() bool { return !p.set }

// Sub is the time from u to p, at most what a span holds, as in the library.
func (p plain) Sub(u plain) span {
	const most = 1<<63 - 1
	d := p.ms - u.ms
	switch {
	case d > most/1_000_000:
		return most
	case d < -most/1_000_000:
		return -most - 1
	}
	return span(d * 1_000_000)
}

// UnixMilli is the time since 1970 in milliseconds.
func (p plain) UnixMilli() int64 { return p.ms }
