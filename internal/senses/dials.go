package senses

import (
	"panside/internal/relief"
)

// turnsOnDial answers "turns": {frames: [{picture, rim, turn}]} gives {turns}, by how much the coin is
// truly turned counterclockwise in each photo, from what the dial says. With the why "astray" one of
// them lies farther off its mark than a hand sets a dial: {frame, degrees}, the first being 0.
func turnsOnDial(p *Pictures, q asked, on going) Object {
	frames, why := p.onDial(q)
	if why != "" {
		return refused(why)
	}
	turns, astray, no := relief.Turns(frames, on)
	if no == relief.Astray {
		return Object{"why": string(no), "frame": float64(astray), "degrees": turns[astray]}
	}
	if no != "" {
		return refused(no)
	}
	out := []any{}
	for _, v := range turns {
		out = append(out, v)
	}
	return Object{"why": "", "turns": out}
}

// makeDial answers "dial": {frames: [{picture, rim, turn}], side, up} gives the number of the relief,
// under "picture", of a coin that was turned by so much under one lamp. It lies as in the first frame.
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

// onDial gives the frames, each brought upright by its own rim, so that a tilted camera shows the same
// round at every turn.
func (p *Pictures) onDial(q asked) ([]relief.OnDial, string) {
	var frames []relief.OnDial
	for _, x := range q.list("frames") {
		o, _ := x.(Object)
		f := asked(o)
		r := p.raster(f, "picture")
		if r == nil {
			return nil, string(NoSuchPicture)
		}
		e, ok := ellipseIn(f.object("rim"))
		if !ok {
			return nil, string(NotAQuestion)
		}
		face, _, ok := r.face(e)
		if !ok {
			return nil, string(relief.Sizes)
		}
		frames = append(frames, relief.OnDial{Picture: face.Picture, On: relief.Disc{X: face.X, Y: face.Y, R: face.R}, Turn: f.number("turn")})
	}
	if len(frames) == 0 {
		return nil, string(relief.TooFew)
	}
	return frames, ""
}
