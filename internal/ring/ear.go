package ring

import "math"

// Ear hears sound as it comes, piece by piece, and keeps the last seconds of it only.
type Ear struct {
	rate float64
	x    []float64
	from int // samples that came before x
	told int // up to which sample it was judged
	now  int // all samples so far
	last int // when it was judged last
}

const (
	// memory is how much sound an ear keeps, s: a ring, and what lies around it.
	memory = 2.6
	// wait is how long after an onset it is judged, s: its tail, and whether it bounces.
	wait = tail + apart + 0.06
	// every is how often what came is judged, s.
	every = 0.4
)

// NewEar hears from here on, at a rate of samples a second.
func NewEar(rate float64) *Ear { return &Ear{rate: rate} }

// Hear takes the samples that came and gives what was found since: rings and refusals at
// seconds from the ear's beginning, each once, half a second or so after it sounded.
func (e *Ear) Hear(samples []float32) Heard {
	for _, v := range samples {
		e.x = append(e.x, float64(v))
	}
	e.now += len(samples)
	var out Heard
	if e.now-e.last < int(every*e.rate) || !(e.rate >= slowest) {
		return out
	}
	e.last = e.now
	until := e.now - int(wait*e.rate)
	if until <= e.told {
		return out
	}
	all := Listen(e.x, e.rate)
	begin := float64(e.from) / e.rate
	fresh := func(at float64) bool {
		n := int((at + begin) * e.rate)
		return n >= e.told && n < until
	}
	for _, r := range all.Rings {
		if fresh(r.At) {
			r.At += begin
			out.Rings = append(out.Rings, r)
		}
	}
	for _, r := range all.Refused {
		if fresh(r.At) && r.Why != Silence && r.Why != Faint || r.Why == Faint && r.At > 0 && fresh(r.At) {
			r.At += begin
			out.Refused = append(out.Refused, r)
		}
	}
	e.told = until
	if drop := len(e.x) - int(memory*e.rate); drop > 0 {
		e.x = append(e.x[:0], e.x[drop:]...)
		e.from += drop
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
