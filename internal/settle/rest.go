package settle

import "math"

// rest follows a level at which nothing changes: a zero or a load that creeps
// is followed, slowly enough that no coin is.
type rest struct {
	known  bool
	level  float64
	since  float64
	from   float64 // since when the load has lain there, by the display or the model
	still  float64 // s, the longest that the display stood still there
	wobble float64 // variance of a reading about the level, by successive differences
	recent [3]sample
	levels [3]float64 // the level before each of recent
	n      int
}

// begin sets the level at the end of a move, at which nothing has changed for some
// seconds, and the display stood still for some.
func (r *rest) begin(level float64, s sample, stood, still float64) {
	r.known, r.level, r.since, r.from, r.still = true, level, s.t, s.t-stood, still
	r.n = 0
	r.push(s)
}

func (r *rest) push(s sample) {
	if r.n == len(r.recent) {
		copy(r.recent[:], r.recent[1:])
		copy(r.levels[:], r.levels[1:])
		r.n--
	}
	r.recent[r.n], r.levels[r.n] = s, r.level
	r.n++
}

// noise is the error of a reading on a step of d grams: rounding, and the
// display's wobble as seen at rest, at least half a step.
func (r *rest) noise(d, jitter, noiseFactor float64) noise {
	return noise{
		fixed:       d*d/12 + math.Max(d*d/4, r.wobble),
		time:        jitter,
		mismatch:    mismatch,
		noiseFactor: noiseFactor,
	}
}

// band is how far apart the readings of one level may lie on a step of d: by the
// wobble seen at rest, but never so far that a coin could hide in it.
func (r *rest) band(d float64) float64 {
	return math.Max(1.1*d, math.Min(4*math.Sqrt(r.wobble), math.Max(mostBand*d, coinHides)))
}

// holds reports whether s may still be the level.
func (r *rest) holds(s sample, d float64) bool {
	return math.Abs(s.z-r.level) <= math.Max(2.6*d, 1.25*r.band(d))
}

// follow takes a reading that holds. The wobble is learnt from the differences
// of successive readings,
//
//	σ² = ½·mean (zᵢ − zᵢ₋₁)²
//
// (J. von Neumann and others, The mean square successive difference, 1941, cited
// from memory), which a level that moves doesn't widen.
func (r *rest) follow(s sample) {
	last := r.recent[r.n-1]
	dt, off, step := s.t-last.t, s.z-r.level, s.z-last.z
	r.push(s)
	r.wobble += wobbleGain * (step*step/2 - r.wobble)
	// Fast in the first moments, when the level is least sure.
	after := math.Max(0.3, math.Min(levelTime, s.t-r.since))
	r.level += -math.Expm1(-dt/after) * off
}

// beforeChange gives the level before the last readings and those readings.
func (r *rest) beforeChange() (level float64, last []sample) {
	return r.levels[0], r.recent[:r.n]
}
