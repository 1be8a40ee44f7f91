package ring

import "math"

// Ear hears sound as it comes, piece by piece, and keeps the last seconds of it only.
type Ear struct {
	listener
	from int // samples that came before the listener's
	told int // up to which sample it was judged
	now  int // all samples so far
	last int // when it was judged last
	past Heard
}

const (
	// memory is how much sound an ear keeps, s: a ring, and what lies around it.
	memory = 1.6
	// wait is how long after an onset it is judged, s: its tail, and whether it bounces.
	wait = tail + apart + 0.06
	// every is how often what came is judged, s.
	every = 0.3
)

// NewEar hears from here on, at a rate of samples a second.
func NewEar(rate float64) *Ear {
	if !(rate >= slowest) {
		return &Ear{listener: listener{rate: rate}}
	}
	return &Ear{listener: newListener(rate)}
}

// Hear takes the samples that came and gives what was found since: rings and refusals at
// seconds from the ear's beginning, each once, half a second or so after it sounded. A ring that
// words or notes come after isn't taken back any more.
func (e *Ear) Hear(samples []float32) Heard {
	if !(e.rate >= slowest) {
		return Heard{}
	}
	more := make([]float64, len(samples))
	for i, v := range samples {
		more[i] = float64(v)
	}
	e.extend(more)
	e.now += len(samples)
	until := e.now - int(wait*e.rate)
	if e.now-e.last < int(every*e.rate) || until <= e.told {
		return Heard{}
	}
	e.last = e.now
	out := Heard{Rings: e.past.Rings, Refused: e.past.Refused}
	e.judge(&out, float64(e.from)/e.rate, func(at float64) bool {
		n := int(at * e.rate)
		return n >= e.told && n < until && !e.past.near(at)
	})
	out.trust()
	e.past = out.since(float64(e.told)/e.rate - among)
	out = out.since(float64(e.told) / e.rate)
	e.told = until
	if spare := (len(e.x) - int(memory*e.rate)) / lineHop; spare > 0 {
		e.forget(spare)
		e.from += spare * lineHop
	}
	return out
}

// near reports whether something began at that time: the same onset may be found a
// millisecond later once more sound is there.
func (h *Heard) near(at float64) bool {
	for _, r := range h.Rings {
		if math.Abs(r.At-at) < settle {
			return true
		}
	}
	for _, r := range h.Refused {
		if math.Abs(r.At-at) < settle {
			return true
		}
	}
	return false
}

// since is what of it began at a time or after.
func (h Heard) since(at float64) (out Heard) {
	for _, r := range h.Rings {
		if r.At >= at {
			out.Rings = append(out.Rings, r)
		}
	}
	for _, r := range h.Refused {
		if r.At >= at {
			out.Refused = append(out.Refused, r)
		}
	}
	return out
}

// Loudness is the root mean square of samples in dB of full scale, −120 for none.
func Loudness(samples []float32) float64 {
	sum := 0.0
	for _, v := range samples {
		sum += float64(v) * float64(v)
	}
	if !(sum > 0) {
		return -120
	}
	return math.Max(-120, 10*math.Log10(sum/float64(len(samples))))
}
