package senses

import (
	"panside/internal/focus"
	"panside/internal/picture"
)

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
