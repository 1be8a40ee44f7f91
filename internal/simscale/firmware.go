package simscale

import (
	"math"
	"slices"
)

const trackAfter = 1.0 // seconds near zero before the zero is tracked, and between two steps

// The time between uneven lines is at least leastGap of its mean and at most
// mostGap: 0.17 and 1.8 s at four lines a second, as a radio scale was seen to
// send.
const (
	leastGap = 0.68
	mostGap  = 7.2
)

// lineAfter is the moment of the next line.
func (s *Scale) lineAfter() float64 {
	mean := 1 / s.cfg.LineRate
	if s.cfg.Uneven <= 0 {
		return s.onAt + float64(s.lines)/s.cfg.LineRate + s.cfg.Jitter*math.Abs(s.rng.NormFloat64())
	}
	// What goes beyond the least gap is log-normal: a mean m and a standard
	// deviation s give σ² = ln(1 + s²/m²) and μ = ln m − σ²/2.
	over := 1 - leastGap
	v := math.Log1p(s.cfg.Uneven * s.cfg.Uneven / (over * over))
	x := math.Exp(math.Log(over) - v/2 + math.Sqrt(v)*s.drifting.rng.NormFloat64())
	return s.now + mean*math.Min(leastGap+x, mostGap)
}

// period is the time from one display to the next.
func (s *Scale) period() float64 { return float64(max(1, s.cfg.Repeat)) / s.cfg.LineRate }

// track lets the zero follow what an empty pan shows.
func (s *Scale) track(net float64) {
	near := s.d / 2
	if s.cfg.TrackSteps {
		near = s.d
	}
	if s.tare != 0 || math.Abs(net) >= near {
		s.nearZero = 0
		return
	}
	s.nearZero += s.period()
	switch {
	case s.cfg.NoTracking || s.nearZero <= trackAfter:
	case s.cfg.TrackSteps:
		s.zero += net // less than a step
		s.nearZero = 0
	default:
		limit := s.d / 2 * s.period()
		s.zero += math.Max(-limit, math.Min(limit, net))
	}
}

// steadying is what the stable sign remembers beside the last displays.
type steadying struct {
	on     bool
	signal []moment // of SignTime
}

// moment is the signal before rounding, in steps.
type moment struct{ at, steps float64 }

// steady takes the newest display, in steps, and the signal behind it, and
// reports whether the scale calls it stable.
func (s *Scale) steady(steps int64, signal float64) bool {
	if s.cfg.Sign == SignTime {
		return s.steadyFor(signal)
	}
	s.recent = append(s.recent, steps)
	n := s.cfg.StableCount
	if k := len(s.recent); s.cfg.Sign == SignSticky && s.steadying.on && k > 1 {
		change := steps - s.recent[k-2]
		s.recent = append(s.recent[:0], steps)
		if change >= -1 && change <= 1 {
			return true
		}
	}
	if s.steadying.on = false; len(s.recent) < n {
		return false
	}
	s.recent = append(s.recent[:0], s.recent[len(s.recent)-n:]...)
	s.steadying.on = slices.Max(s.recent)-slices.Min(s.recent) <= int64(s.cfg.StableBand)
	return s.steadying.on
}

// steadyFor is SignTime.
func (s *Scale) steadyFor(signal float64) bool {
	m := &s.steadying
	m.signal = append(m.signal, moment{s.now, signal})
	low, high := signal, signal
	for i := len(m.signal) - 1; i >= 0; i-- {
		low, high = math.Min(low, m.signal[i].steps), math.Max(high, m.signal[i].steps)
		if high-low > s.cfg.StableWithin {
			m.signal = append(m.signal[:0], m.signal[i+1:]...)
			return false
		}
		if s.now-m.signal[i].at >= s.cfg.StableTime {
			m.signal = append(m.signal[:0], m.signal[i:]...)
			return true
		}
	}
	return false
}
