package sides

import (
	"panside/internal/measure"
	"panside/internal/rectify"
)

// Along is how a line on a coin runs where the coin stands upright.
type Along string

// The ways a line runs.
const (
	Level   Along = "level"   // from its left end to its right one
	Upright Along = "upright" // from its lower end to its upper one
)

// byEye is how surely an eye knows what is level on a coin, such as the foot of a date, as a standard
// uncertainty in degrees. Assumed.
const byEye = 1.0

// TakenForUpright is the turn of a picture of which nothing is known but that somebody meant it to stand
// upright. Assumed.
var TakenForUpright = Angle{0, 2}

// Of is by how much a side is turned counterclockwise against upright, by a line laid along what should
// be level or upright. false where along is neither, or the line has no length.
func Of(r measure.Ruler, from, to rectify.Point, along Along) (Angle, bool) {
	d, why := r.Direction(from, to)
	if why != "" || along != Level && along != Upright {
		return Angle{}, false
	}
	if along == Upright {
		d.Value -= 90
	}
	return Angle{d.Value, d.U}.And(Angle{0, byEye}), true
}
