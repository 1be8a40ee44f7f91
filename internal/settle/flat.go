package settle

import (
	"math"
	"slices"
)

// flat keeps the newest lines, to see how long the display has stood still.
type flat struct {
	n  int
	at [128]sample // the newest last
}

func (f *flat) push(s sample) {
	if f.n == len(f.at) {
		copy(f.at[:], f.at[1:])
		f.n--
	}
	f.at[f.n] = s
	f.n++
}

// stand is a display that has stood still: for so many seconds and lines, at a
// mean level.
type stand struct {
	seconds float64
	lines   int
	level   float64
}

// stands is for how long, and where, all lines have lain within band of one
// another; it looks back no further than flatLooks. There must be a line.
func (f *flat) stands(band float64) (st stand) {
	newest := f.at[f.n-1]
	low, high, sum := newest.z, newest.z, 0.0
	for i := f.n - 1; i >= 0; i-- {
		s := f.at[i]
		low, high = math.Min(low, s.z), math.Max(high, s.z)
		if high-low > band || newest.t-s.t > flatLooks {
			break
		}
		sum += s.z
		st.lines++
		st.seconds = newest.t - s.t
	}
	st.level = sum / float64(st.lines)
	return st
}

// since gives the lines after a time, as far back as they are kept.
func (f *flat) since(at float64) []sample {
	i := f.n
	for i > 0 && f.at[i-1].t > at {
		i--
	}
	return f.at[i:f.n]
}

// residual is how far a display that has stood still within d for some seconds
// may be from where it is going, if it approaches that as e^(−t/τ): what is left
// after t seconds, r, has shrunk by r·(e^(t/τ) − 1) meanwhile, which is d at most.
func residual(d, seconds, tau float64) float64 {
	return d / math.Max(1e-9, math.Expm1(seconds/tau))
}

// showed is the median of the displays of the last moments up to a time: what the
// display showed of a level before it began to change. So many lines tell that
// the first of a change don't sway it. There must be a line by then.
func (f *flat) showed(until float64) float64 {
	var last []float64
	for i := f.n - 1; i >= 0; i-- {
		s := f.at[i]
		if s.t > until {
			continue
		}
		if until-s.t > justBefore && len(last) >= showedLines {
			break
		}
		last = append(last, s.z)
	}
	slices.Sort(last)
	return last[len(last)/2]
}

// nearest is the display nearest to a level among those of the last moments up
// to a time: what the display showed of the level before it began to change.
func (f *flat) nearest(level, until float64) float64 {
	best := math.Inf(1)
	for i := f.n - 1; i >= 0; i-- {
		s := f.at[i]
		if s.t > until {
			continue
		}
		if until-s.t > justBefore && !math.IsInf(best, 1) {
			break
		}
		if math.Abs(s.z-level) < math.Abs(best-level) {
			best = s.z
		}
	}
	return best
}
