package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/picture"
)

// OnDial is one photo of a coin that is turned on a paper dial under one lamp that stands still.
type OnDial struct {
	Picture picture.Picture
	// On is where the coin lies in this photo: a dial turned by hand doesn't keep it in one place.
	On Disc
	// Turn is by how much the coin is turned counterclockwise, degrees; only differences count.
	Turn float64
}

// mostAstray is how far off its mark a dial may stand, degrees: a hand sets it within 3, and half of the
// smallest step is 22. TestWrongTurnsAreNamed and TestDialTurnsBack hold it from both sides.
const mostAstray = 10

// Turns finds by how much the coin is truly turned in each frame, degrees, from what the dial says. A frame
// that lies farther off than a hand sets a dial is Astray: it is named, and what was found of it given
// with all others. Frames that can't be compared keep what was said of them, for [Dial] to refuse.
//
// Neighbors are compared, since under one lamp their light differs least; a chain of such
// comparisons, each within some tenths of a degree, is as near as [Of] needs.
func Turns(frames []OnDial, progress func(done float64) (goOn bool)) (found []float64, astray int, why Why) {
	found = make([]float64, len(frames))
	off := make([]float64, len(frames))
	for k, f := range frames {
		if !(f.On.R > 0) || math.IsNaN(f.Turn) || math.IsInf(f.Turn, 0) {
			return nil, k, Sizes
		}
		if k > 0 {
			before := frames[k-1]
			off[k] = off[k-1]
			if t, no := align.TurnOf(before.face(), f.face(), false); no == "" {
				off[k] = math.Remainder(off[k]-t.Degrees-(f.Turn-before.Turn), 360)
			}
		}
		if !goesOn(progress, float64(k+1)/float64(len(frames))) {
			return nil, 0, Stopped
		}
	}
	// Against the most of them, so that a first frame that lies wrongly doesn't blame all others.
	common := middleTurn(off)
	worst := 0
	for k, f := range frames {
		off[k] = math.Remainder(off[k]-common, 360)
		found[k] = f.Turn + off[k]
		if math.Abs(off[k]) > math.Abs(off[worst]) {
			worst = k
		}
	}
	if len(frames) > 0 && math.Abs(off[worst]) > mostAstray {
		return found, worst, Astray
	}
	return found, 0, ""
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

func (f OnDial) face() align.Face {
	return align.Face{Picture: f.Picture, X: f.On.X, Y: f.On.Y, R: f.On.R}
}

// Dial makes the relief of a coin on a dial, its turns known to a degree or two ([Turns]). Each frame is
// turned back to the first one, and the lamp with it: in the coin's frame it moves against the turn. From
// there it is [Of], which finds what is left of place and turn by the relief.
func Dial(frames []OnDial, lamp Lamp, progress func(done float64) (goOn bool)) (Relief, Why) {
	var back []Frame
	for _, f := range frames {
		first := frames[0]
		if !(f.On.R > 0) || len(f.Picture.Light) != f.Picture.W*f.Picture.H || f.Picture.W == 0 {
			return Relief{}, Sizes
		}
		turn := f.Turn - first.Turn
		// From places of the first frame to those of this one, by the two rims.
		m := align.Moved(-first.On.X, -first.On.Y).Then(align.Scaled(f.On.R / first.On.R)).Then(align.Turned(turn)).Then(align.Moved(f.On.X, f.On.Y))
		back = append(back, Frame{m.Take(f.Picture, first.Picture.W, first.Picture.H), Lamp{lamp.Side - turn, lamp.Up}})
	}
	if len(back) == 0 {
		return Relief{}, TooFew
	}
	return Of(back, frames[0].On, progress)
}
