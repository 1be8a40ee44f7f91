package measure

import (
	"math"

	"panside/internal/rectify"
)

// Direction of the line from one place to another, degrees, 0 to the right of the upright coin and
// counterclockwise, −180 to 180.
func (r Ruler) Direction(from, to rectify.Point) (Value, Why) {
	if from == to {
		return Value{}, Same
	}
	direction := func(p []rectify.Point) float64 { return math.Atan2(p[0].Y-p[1].Y, p[1].X-p[0].X) * 180 / math.Pi }
	at := direction([]rectify.Point{from, to})
	// Against the line itself, so that a small change is small across 180 degrees too.
	v := r.carried(func(p []rectify.Point) float64 { return math.Remainder(direction(p)-at, 360) }, from, to)
	v.Value = at
	return v, ""
}
