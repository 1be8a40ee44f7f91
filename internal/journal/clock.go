package journal

import (
	"errors"
	"strconv"
	"strings"
)

// Stamp is a hybrid logical clock reading: milliseconds since 1970 as the
// writer's clock had them or as it had seen them elsewhere, whichever is later,
// and a count to keep entries of the same millisecond in order.
//
// Source: S. Kulkarni et al., “Logical Physical Clocks and Consistent
// Snapshots in Globally Distributed Databases”, 2014.
type Stamp struct {
	Millis int64
	Count  uint32
}

// maxMillis is the end of the year 9999.
const maxMillis = 253402300799999

func (s Stamp) valid() bool { return s.Millis >= 0 && s.Millis <= maxMillis }

// Less orders stamps by time, then count.
func (s Stamp) Less(o Stamp) bool {
	if s.Millis != o.Millis {
		return s.Millis < o.Millis
	}
	return s.Count < o.Count
}

// String is the wire form, MILLIS.COUNT.
func (s Stamp) String() string {
	return strconv.FormatInt(s.Millis, 10) + "." + strconv.FormatUint(uint64(s.Count), 10)
}

// MarshalText is String.
func (s Stamp) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the wire form.
func (s *Stamp) UnmarshalText(b []byte) error {
	a, c, ok := strings.Cut(string(b), ".")
	ms, errA := strconv.ParseInt(a, 10, 64)
	count, errC := strconv.ParseUint(c, 10, 32)
	got := Stamp{ms, uint32(count)}
	if !ok || errA != nil || errC != nil || got.String() != string(b) {
		return errors.New("not a stamp: " + string(b))
	}
	*s = got
	return nil
}

// MaxAhead is how far a stamp seen elsewhere may pull a clock forward, in
// milliseconds: one day. A phone whose clock is years ahead must not drag the
// others along.
const MaxAhead = 24 * 60 * 60 * 1000

// Clock is a hybrid logical clock. The zero value is ready.
type Clock struct{ last Stamp }

// Tick returns the next stamp for a writer whose own clock says now (ms since
// 1970). It never goes back, whatever now does.
func (c *Clock) Tick(now int64) Stamp {
	now = min(max(now, 0), maxMillis)
	if now > c.last.Millis {
		c.last = Stamp{Millis: now}
	} else if c.last.Count == 1<<32-1 {
		c.last = Stamp{Millis: c.last.Millis + 1}
	} else {
		c.last.Count++
	}
	return c.last
}

// Saw makes later ticks follow a stamp seen elsewhere, unless it is more than
// MaxAhead beyond both this writer's own clock and what it had seen before.
func (c *Clock) Saw(s Stamp, now int64) {
	if s.Millis > max(now, c.last.Millis)+MaxAhead {
		return
	}
	if c.last.Less(s) {
		c.last = s
	}
}

// resume makes the clock follow the writer's own last entry, however far ahead
// that is: one's own stamps never go back.
func (c *Clock) resume(s Stamp) {
	if c.last.Less(s) {
		c.last = s
	}
}
