package measure

import (
	"math"

	"panside/internal/rectify"
)

// Step is how far a place stands off the line through two others, mm, 0 or more: whether a digit's
// top is level with those of its neighbors, and by how much it isn't.
func (r Ruler) Step(a, b, at rectify.Point) (Value, Why) {
	if a == b {
		return Value{}, Same
	}
	off := func(p []rectify.Point) float64 {
		dx, dy := p[1].X-p[0].X, p[1].Y-p[0].Y
		return (dx*(p[2].Y-p[0].Y) - dy*(p[2].X-p[0].X)) / math.Hypot(dx, dy)
	}
	// With its sign, since a distance itself has no slope at nought.
	v := r.carried(off, a, b, at)
	v.Value = math.Abs(v.Value)
	return v, ""
}
