package senses

import (
	"panside/internal/picture"
	"panside/internal/relief"
)

// reliefPixels is the most that a relief is made of: as much as the trials were made with, some
// seconds on a slow phone.
const reliefPixels = 1_000_000

// makeRelief answers "relief": {frames: [{picture, side, up}], rim?} gives the number of the
// relief, under "picture". The rim is the coin's in the first frame, and what lies farther off it
// than a tenth is left out; without one the coin fills the frames.
func makeRelief(p *Pictures, q asked, on going) Object {
	var frames []relief.Frame
	var disc relief.Disc
	e, hasRim := ellipseIn(q.object("rim"))
	for _, x := range q.list("frames") {
		o, _ := x.(Object)
		f := asked(o)
		r := p.raster(f, "picture")
		if r == nil {
			return refused(NoSuchPicture)
		}
		w, h := r.w, r.h
		if hasRim {
			w = min(w, int(2.2*e.A))
			h = min(h, w)
		}
		by := picture.ShrinkBy(w, h, reliefPixels)
		light, ok := picture.ShrunkRGBA(r.rgba, r.w, r.h, by)
		if !ok {
			return refused(relief.Sizes)
		}
		if hasRim {
			on := e.Scaled(1 / float64(by))
			reach := 1.1 * on.A
			x0, y0 := max(0, int(on.X-reach)), max(0, int(on.Y-reach))
			light = light.Crop(x0, y0, int(2*reach), int(2*reach))
			disc = relief.Disc{X: on.X - float64(x0), Y: on.Y - float64(y0), R: on.Mean()}
		}
		frames = append(frames, relief.Frame{Picture: light, Lamp: relief.Lamp{Side: f.number("side"), Up: f.number("up")}})
	}
	made, why := relief.Of(frames, disc, on)
	if why != "" {
		return refused(why)
	}
	return Object{"why": "", "picture": float64(p.keep(&made))}
}

// reliefOf answers "relief-of": {relief} gives what its making says of itself, and where the coin
// lies in it.
func reliefOf(p *Pictures, q asked, _ going) Object {
	r, ok := p.held[int(q.number("relief"))].(*relief.Relief)
	if !ok {
		return refused(NoSuchPicture)
	}
	return Object{"why": "", "apart": r.Apart, "doubt": r.Doubt, "x": r.On.X, "y": r.On.Y, "r": r.On.R}
}

// relit answers "relit": {relief, side, up, boost} gives the number of a picture of the relief
// under that lamp.
func relit(p *Pictures, q asked, _ going) Object {
	r, ok := p.held[int(q.number("relief"))].(*relief.Relief)
	if !ok {
		return refused(NoSuchPicture)
	}
	boost := q.number("boost")
	if !(boost > 0) {
		boost = 1
	}
	lit := r.Relit(relief.Lamp{Side: q.number("side"), Up: q.number("up")}, boost)
	return Object{"why": "", "picture": float64(p.keep(developed(lit)))}
}

// developed makes bytes of light, as a screen shows them, the brightest hundredth being white.
func developed(p picture.Picture) *raster {
	share := 1 / brightest(p)
	lit := picture.New(p.W, p.H)
	for i, v := range p.Light {
		lit.Light[i] = v * share
	}
	return &raster{p.W, p.H, lit.RGBA()}
}

// brightest is the light that one pixel in a hundred exceeds.
func brightest(p picture.Picture) float32 {
	const parts = 512
	var most float32
	for _, v := range p.Light {
		most = max(most, v)
	}
	if !(most > 0) {
		return 1
	}
	var count [parts]int
	for _, v := range p.Light {
		count[int(max(v, 0)/most*(parts-1))]++
	}
	left := len(p.Light) / 100
	for i := parts - 1; i > 0; i-- {
		if left -= count[i]; left <= 0 {
			return most * float32(i+1) / parts
		}
	}
	return most
}
