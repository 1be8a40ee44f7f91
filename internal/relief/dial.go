package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/picture"
)

// OnDial is one photo of a coin that is turned on a paper dial under one lamp that stands still, the
// camera straight above.
type OnDial struct {
	Picture picture.Picture
	// On is where the coin lies in this photo: a dial turned by hand doesn't keep it in one place.
	On Disc
	// Turn is by how much the coin is turned counterclockwise, degrees; only differences count.
	Turn float64
	// Map takes places of the first frame to those of this one, once [Turns] has found it.
	Map align.Affine
}

const (
	// mostAstray is how far off its mark a dial may stand, degrees: a hand sets it within 3, and half of
	// the smallest step is 22. TestWrongTurnsAreNamed and TestDialTurnsBack hold it from both sides.
	mostAstray = 10
	// near is how far apart the lamps of neighbors may stand, degrees, for the relief to be laid over
	// finely by [align.Refine]. At 90 its edges move with the lamp by some pixels (simulated).
	near = 60
	// passes is how often frames are laid over each other anew: under one lamp a rim is seen a hundredth
	// of the radius off to the lamp's side, which the turns take to every side, and one pass closes
	// seven eighths of such a slip (TestACoinOnADial of package senses).
	passes = 3
)

// Turns finds by how much the coin is truly turned in each frame, degrees, from what the dial says, and how
// the frames lie. A frame that lies farther off than a hand sets a dial is Astray: it is named,
// and what was found of it given with all others. Frames that can't be compared keep what was said of them, for
// [Dial] to refuse.
//
// Neighbors are compared, since under one lamp their light differs least.
func Turns(frames []OnDial, progress func(done float64) (goOn bool)) (found []OnDial, astray int, why Why) {
	found = slices.Clone(frames)
	off := make([]float64, len(frames))
	for k := range found {
		f := &found[k]
		if !f.sound() {
			return nil, k, Sizes
		}
		f.Map = align.Identity
		if k > 0 {
			before := found[k-1]
			step := f.Turn - before.Turn
			seen, m := laidOnDial(before, *f, step)
			off[k] = math.Remainder(off[k-1]+seen-step, 360)
			f.Map = before.Map.Then(m)
		}
		if !goesOn(progress, float64(k+1)/float64(len(frames))) {
			return nil, 0, Stopped
		}
	}
	// Against the most of them, so that a first frame that lies wrongly doesn't blame all others.
	common := middleTurn(off)
	worst := 0
	for k := range found {
		off[k] = math.Remainder(off[k]-common, 360)
		found[k].Turn += off[k]
		if math.Abs(off[k]) > math.Abs(off[worst]) {
			worst = k
		}
	}
	if len(found) > 0 && math.Abs(off[worst]) > mostAstray {
		return found, worst, Astray
	}
	return found, 0, ""
}

func (f OnDial) sound() bool {
	p := f.Picture
	return f.On.R > 0 && p.W > 0 && len(p.Light) == p.W*p.H && !math.IsNaN(f.Turn) && !math.IsInf(f.Turn, 0)
}

func (f OnDial) face() align.Face {
	return align.Face{Picture: f.Picture, X: f.On.X, Y: f.On.Y, R: f.On.R}
}

// laidOnDial gives by how much the coin was turned on, counterclockwise, from one frame to the next,
// and the map from the first to the second: by the relief, by turn and rims, or as the dial says.
func laidOnDial(a, b OnDial, said float64) (turned float64, m align.Affine) {
	fa, fb := a.face(), b.face()
	t, no := align.TurnOf(fa, fb, false)
	if no != "" {
		return said, align.Laid(fa, fb, -said, false)
	}
	m = align.Laid(fa, fb, t.Degrees, false)
	if math.Abs(math.Remainder(t.Degrees, 360)) <= near {
		if fit, no := align.Refine(fa, fb, m, nil); no == "" {
			return -fit.Degrees, fit.Map
		}
	}
	return -t.Degrees, m
}

// middleTurn is the angle to which the others are nearest in sum, degrees.
func middleTurn(angles []float64) float64 {
	far := func(a float64) (sum float64) {
		for _, b := range angles {
			sum += math.Abs(math.Remainder(a-b, 360))
		}
		return sum
	}
	if len(angles) == 0 {
		return 0
	}
	return slices.MinFunc(angles, func(a, b float64) int { return int(math.Copysign(1, far(a)-far(b))) })
}

// Dial makes the relief of a coin on a dial, as [Turns] has found its frames to lie. Each is turned
// back to the first one, and the lamp with it: in the coin's frame it moves against the turn. From there
// it is [Of], which finds what is left of place and turn by the relief, again from where that led
// as long as frames come nearer. A frame that lies farther off its turn than a hand sets a dial is refused.
func Dial(frames []OnDial, lamp Lamp, progress func(done float64) (goOn bool)) (Relief, Why) {
	if len(frames) < FewestFrames {
		return Relief{}, TooFew
	}
	first := frames[0]
	w, h := first.Picture.W, first.Picture.H
	maps := make([]align.Affine, len(frames))
	for k, f := range frames {
		if !f.sound() || f.Map == (align.Affine{}) {
			return Relief{}, Sizes
		}
		maps[k] = f.Map
	}
	apart := math.Inf(1)
	on := make([]float64, len(frames)) // by how much more each was turned than said, degrees
	for pass := range passes {
		back := make([]Frame, len(frames))
		for k, f := range frames {
			back[k] = Frame{maps[k].Take(f.Picture, w, h), Lamp{lamp.Side - (f.Turn - first.Turn), lamp.Up}}
		}
		r, why := Of(back, first.On, func(done float64) bool { return goesOn(progress, (float64(pass)+done)/passes) })
		for k, s := range r.Slip {
			on[k] += s.Degrees
			if math.Abs(on[k]) > mostAstray {
				// The lamp would stand elsewhere, too.
				return Relief{Slip: r.Slip, Apart: r.Apart}, Slipped
			}
		}
		if why != Slipped || pass+1 == passes || !(r.Apart < 0.9*apart) || len(r.Slip) != len(frames) {
			return r, why
		}
		apart = r.Apart
		for k, s := range r.Slip {
			x, y := float64(w)/2, float64(h)/2
			maps[k] = align.Moved(-x, -y).Then(align.Turned(s.Degrees)).Then(align.Moved(x+s.X, y+s.Y)).Then(maps[k])
		}
	}
	return Relief{}, Slipped
}
