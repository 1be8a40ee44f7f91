package senses

import (
	"slices"

	"panside/internal/align"
	"panside/internal/relief"
	"panside/internal/rim"
)

// turnsOnDial answers "turns": {frames: [{picture, rim, turn}]} gives {frames: [{turn, map}]}, by how much
// the coin is truly turned counterclockwise in each photo, from what the dial says, and how it lies there.
// With the why "astray" one of them lies farther off its mark than a hand sets a dial: {frame,
// degrees}, the first being 0.
func turnsOnDial(p *Pictures, q asked, on going) Object {
	frames, why := p.onDial(q)
	if why != "" {
		return refused(why)
	}
	found, astray, no := relief.Turns(frames, on)
	if no == relief.Astray {
		return Object{"why": string(no), "frame": float64(astray), "degrees": found[astray].Turn}
	}
	if no != "" {
		return refused(no)
	}
	out := []any{}
	for _, f := range found {
		out = append(out, Object{"turn": f.Turn, "map": canvas(f.Map)})
	}
	return Object{"why": "", "frames": out}
}

// makeDial answers "dial": {frames: [{picture, rim, turn, map}], side, up} gives the number of the relief,
// under "picture", of a coin that was turned under one lamp, as "turns" has found. It lies as in the first
// frame.
func makeDial(p *Pictures, q asked, on going) Object {
	frames, why := p.onDial(q)
	if why != "" {
		return refused(why)
	}
	made, no := relief.Dial(frames, relief.Lamp{Side: q.number("side"), Up: q.number("up")}, on)
	if no != "" {
		return refused(no)
	}
	return Object{"why": "", "picture": float64(p.keep(&made))}
}

// onDial gives the frames, the coin in the middle of each and of one size. The camera stays where
// it is, so its rim has one radius: what differs is the shadow, which a rim brought upright by itself would
// take for a tilt.
func (p *Pictures) onDial(q asked) ([]relief.OnDial, string) {
	var frames []relief.OnDial
	var edges []rim.Ellipse
	var radii []float64
	for _, x := range q.list("frames") {
		o, _ := x.(Object)
		e, ok := ellipseIn(asked(o).object("rim"))
		if !ok {
			return nil, string(NotAQuestion)
		}
		edges, radii = append(edges, e), append(radii, e.Mean())
	}
	if len(edges) == 0 {
		return nil, string(relief.TooFew)
	}
	slices.Sort(radii)
	radius := radii[len(radii)/2]
	for k, x := range q.list("frames") {
		o, _ := x.(Object)
		f := asked(o)
		r := p.raster(f, "picture")
		if r == nil {
			return nil, string(NoSuchPicture)
		}
		face, _, ok := r.face(rim.Ellipse{X: edges[k].X, Y: edges[k].Y, A: radius, B: radius})
		if !ok {
			return nil, string(relief.Sizes)
		}
		frames = append(frames, relief.OnDial{
			Picture: face.Picture, On: relief.Disc{X: face.X, Y: face.Y, R: face.R}, Turn: f.number("turn"), Map: ofCanvas(f.list("map")),
		})
	}
	return frames, ""
}

// ofCanvas reads a map as canvas writes it; none is the zero map.
func ofCanvas(six []any) align.Affine {
	if len(six) != 6 {
		return align.Affine{}
	}
	return align.Affine{A: finite(six[0]), C: finite(six[1]), B: finite(six[2]), D: finite(six[3]), X: finite(six[4]), Y: finite(six[5])}
}
