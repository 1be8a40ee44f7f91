package senses

import (
	"math"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/rim"
)

// faceRadius is the radius of the coin in the upright picture that is compared: what alignment is
// tried with, and a second of work on a slow phone.
const faceRadius = 400.0

// beyond is how far an upright picture goes beyond the rim.
const beyond = 1.04

// face gives the coin upright, as seen straight from above; round takes places of the whole picture
// to places of it.
func (r *raster) face(e rim.Ellipse) (f align.Face, round align.Affine, ok bool) {
	p, shrunk, ok := r.light(e, faceRadius)
	if !ok {
		return f, round, false
	}
	radius := math.Min(faceRadius, shrunk.Mean())
	side := 2 * int(math.Ceil(beyond*radius))
	middle := float64(side) / 2
	f = align.Face{Picture: picture.New(side, side), X: middle, Y: middle, R: radius}
	for y := range side {
		for x := range side {
			at, down := shrunk.FromRound((float64(x)+0.5-middle)/radius, (float64(y)+0.5-middle)/radius)
			f.Picture.Light[y*side+x] = p.Sample(at, down)
		}
	}
	return f, toFace(e, f), true
}

// toFace maps places of the picture in which the rim is e to those of its upright face.
func toFace(e rim.Ellipse, f align.Face) align.Affine {
	x0, y0 := e.ToRound(e.X, e.Y)
	x1, y1 := e.ToRound(e.X+1, e.Y)
	x2, y2 := e.ToRound(e.X, e.Y+1)
	round := align.Moved(-e.X, -e.Y).Then(align.Affine{A: x1 - x0, B: x2 - x0, C: y1 - y0, D: y2 - y0})
	return round.Then(align.Scaled(f.R)).Then(align.Moved(f.X, f.Y))
}

// over answers "over": {picture, rim, over, otherRim} lays one picture over another by the rims and
// then by the relief. It gives the map from places of the second to those of the first as a canvas
// takes it, by how much the second was turned and how sure that is, degrees, how well the relief
// agrees, and whether the lamps stood alike, so that a difference is one of the coins. Where the turn
// is clear but the light is too unlike for the relief to agree place by place, rough says that rims
// and turn alone were laid.
func over(p *Pictures, q asked, on going) Object {
	a, b := p.raster(q, "picture"), p.raster(q, "over")
	ea, oka := ellipseIn(q.object("rim"))
	eb, okb := ellipseIn(q.object("otherRim"))
	switch {
	case a == nil || b == nil:
		return refused(NoSuchPicture)
	case !oka || !okb:
		return refused(NotAQuestion)
	}
	fa, toA, oka := a.face(ea)
	fb, toB, okb := b.face(eb)
	if !oka || !okb {
		return refused(align.TooSmall)
	}
	fit, why := align.Over(fa, fb, on)
	rough := why == align.Rough
	if why != "" && !rough {
		return refused(why)
	}
	if byRims := align.Laid(fa, fb, fit.Degrees, false); strays(fit.Map, byRims, fa) {
		fit.Map, rough = byRims, true
	}
	// From the second picture to its face, back to the first's face, and into the first picture.
	m := toB.Then(fit.Map.Back()).Then(toA.Back())
	return Object{"why": "", "map": canvas(m), "degrees": fit.Degrees, "u": fit.U, "agree": fit.Agree, "alike": !rough && fit.Light >= align.SameLight, "rough": rough}
}

// mostStray is by how much of the radius a refined map may leave the one by rims and its turn: rims are
// true to a per cent, so one that goes farther has taken the other flanks of the strokes for the same, all to
// one side. The turn is none the worse for it.
const mostStray = 0.015

// strays reports whether a map takes any place of the rim farther from where another takes it.
func strays(m, nearly align.Affine, f align.Face) bool {
	for deg := 0.0; deg < 360; deg += 30 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		x, y := m.Of(f.X+f.R*cos, f.Y+f.R*sin)
		wx, wy := nearly.Of(f.X+f.R*cos, f.Y+f.R*sin)
		if !(math.Hypot(x-wx, y-wy) <= mostStray*f.R) {
			return true
		}
	}
	return false
}

// laid answers "laid": {rim, otherRim, degrees, mirrored} lays a second picture over a first by their
// rims alone, turned counterclockwise by so many degrees, and mirrored left and right before that.
func laid(_ *Pictures, q asked, _ going) Object {
	ea, oka := ellipseIn(q.object("rim"))
	eb, okb := ellipseIn(q.object("otherRim"))
	if !oka || !okb {
		return refused(NotAQuestion)
	}
	unit := align.Face{R: 1}
	m := align.Laid(unit, unit, q.number("degrees"), q.is("mirrored"))
	back := toFace(eb, unit).Then(m.Back()).Then(toFace(ea, unit).Back())
	return Object{"why": "", "map": canvas(back)}
}

// canvas writes a map as the six numbers of a canvas.
func canvas(m align.Affine) []any { return []any{m.A, m.C, m.B, m.D, m.X, m.Y} }
