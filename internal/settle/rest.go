package settle

import "math"

// rest follows a level at which nothing changes: a zero or a load that creeps
// is followed, slowly enough that no coin is.
type rest struct {
	known  bool
	level  float64
	since  float64
	spread float64 // variance of the readings about the level
	recent [3]sample
	levels [3]float64 // the level before each of recent
	n      int
}

// begin sets the level at the end of a move.
func (r *rest) begin(level float64, s sample) {
	r.known, r.level, r.since = true, level, s.t
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
func (r *rest) noise(d, jitter, rough float64) noise {
	return noise{
		fixed:    d*d/12 + math.Max(d*d/4, r.spread),
		time:     jitter,
		mismatch: mismatch,
		rough:    rough,
	}
}

// holds tells whether s may still be the level.
func (r *rest) holds(s sample, d float64) bool {
	return math.Abs(s.z-r.level) <= math.Max(2.6*d, 5*math.Sqrt(r.spread))
}

// follow takes a reading that holds.
func (r *rest) follow(s sample) {
	dt := s.t - r.recent[r.n-1].t
	off := s.z - r.level
	r.push(s)
	r.spread += spreadGain * (off*off - r.spread)
	// Fast in the first moments, when the level is least sure.
	after := math.Max(0.3, math.Min(levelTime, s.t-r.since))
	r.level += -math.Expm1(-dt/after) * off
}

// beforeChange gives the level before the last readings and those readings.
func (r *rest) beforeChange() (level float64, last []sample) {
	return r.levels[0], r.recent[:r.n]
}
