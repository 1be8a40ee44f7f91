package segments

import "math"

// Beyond the digits that were taught a layout is only carried on, and may be off by some of a stroke's
// width there. Such a cell is laid upon the first digit that rests in it, once.
const (
	// mostNudge and nudgeStep are how far it may be moved, and how finely, as shares of a stroke.
	mostNudge, nudgeStep = 0.9, 0.15
	// nudgeLike is the least correlation with a digit where it then lies.
	nudgeLike = 0.85
	// nudgeFrames is of how many equal frames the picture is a mean by then.
	nudgeFrames = 4
)

// nudge lays the cells that weren't taught upon what they show.
func (r *Reader) nudge(soft *raster, in *inked) (moved bool) {
	if r.frames < nudgeFrames {
		return false
	}
	for c := r.used; c < r.cells; c++ {
		if r.laid[c] || r.match.match(soft, c, in.full*in.unit[c]).digit == -1 {
			continue
		}
		best, at := r.match.like(soft, c, 0), 0.0
		for share := -mostNudge; share <= mostNudge; share += nudgeStep {
			if x := r.match.like(soft, c, share*r.layout.stroke); x > best+0.005 {
				best, at = x, share
			}
		}
		if best < nudgeLike {
			continue
		}
		r.laid[c] = true
		if at != 0 {
			by := at * r.layout.stroke
			r.match.at[c].shift(soft, by)
			for s := range r.ink.seg[c] {
				r.ink.seg[c][s].shift(soft, by)
			}
			for h := range r.ink.hole[c] {
				r.ink.hole[c][h].shift(soft, by)
			}
			moved = true
		}
	}
	return moved
}

// like is the correlation of a cell's picture, taken so far to the right, with the digit most like it.
func (m *matcher) like(soft *raster, cell int, by float64) float32 {
	var p [patchN]float32
	for k, at := range m.at[cell].at {
		p[k] = -m.sign * soft.at(Point{at.X + by, at.Y})
	}
	m.level(&p)
	size := float32(math.Sqrt(float64(dot(p[:], p[:]))))
	var most float32
	for k := range m.known {
		most = max(most, dot(p[:], m.known[k].v[:])/max(size, 1e-6))
	}
	return most
}
