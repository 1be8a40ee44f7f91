package senses

import (
	"math"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/rim"
)

// closeUpPixels is what a close-up is looked for with: package align works on no more than 200 px across.
const closeUpPixels = 300_000

// closeUpScale is the least relative standard uncertainty of a close-up's scale: lenses bend, and a
// microscope stands some degrees askew. Assumed; rendered ones, which do neither, come within 0.0002.
const closeUpScale = 0.01

// findCloseUp answers "close-up": {picture, whole, wholeRim} finds a photo that shows a part of a coin on
// one that shows all of it. It gives {rim, u, degrees, agree, outline}: the coin's rim as it lies in the
// close-up, mostly outside of it, with the relative standard uncertainty of its radius, the degrees that
// the close-up is turned counterclockwise, and its four corners on the whole picture. The rim is round: a
// part is too small to say how it is stretched.
func findCloseUp(p *Pictures, q asked, on going) Object {
	part, whole := p.raster(q, "picture"), p.raster(q, "whole")
	e, ok := ellipseIn(q.object("wholeRim"))
	switch {
	case part == nil || whole == nil:
		return refused(NoSuchPicture)
	case !ok:
		return refused(NotAQuestion)
	}
	by := picture.ShrinkBy(part.w, part.h, closeUpPixels)
	light, ok := picture.ShrunkRGBA(part.rgba, part.w, part.h, by)
	face, toFace, okFace := whole.face(e)
	if !ok || !okFace {
		return refused(align.TooSmall)
	}
	place, why := align.Find(light, face, 0, 0, on)
	if why != "" {
		return refused(why)
	}
	inFace := align.Scaled(1 / float64(by)).Then(place.Map)
	toPart := inFace.Back()
	x, y := toPart.Of(face.X, face.Y)
	r := face.R * toPart.Scale()
	onWhole := inFace.Then(toFace.Back())
	corners := []any{}
	for _, c := range [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
		cx, cy := onWhole.Of(c[0]*float64(part.w), c[1]*float64(part.h))
		corners = append(corners, []any{cx, cy})
	}
	u := q.object("wholeRim").number("u")
	if !(u > 0) {
		u = handRim
	}
	u = math.Hypot(u, math.Max(place.U*math.Pi/180, closeUpScale))
	return Object{"why": "", "rim": ellipseOut(rim.Ellipse{X: x, Y: y, A: r, B: r}), "u": u, "degrees": place.Degrees, "agree": place.Agree, "outline": corners}
}
