package settle

import "math"

// repeats learns how many lines a scale sends for each value that it displays.
// A repeated line tells nothing new of a load in motion.
type repeats struct {
	z, before float64
	run       int     // lines of z so far
	since     float64 // time of the first of them
	score     [5]float64
}

// see takes a line and reports whether it only repeats a display that has not been
// refreshed since. d is the display's step, now the line's time in seconds.
func (r *repeats) see(z, d, now float64) bool {
	if z == r.z && r.run > 0 {
		r.run++
		return (r.run-1)%r.usual() != 0
	}
	// A run between two large changes is as long as the display stands.
	if fast := 3 * d; math.Abs(z-r.z) > fast && math.Abs(r.z-r.before) > fast && r.run > 0 && now-r.since < repeatsLast {
		for i := range r.score {
			r.score[i] *= repeatMemory
		}
		if r.run < len(r.score) {
			r.score[r.run]++
		}
	}
	r.before, r.z, r.run, r.since = r.z, z, 1, now
	return false
}

// usual is the number of lines that most displays lasted, 1 until it is known.
func (r *repeats) usual() int {
	best := 1
	for i := 2; i < len(r.score); i++ {
		if r.score[i] > r.score[best] {
			best = i
		}
	}
	if r.score[best] < repeatsSeen {
		return 1
	}
	return best
}
