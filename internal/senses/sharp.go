package senses

import (
	"panside/internal/focus"
	"panside/internal/picture"
)

// stackPixels is the most that focus steps are put together in: eight of them then still fit into a
// phone's memory with their pyramids.
const stackPixels = 1_500_000

// sharpness answers "sharpness": {picture} gives how much fine detail it has, 0 to about 0.4.
func sharpness(p *Pictures, q asked, _ going) Object {
	r := p.raster(q, "picture")
	if r == nil {
		return refused(NoSuchPicture)
	}
	light, ok := picture.FromRGBA(r.rgba, r.w, r.h)
	if !ok {
		return refused(NoSuchPicture)
	}
	return Object{"why": "", "sharpness": focus.Sharpness(light)}
}

// stack answers "stack": {pictures: [number, …]} gives, under "picture", the number of one that is
// sharp all over, of pictures of one coin at several focus steps.
func stack(p *Pictures, q asked, on going) Object {
	var steps []focus.Step
	for _, n := range q.list("pictures") {
		r, _ := p.held[int(finite(n))].(*raster)
		if r == nil {
			return refused(NoSuchPicture)
		}
		c, ok := picture.ShrunkColors(r.rgba, r.w, r.h, picture.ShrinkBy(r.w, r.h, stackPixels))
		if !ok {
			return refused(focus.Sizes)
		}
		steps = append(steps, focus.Step{Light: c.Light(), Colors: []picture.Picture{c.Red, c.Green, c.Blue}})
	}
	made, why := focus.Stack(steps, on)
	if why != "" {
		return refused(why)
	}
	shown := picture.Colors{Red: made.Colors[0], Green: made.Colors[1], Blue: made.Colors[2]}
	out := &raster{made.Light.W, made.Light.H, shown.RGBA()}
	return Object{"why": "", "picture": float64(p.keep(out))}
}
