package senses

import (
	"math"

	"panside/internal/measure"
	"panside/internal/rectify"
)

// handRim is the relative standard uncertainty of a rim that a hand set or that was kept, where none
// is told: half a per cent, as of three places that are a pixel and a half off on a coin of 400.
// Assumed.
const handRim = 0.005

// mostCorners bounds the corners of an area.
const mostCorners = 64

// rule answers "measure": {rim, mm, hand, is, points} gives {value, u, unit} of a ruler whose points
// are places of the picture in which the rim lies; hand is how surely they were set, px. An area also
// says its share of the face. is: line (two points), step (how far the third stands off the line
// through the first two), angle (at the second of three), area (three or more).
func rule(_ *Pictures, q asked, _ going) Object {
	e, ok := ellipseIn(q.object("rim"))
	points := q.pairs("points")
	if !ok || len(points) > mostCorners {
		return refused(NotAQuestion)
	}
	u := q.object("rim").number("u")
	if !(u > 0) {
		u = handRim
	}
	on, no := rectify.New(e, q.number("mm"), 0, u)
	if no != "" {
		return refused(no)
	}
	r := measure.Ruler{On: on, Hand: math.Max(q.number("hand"), 0)}
	at := make([]rectify.Point, len(points))
	for i, p := range points {
		at[i] = on.ToCoin(p[0], p[1])
	}
	says := func(v measure.Value, why measure.Why, unit string) Object {
		if why != "" {
			return refused(why)
		}
		return Object{"why": "", "value": v.Value, "u": v.U, "unit": unit}
	}
	switch is := q.text("is"); {
	case is == "line" && len(at) == 2:
		v, why := r.Length(at[0], at[1])
		return says(v, why, "mm")
	case is == "step" && len(at) == 3:
		v, why := r.Step(at[0], at[1], at[2])
		return says(v, why, "mm")
	case is == "angle" && len(at) == 3:
		v, why := r.Angle(at[0], at[1], at[2])
		return says(v, why, "deg")
	case is == "area":
		v, why := r.Area(at)
		out := says(v, why, "mm2")
		if share, no := r.Share(at); why == "" && no == "" {
			out["share"] = share.Value / 100
		}
		return out
	}
	return refused(NotAQuestion)
}
