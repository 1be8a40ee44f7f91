package segments

import "slices"

const (
	// mostSwing is how far toward its other state a segment's ink may go between any two of the last
	// frames, as a multiple of what the steadier third of the lit ones goes: that is this display's
	// noise, or its bands.
	mostSwing = 4
	// leastSwing is how far it may go on a display without noise, as a share of the way. A segment
	// that goes out in 0.7 s, from four fifths, loses more of it between two numbers, 0.08 s apart.
	leastSwing = 0.08
)

// gainOf is the ink of a frame's segments that are fully lit, as a share: the upper quartile of the
// lit ones', since those that fade have less and make less of the mean that levels are taken by.
func gainOf(levels *[maxCells][nSegments]float32, cells int) float32 {
	var lit [maxCells * nSegments]float32
	n := 0
	for c := range cells {
		for _, x := range levels[c] {
			if x > 0.5 {
				lit[n] = x
				n++
			}
		}
	}
	if n == 0 {
		return 1
	}
	slices.Sort(lit[:n])
	return lit[3*n/4]
}

// swings reports whether a segment went toward its other state and came back, in the last n frames.
// Numbers that alternate on a slow display leave the segments of both more than half lit, and in the
// mean of some frames they stand still. How far a segment went is the largest of
//
//	level(i) − level(j), frame i before j, of a lit one, and the same upside down of an unlit one
//
// so that one which is about to reach its own state goes nowhere.
func (t *trend) swings(cells, n int) bool {
	var went, steady [maxCells * nSegments]float32
	k, lit := 0, 0
	for c := range cells {
		for s := range nSegments {
			level := func(i int) float32 {
				q := (t.n - n + i) % trendFrames
				return t.levels[q][c][s] / t.gain[q]
			}
			sign := float32(1)
			if level(0)+level(n-1) < 1 {
				sign = -1
			}
			most := sign * level(0)
			for i := 1; i < n; i++ {
				x := sign * level(i)
				went[k] = max(went[k], most-x)
				most = max(most, x)
			}
			if sign > 0 {
				steady[lit] = went[k]
				lit++
			}
			k++
		}
	}
	if lit == 0 {
		return false
	}
	slices.Sort(steady[:lit])
	return slices.Max(went[:k]) > max(leastSwing, mostSwing*steady[lit/3])
}
