package hints

import (
	"math"
	"slices"

	"panside/internal/fourier"
	"panside/internal/picture"
	"panside/internal/relief"
)

// How the other side is looked for.
const (
	ringFrom = 0.15 // innermost ring, of the radius
	ringTo   = 0.82 // outermost
	ringsN   = 96
	places   = 1024  // on a ring
	finest   = 150.0 // periods a turn of the waves that fade out
	soft     = 0.06  // blur of the slopes, mm
	// bare is the slope of the coin's own relief, blurred, from which on a place is no field.
	bare = 0.035
	// steepAt is the slope of the other side's relief that counts half: its outlines are what clashes,
	// and steeper flanks are no more of an outline.
	steepAt = 0.15
	// faintAt bounds what a place of the field may say, in typical slopes of it: scratches are steeper.
	faintAt = 2.5
	// lean is how far off the middles may lie, of the radius.
	lean = 0.006
)

// Other is how the other side's relief lies on the field.
type Other struct {
	// Score is how far the best turn stands out of all others, in their standard deviations.
	Score float64
	// Degrees is by how much the mirrored other side is turned counterclockwise.
	Degrees float64
	// Sunk says that it lies deeper than the field, as after a clash.
	Sunk bool
}

// OtherSideOn looks for the other side's relief, mirrored, in the field of a coin, at any turn, sunk or
// raised. Both are reliefs of one coin, or other one of another of its type. What either has of a bust
// or letters hides what lies under it.
func OtherSideOn(mine, other relief.Relief, diameter float64) (Other, Why) {
	for _, r := range []relief.Relief{mine, other} {
		if r.W == 0 || !(r.On.R > 0) {
			return Other{}, NoRelief
		}
	}
	if !(diameter > 0) {
		return Other{}, NoRelief
	}
	best := Other{}
	// The middles of two faces are a pixel or two apart; a few are tried.
	field := fieldRings(mine, diameter)
	px := other.On.R / (diameter / 2)
	right, down := other.Right.Blur(soft*px), other.Down.Blur(soft*px)
	for _, off := range [][2]float64{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		f := rings{slices.Clone(field.re), slices.Clone(field.im)}
		o := outlineRings(right, down, other.On, lean*off[0], lean*off[1])
		c := fourier.Turns(f.re, f.im, o.re, o.im, places, finest)
		raised := fourier.PeakOf(c, places*8/360)
		for k := range c {
			c[k] = -c[k]
		}
		sunk := fourier.PeakOf(c, places*8/360)
		p := raised
		if sunk.Clear > raised.Clear {
			p = sunk
		}
		if p.Clear > best.Score {
			best = Other{Score: p.Clear, Degrees: math.Remainder(-p.At*360/places, 360), Sunk: p == sunk}
		}
	}
	return best, ""
}

// rings are slopes on rings around the middle: outward as the real part, along the ring as the other.
type rings struct{ re, im []float32 }

// eachRing calls do for every place of every ring, with the direction from the middle and the weight
// of the ring's length.
func eachRing(do func(i int, x, y, radius float64)) {
	for r := range ringsN {
		radius := ringFrom + (ringTo-ringFrom)*(float64(r)+0.5)/ringsN
		for k := range places {
			s, c := math.Sincos(2 * math.Pi * float64(k) / places)
			do(r*places+k, c, s, radius)
		}
	}
}

// fieldRings are the slopes of the field where it is bare, none elsewhere.
func fieldRings(m relief.Relief, diameter float64) rings {
	px := m.On.R / (diameter / 2)
	p, q := m.Right.Blur(soft*px), m.Down.Blur(soft*px)
	// What is wider than letters is light that wasn't flattened, or the coin's own curve.
	wp, wq := p.Blur(0.5*px), q.Blur(0.5*px)
	steep := picture.New(m.W, m.H)
	for i := range steep.Light {
		steep.Light[i] = float32(math.Hypot(float64(p.Light[i]), float64(q.Light[i])))
	}
	steep = steep.Mean(int(0.12 * px))
	out := rings{make([]float32, ringsN*places), make([]float32, ringsN*places)}
	weight := make([]float32, ringsN*places)
	var sizes []float64
	eachRing(func(i int, cx, cy, radius float64) {
		x, y := m.On.X+cx*radius*m.On.R, m.On.Y+cy*radius*m.On.R
		if steep.At(int(x), int(y)) > bare {
			return
		}
		a, b := p.Sample(x, y)-wp.Sample(x, y), q.Sample(x, y)-wq.Sample(x, y)
		weight[i] = float32(radius)
		out.re[i], out.im[i] = a*float32(cx)+b*float32(cy), b*float32(cx)-a*float32(cy)
		if i%7 == 0 {
			sizes = append(sizes, math.Hypot(float64(a), float64(b)))
		}
	})
	limit := faintAt * median(sizes)
	for i := range out.re {
		s := math.Hypot(float64(out.re[i]), float64(out.im[i]))
		k := float32(0)
		if s > 0 && limit > 0 {
			k = weight[i] * float32(math.Min(s, limit)/s/limit)
		}
		out.re[i] *= k
		out.im[i] *= k
	}
	return out
}

// outlineRings are the outlines of slopes p and q, mirrored left to right.
func outlineRings(p, q picture.Picture, on relief.Disc, offX, offY float64) rings {
	out := rings{make([]float32, ringsN*places), make([]float32, ringsN*places)}
	eachRing(func(i int, cx, cy, radius float64) {
		x, y := on.X+(offX-cx*radius)*on.R, on.Y+(offY+cy*radius)*on.R
		a, b := -p.Sample(x, y), q.Sample(x, y)
		k := 1 / (steepAt + float32(math.Hypot(float64(a), float64(b))))
		out.re[i], out.im[i] = k*(a*float32(cx)+b*float32(cy)), k*(b*float32(cx)-a*float32(cy))
	})
	return out
}
