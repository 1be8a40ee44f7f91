package hints

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/relief"
)

// Kind is what a mark is a mark of.
type Kind string

// The kinds.
const (
	SecondImage Kind = "second-image" // a second image of the same relief beside the first
	OtherSide   Kind = "other-side"   // the other side's relief, mirrored, in the field
	Differs     Kind = "differs"      // something else that the ordinary coin doesn't have, or has
)

// Mark is a place to look at.
type Mark struct {
	Kind  Kind
	X, Y  float64 // on the coin's own relief, px
	R     float64 // how far around, px
	Score float64 // against the bar of its kind
	// ShiftX and ShiftY are where the second image lies, mm to the right and down.
	ShiftX, ShiftY float64
	// Degrees is by how much the mirrored other side is turned counterclockwise.
	Degrees float64
}

// Shift is how far off a second image lies, mm, and where, degrees counterclockwise from the right.
func (m Mark) Shift() (mm, toward float64) {
	return math.Hypot(m.ShiftX, m.ShiftY), math.Atan2(-m.ShiftY, m.ShiftX) * 180 / math.Pi
}

// Why nothing can be compared; empty for good.
type Why string

// The reasons.
const (
	NoRelief Why = "no-relief" // one of the two is empty, or the coin's place in it isn't known
	NoFit    Why = "no-fit"    // they don't lie over each other: another type or side
	TooFew   Why = "too-few"   // too few places with relief on them to tell one from the others
	Unlike   Why = "unlike"    // the slopes agree too poorly for what differs to mean anything
	Stopped  Why = "stopped"   // by the caller
)

// Pair is a coin and an ordinary one of the same type and side, laid over each other: both as slopes
// on the raster of the coin, shrunk to pixel mm.
type Pair struct {
	w, h     int
	pixel    float64 // mm
	px       float64 // of the coin's relief, a pixel here
	on       relief.Disc
	mine     field
	ordinary field
	// Fit is how well they lie, its map with what the slopes themselves say.
	Fit align.Fit
	// Agree is the correlation of both coins' fine slopes, 1 for the same.
	Agree float64
}

// field is slopes to the right and down.
type field struct{ right, down []float32 }

// pixel is what the reliefs are shrunk to, mm: a letter's stroke is five wide.
const pixel = 0.045

// leastAgree is the agreement of slopes from which on they are compared. Of bare metal of the first world pairs under
// it had the clearest false second image, and one doubled coin in five was found.
const leastAgree = 0.7

// Lay lays an ordinary coin's relief over a coin's own, both of the same diameter in mm. progress may
// be nil.
func Lay(mine, ordinary relief.Relief, diameter float64, progress func(done float64) (goOn bool)) (*Pair, Why) {
	for _, r := range []relief.Relief{mine, ordinary} {
		if r.W == 0 || !(r.On.R > 0) {
			return nil, NoRelief
		}
	}
	if !(diameter > 0) {
		return nil, NoRelief
	}
	lamp := relief.Lamp{Side: 135, Up: 40}
	face := func(r relief.Relief) align.Face {
		return align.Face{Picture: r.Relit(lamp, 1), X: r.On.X, Y: r.On.Y, R: r.On.R}
	}
	fit, why := align.Over(face(mine), face(ordinary), progress)
	switch why {
	case "":
	case align.Stopped:
		return nil, Stopped
	default:
		return nil, NoFit
	}
	by := pixel * mine.On.R / (diameter / 2) // px of mine a pixel here
	p := &Pair{pixel: pixel, px: by, Fit: fit}
	side := int(2 * math.Ceil(diameter/2/pixel))
	p.w, p.h = side, side
	p.on = relief.Disc{X: float64(side) / 2, Y: float64(side) / 2, R: diameter / 2 / pixel}
	toMine := align.Moved(-p.on.X, -p.on.Y).Then(align.Scaled(by)).Then(align.Moved(mine.On.X, mine.On.Y))
	p.mine = slopes(mine, toMine, side)
	p.ordinary = slopes(ordinary, toMine.Then(fit.Map), side)
	finer := p.refined()
	p.ordinary = slopes(ordinary, finer.Then(toMine).Then(fit.Map), side)
	// The same for places of the coin's own relief.
	p.Fit.Map = toMine.Back().Then(finer).Then(toMine).Then(fit.Map)
	if p.Agree = p.agreement(); p.Agree < leastAgree {
		return nil, Unlike
	}
	return p, ""
}

// slopes takes a relief's slopes over by a map from the places here to its own: the slope to the right
// here is that along the mapped direction there.
func slopes(r relief.Relief, m align.Affine, side int) field {
	k := m.Scale()
	soft := 0.5 * math.Sqrt(math.Max(k*k-1, 0)) // as wide as a pixel here
	p, q := m.Take(r.Right.Blur(soft), side, side), m.Take(r.Down.Blur(soft), side, side)
	a, b, c, d := float32(m.A/k), float32(m.B/k), float32(m.C/k), float32(m.D/k)
	for i := range p.Light {
		x, y := p.Light[i], q.Light[i]
		p.Light[i], q.Light[i] = a*x+c*y, b*x+d*y
	}
	return field{p.Light, q.Light}
}

// within reports whether a square around a place lies on the coin, short of the rim.
func (p *Pair) within(x, y, half float64) bool {
	r := p.on.R*0.93 - half
	return r > 0 && math.Hypot(x-p.on.X, y-p.on.Y) < r
}

// energy is the mean square of a field's slopes over squares of so many pixels around each.
func (p *Pair) energy(f field, half int) []float32 {
	e := picture.New(p.w, p.h)
	for i := range e.Light {
		e.Light[i] = f.right[i]*f.right[i] + f.down[i]*f.down[i]
	}
	return e.Mean(half).Light
}

// softened blurs a field, px.
func (p *Pair) softened(f field, sigma float64) field {
	blur := func(v []float32) []float32 {
		return picture.Picture{W: p.w, H: p.h, Light: v}.Blur(sigma).Light
	}
	return field{blur(f.right), blur(f.down)}
}

// toCoin gives a place of the raster in px of the coin's relief.
func (p *Pair) toCoin(mine relief.Disc, x, y float64) (float64, float64) {
	return mine.X + (x-p.on.X)*p.px, mine.Y + (y-p.on.Y)*p.px
}

// MM gives a place of the raster in mm from the coin's middle, right and down.
func (p *Pair) MM(x, y float64) (right, down float64) {
	return (x - p.on.X) * p.pixel, (y - p.on.Y) * p.pixel
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}
