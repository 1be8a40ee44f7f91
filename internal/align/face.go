package align

import (
	"math"

	"panside/internal/picture"
)

// Face is a picture of one side of a coin, seen straight from above, with the coin's place in it:
// what rim and rectify leave behind.
type Face struct {
	Picture picture.Picture
	X, Y, R float64 // middle and radius, px
}

// Why a picture isn't laid over another; empty for good.
type Why string

// The reasons.
const (
	TooSmall  Why = "too-small" // fewer pixels than a coin's relief can be told by
	Flat      Why = "flat"      // nothing on it that could be laid over
	NoFit     Why = "no-fit"    // it doesn't fit: another design, or too much differs
	Ambiguous Why = "ambiguous" // it fits at two turns or places about as well
	Rough     Why = "rough"     // rims and rings alone tell how it lies, the relief doesn't
	Stopped   Why = "stopped"   // by the caller
)

// smallest is the least radius, px, that a face is compared at.
const smallest = 60

// sound reports what keeps the face from being compared.
func (f Face) sound() Why {
	if f.Picture.W == 0 || len(f.Picture.Light) != f.Picture.W*f.Picture.H || !(f.R >= smallest) || math.IsInf(f.R, 0) {
		return TooSmall
	}
	if !f.Picture.Holds(f.X, f.Y) {
		return TooSmall
	}
	return ""
}

// units maps places in units of the radius from the middle to pixels of the face.
func (f Face) units() Affine { return Scaled(f.R).Then(Moved(f.X, f.Y)) }

// around is how far a raster of radii goes beyond the rim.
const around = 1.03

// at gives the face as a square raster in which the coin has the radius r px around the middle. The
// map goes from units of the radius (through the given one) to the face's own units.
func (f Face) at(r float64, m Affine) picture.Picture {
	side := 2 * int(math.Ceil(r*around))
	p, k := f.Picture, 1
	// Enough pixels are made one first, so that none is left out.
	if k = int(f.R / r * m.Scale()); k > 1 {
		p = p.Shrink(k)
	} else {
		k = 1
	}
	toUnits := Moved(-float64(side)/2, -float64(side)/2).Then(Scaled(1 / r))
	return toUnits.Then(m).Then(f.units()).Then(Scaled(1/float64(k))).Take(p, side, side)
}

// Laid maps places of a, px, to those of b by their rims alone: b turned counterclockwise by so
// many degrees, and mirrored before that if asked for. It is how two sides of a coin are laid over each
// other, which have no relief in common.
func Laid(a, b Face, degrees float64, mirrored bool) Affine {
	m := Turned(-degrees)
	if mirrored {
		m = m.Then(Mirrored)
	}
	return a.units().Back().Then(m).Then(b.units())
}
