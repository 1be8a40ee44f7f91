package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/picture"
)

// How frames are laid over each other.
const (
	// allowed is how far frames may still lie apart, px. Beyond it a small doubling is lost
	// (TestRegistrationHoldsItsLimit).
	allowed = 0.7
	// reach is how far a frame may have slipped, of the picture's width.
	reach = 0.08
	// inner is the share of the coin's radius that is compared: rims fit whatever coin they are of.
	inner = 0.88
	// squares is into how many squares a side the picture is cut to see what is left.
	squares = 3
	rounds  = 10
	// lighting is how many steps find the lamps, and then lamps and moves.
	lighting = 3
	// largest is the width, px, of the frames as they are compared. At half of it frames of bare metal that lie within
	// 0.3 px seem to lie 0.8 px apart, since what is left of a square's misfit counts in larger pixels.
	largest = 1000
	// dull is how much of what differs between frames Lambert's law may leave open, of what it leaves open
	// of frames that have nothing to do with each other, before gloss is assumed.
	dull = 0.3
	// sameCoin is how well edges must agree within the share middle of the radius: of one coin by 0.48 and more, of two
	// with the same letters by 0.40 at most (TestAnotherBust). A middle with less than the share bare of the
	// coin's edges isn't compared.
	sameCoin, middle, bare = 0.44, 0.4, 0.25
	// doubtful is the largest standard uncertainty, px, of the least certain frame. The worst of four frames was off by
	// 2.4 times as much at most (TestWideWorld, TestSmoothCoins); four times are allowed for what these coins don't show.
	doubtful = allowed / 4
)

// movedFrames is where the frames lie: maps from the first frame's places to each frame's.
type movedFrames struct {
	maps  []align.Affine
	lamps [][3]float64 // as they were found to stand
	apart float64
	u     float64 // standard uncertainty of where the least certain frame lies, px
	same  float64 // how well the frames' edges agree in the middle
}

func (m movedFrames) slips(p picture.Picture) []Slip {
	var out []Slip
	for _, a := range m.maps {
		x, y := a.Of(float64(p.W)/2, float64(p.H)/2)
		out = append(out, Slip{x - float64(p.W)/2, y - float64(p.H)/2, a.Degrees()})
	}
	return out
}

// register finds how frames slipped: their marks lay them over each other (lay.go); then, as far as the metal is
// dull, one shape must explain their even light (even.go), which is the finer measure there: with L the
// lamps' parts across, the part of a pixel's values that no slope explains is P I, P = 1 − L (LᵀL)⁻¹ Lᵀ
// (K lamps leave K − 2 such parts). Moving frame k by d changes it by P's column k times ∇I_k·d, so the moves that
// make Σ |P I|² least come from Gauss and Newton's normal equations H, with a similarity a frame.
//
// The slopes must be those of a surface, too: their curl ∂p/∂y − ∂q/∂x, with p and q linear in the frames,
// is made least together with the rest, each set against its own spread.
//
// Lamps aren't where they are said to be: each lamp's side and how steeply it rakes are found in turn with the
// moves, near what was said (∂(P I) = −P ∂L g).
//
// On bare metal this goes astray: with four lamps it compares 0 with 2 and 1 with 3, and all of them moving toward their
// lamps look much like edges of gloss. So with r how well each frame is foretold by the others (agreement), and V the
// covariance of what the marks found, the moves x make
//
//	(r/together)² Σ (|P I|² + curl²) + (x − x_marks)ᵀ V⁻¹ (x − x_marks)
//
// least.
func register(frames []picture.Picture, lamps [][3]float64, on Disc, progress func(float64) bool) (movedFrames, Why) {
	l, why := lay(frames, on, progress)
	if why != "" {
		return movedFrames{maps: l.maps}, why
	}
	g := newGroup(slices.Clone(lamps))
	lv := level{edges: l.marks.edges, places: l.marks.places}
	for range lighting {
		g.step(lv, l.maps, lamps, 0, l.known, nil)
	}
	weight := math.Max(agreement(l.marks.even, l.maps, g.lamps, on), 0) / together
	weight *= weight
	gone := make([]float64, free*g.k)
	for range lighting {
		g.step(lv, l.maps, lamps, weight, l.known, gone)
	}
	for i, v := range g.normal {
		l.known[i] += weight * v
	}
	u := calm(l.known, l.maps, float64(frames[0].W), float64(frames[0].H))
	same := sameEdges(l.marks.edges, l.maps, on)
	// The first frame stays where it is.
	back := l.maps[0].Back()
	for k := range l.maps {
		l.maps[k] = back.Then(l.maps[k])
	}
	l.maps[0] = align.Identity
	return movedFrames{maps: l.maps, lamps: g.lamps, apart: l.apart, u: u, same: same}, ""
}

// grown is the same in frames that are by times as large.
func (m movedFrames) grown(by float64) movedFrames {
	maps := slices.Clone(m.maps)
	for k := range maps {
		maps[k].X, maps[k].Y = by*maps[k].X, by*maps[k].Y
	}
	return movedFrames{maps, m.lamps, by * m.apart, by * m.u, m.same}
}

// tooFar reports whether frames of p's size slipped farther than is looked for, or still lie apart.
func (m movedFrames) tooFar(p picture.Picture) bool {
	return !(m.apart <= allowed) || slices.ContainsFunc(m.slips(p), func(s Slip) bool {
		return !(math.Hypot(s.X, s.Y) <= reach*float64(p.W)) || math.Abs(s.Degrees) > 3
	})
}
