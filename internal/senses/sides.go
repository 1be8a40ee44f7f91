package senses

import (
	"math"

	"panside/internal/measure"
	"panside/internal/rectify"
	"panside/internal/sides"
)

// anyDiameter stands in for the coin's, mm: a direction has no millimeters.
const anyDiameter = 20

// levelOf answers "level": {rim, line, along, hand} gives {degrees, u}, by how much a side is turned
// counterclockwise against upright. line is two places of the picture, laid along what is level on the
// coin, left end first, or upright, lower end first; hand is how surely they were set, px.
func levelOf(_ *Pictures, q asked, _ going) Object {
	e, ok := ellipseIn(q.object("rim"))
	line := q.pairs("line")
	if !ok || len(line) != 2 {
		return refused(NotAQuestion)
	}
	on, no := rectify.New(e, anyDiameter, 0, handRim)
	if no != "" {
		return refused(no)
	}
	r := measure.Ruler{On: on, Hand: math.Max(q.number("hand"), 0)}
	turn, ok := sides.Of(r, on.ToCoin(line[0][0], line[0][1]), on.ToCoin(line[1][0], line[1][1]), sides.Along(q.text("along")))
	if !ok {
		return refused(NotAQuestion)
	}
	return angleOut(turn)
}

// between answers "between": {obverse, reverse, over, struck, by} gives by how much the reverse is turned
// against the obverse, {degrees, u, call}. obverse and reverse are lists of {degrees, u} that add up
// to how the side is turned against upright, as of a photo under a reference and of that one; an
// empty {} in such a list is a picture that is taken for upright.
func between(_ *Pictures, q asked, _ going) Object {
	var turns [2]sides.Angle
	for i, face := range [2]string{"obverse", "reverse"} {
		list := q.list(face)
		if len(list) == 0 {
			return refused(NotAQuestion)
		}
		for _, x := range list {
			o, ok := x.(Object)
			if !ok {
				return refused(NotAQuestion)
			}
			turn := sides.TakenForUpright
			if len(o) > 0 {
				turn = sides.Angle{Degrees: asked(o).number("degrees"), U: asked(o).number("u")}
				if !(turn.U > 0) {
					return refused(NotAQuestion)
				}
			}
			turns[i] = turns[i].And(turn)
		}
	}
	a, ok := sides.Between(turns[0], turns[1], sides.Over(q.text("over")), sides.Over(q.text("struck")), sides.Hand(q.text("by")))
	if !ok {
		return refused(NotAQuestion)
	}
	out := angleOut(a)
	out["call"] = string(a.Call())
	return out
}

// struck answers "struck": {country, denomination, year} gives the way such a coin is turned over to stand
// upright on both sides, {over, sure}; over is empty where that isn't known.
func struck(_ *Pictures, q asked, _ going) Object {
	country := q.text("country")
	if country == "" {
		return refused(NotAQuestion)
	}
	over, sure := sides.Struck(country, q.text("denomination"), int(q.number("year")))
	return Object{"why": "", "over": string(over), "sure": sure}
}

func angleOut(a sides.Angle) Object { return Object{"why": "", "degrees": a.Degrees, "u": a.U} }
