package senses

import (
	"math"

	"panside/internal/picture"
	"panside/internal/rim"
	"panside/internal/screen"
)

// rimPixels is what the rim is looked for in; package rim works on no more.
const rimPixels = 750_000

// seekRim answers "rim": {picture, also?, at?} gives {rim, covered, u, check, held, screen}, each place in
// pixels of the picture. also are further pictures of the still coin, of the same size, under lamps on other
// sides: the rim is then looked for in their mean, since a lamp on one side lights the rim's inner edge more
// than its outer one; screen says that the coin stands on one. With a why there may be a rim all the same, to
// be mended by hand.
func seekRim(p *Pictures, q asked, on going) Object {
	r := p.raster(q, "picture")
	if r == nil {
		return refused(NoSuchPicture)
	}
	by := picture.ShrinkBy(r.w, r.h, rimPixels)
	colors, ok := picture.ShrunkColors(r.rgba, r.w, r.h, by)
	if !ok {
		return refused(rim.Small)
	}
	p.addAll(colors, r, q.list("also"), by)
	var found rim.Found
	var why rim.Why
	if at := q.pairs("at"); len(at) == 1 {
		k := float64(by)
		found, why = rim.FindAt(colors, rim.Point{X: at[0][0] / k, Y: at[0][1] / k}, on)
	} else {
		found, why = rim.Find(colors, on)
	}
	if !(found.A > 0) {
		return refused(why)
	}
	e := found.Ellipse.Scaled(float64(by))
	return Object{"why": string(why), "rim": ellipseOut(e), "covered": found.Covered, "u": found.U, "check": found.Check, "held": heldOut(e), "screen": r.onScreen(e)}
}

// onScreen reports whether a coin stands on a screen; its pixels are lost in a shrunk picture.
func (r *raster) onScreen(e rim.Ellipse) bool {
	var pieces []picture.Picture
	for _, at := range screen.Places(r.w, r.h, e.X, e.Y, e.Mean()) {
		rgba := make([]byte, 0, 4*screen.Side*screen.Side)
		for y := range screen.Side {
			from := 4 * ((at[1]+y)*r.w + at[0])
			rgba = append(rgba, r.rgba[from:from+4*screen.Side]...)
		}
		p, _ := picture.FromRGBA(rgba, screen.Side, screen.Side)
		pieces = append(pieces, p)
	}
	return len(pieces) > 0 && screen.Shows(pieces)
}

// addAll makes the mean of a picture's colors and those of others of its size; what names none is left out.
func (p *Pictures) addAll(sum picture.Colors, of *raster, also []any, by int) {
	n := float32(1)
	for _, x := range also {
		r, _ := p.held[int(finite(x))].(*raster)
		if r == nil || r.w != of.w || r.h != of.h {
			continue
		}
		c, ok := picture.ShrunkColors(r.rgba, r.w, r.h, by)
		if !ok {
			continue
		}
		n++
		for k, to := range []picture.Picture{sum.Red, sum.Green, sum.Blue} {
			for i, v := range []picture.Picture{c.Red, c.Green, c.Blue}[k].Light {
				to.Light[i] += v
			}
		}
	}
	for _, to := range []picture.Picture{sum.Red, sum.Green, sum.Blue} {
		for i := range to.Light {
			to.Light[i] /= n
		}
	}
}

// heldBy answers "held": {rim} gives the three places that a rim is held by.
func heldBy(_ *Pictures, q asked, _ going) Object {
	e, ok := ellipseIn(q.object("rim"))
	if !ok {
		return refused(NotAQuestion)
	}
	return Object{"why": "", "held": heldOut(e)}
}

// through answers "through": {rim, held} gives the rim of that shape through the three places.
func through(_ *Pictures, q asked, _ going) Object {
	e, ok := ellipseIn(q.object("rim"))
	at := q.pairs("held")
	if !ok || len(at) != 3 {
		return refused(NotAQuestion)
	}
	var h [3]rim.Point
	for i := range h {
		h[i] = rim.Point{X: at[i][0], Y: at[i][1]}
	}
	mended, why := rim.Through(e, h[0], h[1], h[2])
	if why != "" {
		return refused(why)
	}
	return Object{"why": "", "rim": ellipseOut(mended)}
}

func ellipseIn(q asked) (rim.Ellipse, bool) {
	e := rim.Ellipse{X: q.number("x"), Y: q.number("y"), A: q.number("a"), B: q.number("b"), Turn: q.number("turn")}
	return e, e.A > 0 && e.B > 0
}

func ellipseOut(e rim.Ellipse) Object {
	return Object{"x": e.X, "y": e.Y, "a": e.A, "b": e.B, "turn": e.Turn}
}

func heldOut(e rim.Ellipse) []any {
	out := []any{}
	for _, h := range e.Handles() {
		out = append(out, []any{h.X, h.Y})
	}
	return out
}

// light gives a picture's light, shrunk so far that a coin of that rim keeps at least the radius
// wanted, and the rim in it.
func (r *raster) light(e rim.Ellipse, radius float64) (picture.Picture, rim.Ellipse, bool) {
	by := max(1, int(e.Mean()/radius))
	p, ok := picture.ShrunkRGBA(r.rgba, r.w, r.h, by)
	return p, e.Scaled(1 / float64(by)), ok && !math.IsNaN(e.Mean())
}
