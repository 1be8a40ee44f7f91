package ring

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/stable"
)

const (
	// lowest and highest partial of a coin, in Hz, and the lowest line looked at.
	lowest  = 3200.0
	highest = 22000.0
	audible = 400.0
	// faintest is the largest sample below which there is silence: −54 dB of full scale.
	faintest = 2e-3
	// settle is how near two finds are one and the same, tail how much of the sound after an
	// onset is looked at; s.
	settle = 0.03
	tail   = apart - 0.005
	// apart is how far taps must lie apart not to be a coin that bounces, s.
	apart = 0.24
	// among is how near to words, notes and bounces a ring isn't believed, s.
	among = 1.2
	// fainter is the part of a ring's amplitude from which other sounds make it doubtful,
	// muchFainter the part of another ring's below which one isn't of the same coin.
	fainter     = 0.3
	muchFainter = 0.15
)

// slowest is the lowest rate of samples that is enough, in Hz.
const slowest = 32000

// Listen finds the rings in a clip of one channel, full scale ±1, at least 32,000 samples a
// second. Samples that aren't numbers are taken for zero.
func Listen(samples []float64, rate float64) Heard {
	if !(rate >= slowest) || len(samples) < fewest*hop*4 {
		return Heard{Refused: []Refusal{{Why: Silence}}}
	}
	l := newListener(rate)
	l.extend(samples)
	if loudest(l.x) < faintest {
		return Heard{Refused: []Refusal{{Why: Silence}}}
	}
	var out Heard
	l.judge(&out, 0, func(float64) bool { return true })
	out.trust()
	if len(out.Rings)+len(out.Refused) == 0 {
		out.Refused = []Refusal{{Why: Faint}}
	}
	return out
}

// judge adds what the clip's events are to out, those that fresh takes by their time. The clip
// begins at begin, in s.
func (l *listener) judge(out *Heard, begin float64, fresh func(at float64) bool) {
	onsets := l.onsets()
	for n := 0; n < len(onsets); n++ {
		o := onsets[n]
		at := o.at + begin
		if !fresh(at) || out.rings(at) {
			continue
		}
		later := n + 1
		for later < len(onsets) && onsets[later].at-o.at < apart {
			later++
		}
		e := l.event(o, onsets[n+1:later])
		switch e.why {
		case "":
			out.Rings = append(out.Rings, Ring{at, e.peaks, e.loud})
		case nothing:
			continue
		case Bounce:
			// What follows is the same coin still.
			for n+1 < len(onsets) && onsets[n+1].at-onsets[n].at < apart && onsets[n+1].power < secondMost*o.power {
				n++
			}
			fallthrough
		default:
			out.Refused = append(out.Refused, Refusal{at, e.why, e.loud, e.hz})
		}
	}
}

// rings reports whether the last ring is so near that this is part of it.
func (h *Heard) rings(at float64) bool {
	return len(h.Rings) > 0 && at-h.Rings[len(h.Rings)-1].At < apart
}

// trust takes back rings that lie among sounds of another kind as loud: between words and notes one
// is now and then like a coin's. Two coins, or one that bounces, are so at other taps too, where
// the second wasn't heard: there the same tone is. And a clink that is much fainter than the rings
// about it is of another thing.
func (h *Heard) trust() {
	rings := slices.Clone(h.Rings)
	h.Rings = slices.DeleteFunc(h.Rings, func(r Ring) bool {
		for _, o := range h.Refused {
			if math.Abs(o.At-r.At) > among || o.loud < fainter*r.loud {
				continue
			}
			switch o.Why {
			case Voice, Music:
				return true
			case Bounce, TwoCoins:
				if r.shares(o.hz) {
					return true
				}
			}
		}
		return slices.ContainsFunc(rings, func(o Ring) bool { return math.Abs(o.At-r.At) < among && r.loud < muchFainter*o.loud })
	})
}

// shares reports whether a ring has one of these tones.
func (r *Ring) shares(tones []float64) bool {
	return slices.ContainsFunc(r.Peaks, func(p Peak) bool {
		return slices.ContainsFunc(tones, func(hz float64) bool { return math.Abs(hz/p.Hz-1) < sameWithin })
	})
}

func loudest(x []float64) float64 {
	top := 0.0
	for _, v := range x {
		top = max(top, math.Abs(v))
	}
	return top
}

// listener holds a clip and its frames.
type listener struct {
	x      []float64
	rate   float64
	frames [][]float64 // power of short frames by bin
	longs  [][]float64 // and of longer ones

	short, long, fine *fourier
	bin               float64   // Hz, of the fine transform
	window, wide      []float64 // of the frames
	narrow            []float64 // of an envelope
	one, two          []float64
}

func newListener(rate float64) listener {
	n := 16384
	for float64(n) < tail*rate {
		n *= 2
	}
	return listener{
		rate: rate, short: newFourier(frameLength), fine: newFourier(n), bin: rate / float64(n),
		window: hann(frameLength), long: newFourier(lineLength), wide: hann(lineLength), narrow: hann(int(envelopeWidth * rate)), one: make([]float64, n), two: make([]float64, n),
	}
}

// extend takes more samples, and transforms the frames that they complete. Samples that aren't
// numbers are zero.
func (l *listener) extend(samples []float64) {
	for _, v := range samples {
		if v != v || math.IsInf(v, 0) {
			v = 0
		}
		l.x = append(l.x, v)
	}
	l.frames = l.framed(l.frames, l.short, l.window, hop)
	l.longs = l.framed(l.longs, l.long, l.wide, lineHop)
}

// forget drops the oldest frames, a number of the longer ones, and the samples that only they need.
func (l *listener) forget(longs int) {
	shorts := longs * lineHop / hop
	l.x = append(l.x[:0], l.x[longs*lineHop:]...)
	l.frames = append(l.frames[:0], l.frames[shorts:]...)
	l.longs = append(l.longs[:0], l.longs[longs:]...)
}

// byHz sorts partials from the lowest.
func byHz(p []Peak) {
	stable.Sort(p, func(a, b Peak) int { return cmp.Compare(a.Hz, b.Hz) })
}
