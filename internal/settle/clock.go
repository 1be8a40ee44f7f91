package settle

import (
	"math"
	"time"
)

// lineClock turns arrival times into the tracker's own seconds. Lines arrive
// late, in bursts, after gaps, and the computer's clock may be set meanwhile.
type lineClock struct {
	started bool
	at      time.Time
	t       float64
	dt      float64 // from the line before the newest, s
	period  float64 // usual time from line to line, s
	jitter  float64 // usual deviation from it, s
	long    float64 // the distance before, if it passed for a gap, s
}

const (
	firstPeriod = 0.1
	minJitter   = 0.003 // seconds: no computer reads a serial line better than that
	gapSeconds  = 1.5
	gapPeriods  = 5
	longSeconds = 30  // however slow the lines are
	likeGap     = 1.5 // times longer or shorter that a gap is than the one before it, where lines are that rare
)

// next takes a line's arrival and gives its time, the standard deviation of
// that time, and whether so much time is missing that anything may have
// happened meanwhile.
func (c *lineClock) next(at time.Time) (t, sd float64, gap bool) {
	was := c.t
	defer func() { c.dt = c.t - was }()
	if !c.started {
		*c = lineClock{started: true, at: at, period: firstPeriod, jitter: minJitter}
		return 0, minJitter, true
	}
	dt := at.Sub(c.at).Seconds()
	c.at = at
	rare := c.long > 0 && dt < likeGap*c.long && dt > c.long/likeGap
	c.long = 0
	switch {
	case dt < -1e-3:
		// The clock was set back. Lines don't come from the past: take the usual
		// distance.
		c.t += c.period
		return c.t, c.period / 2, false
	case dt < 0.2*c.period:
		// One of a burst that waited in some buffer.
		c.t += math.Max(dt, 0.05*c.period)
		return c.t, c.period / 2, false
	case rare && dt <= longSeconds:
		c.period = dt // two gaps alike in a row are how this scale talks
	case dt > gapSeconds && dt > gapPeriods*c.period, dt > longSeconds:
		c.t += dt
		c.long = dt
		return c.t, c.jitter, true
	}
	c.t += dt
	off := math.Abs(dt - c.period)
	if dt < 2*c.period {
		c.period += 0.1 * (dt - c.period)
		c.jitter += 0.1 * (off - c.jitter)
	} else {
		c.period += 0.02 * (dt - c.period)
	}
	return c.t, math.Max(minJitter, math.Min(c.jitter, c.period/2)), false
}
