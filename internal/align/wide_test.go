package align_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/simcoin"
)

// wideDesign is a design of any letters, flanks, bust and border.
func wideDesign(r *rand.Rand) simcoin.Design {
	d := kind(r.Uint64(), r.IntN(2) == 0)
	d.Stroke, d.Flank = 0.2+0.35*r.Float64(), 0.05+0.15*r.Float64()
	d.WordHeight, d.Round = 0.04+0.1*r.Float64(), r.IntN(2) == 0
	d.Bust, d.Hair = 0.08+0.25*r.Float64(), r.IntN(60)
	if r.IntN(2) == 0 {
		// All on one side, so that what a lamp does to it looks like a turn.
		d.Words = d.Words[:1+r.IntN(len(d.Words))]
		if r.IntN(2) == 0 {
			d.Ring = 0
		}
	}
	if r.IntN(2) == 0 {
		// A tooth is as like the next one as a bead is.
		d.Teeth, d.TeethLong = 90+r.IntN(160), 0.3+0.6*r.Float64()
	}
	return d
}

// wideShot photographs one coin of a design, of bare metal, turned by any lamp and camera.
func wideShot(d simcoin.Design, size int, seed uint64, turn, lamp float64) align.Face {
	s, r := stand(d, size, seed, turn)
	metal := []simcoin.Polish{simcoin.BareNickel, simcoin.BareCopper, simcoin.BareSilver}[r.IntN(3)]
	metal.Rough, metal.Flow = 0.12+0.4*r.Float64(), 0.9*r.Float64()
	s.Polish, s.Dull, s.Ambient, s.Shadows = &metal, 0.05+0.4*r.Float64(), 0.02+0.12*r.Float64(), true
	s.White, s.Vignette, s.Contrast, s.Sharpen = 0.002+0.03*r.Float64(), 0.4*r.Float64(), 0.7*r.Float64(), 0.8*r.Float64()
	window := simcoin.Lamp{From: 360 * r.Float64(), Up: 50, Strength: 0.15 * r.Float64()}
	shot := s.Shoot(seed, simcoin.Lamp{From: lamp, Up: 22 + 25*r.Float64(), Strength: 0.9, Near: 40 + 100*r.Float64()}, window).JPEG(75 + r.IntN(25))
	p, _ := picture.FromRGBA(shot.Pix, shot.Width, shot.Height)
	x, y, rad := s.Truth()
	off := 0.004 * rad
	return align.Face{Picture: p, X: x + off*r.NormFloat64(), Y: y + off*r.NormFloat64(), R: rad * (1 + 0.002*r.NormFloat64())}
}

// widePair is the i-th pair of coins of a type with the lamps so many degrees apart, and its turn.
func widePair(i int, apart float64) (a, b align.Face, turn float64) {
	r := rand.New(rand.NewPCG(uint64(i), 47+uint64(apart)))
	d := wideDesign(r)
	one, two, lamp := 360*r.Float64(), 360*r.Float64(), 360*r.Float64()
	return wideShot(d, 440, r.Uint64(), one, lamp), wideShot(d, 440, r.Uint64(), two, lamp+apart), one - two
}

// TestFlanksDecide: pairs on which rings leave the turn open or lines lit alike lie over each other at a wrong turn, as
// beads and teeth do: they are laid over by what their light says of one relief.
func TestFlanksDecide(t *testing.T) {
	for _, c := range []struct {
		apart float64
		i     int
	}{{90, 3}, {0, 11}, {180, 8}} {
		a, b, turn := widePair(c.i, c.apart)
		fit, why := align.Over(a, b, nil)
		if off := offBy(fit.Degrees, turn); why != "" || off > 0.3 {
			t.Errorf("lamps %v apart, %d: %q, off by %.2f", c.apart, c.i, why, off)
		}
	}
}

// TestWideTurns: two coins of a type, of any metal each, both turned at random under one lamp or under two, which
// light them from quite other sides. A fit that is taken is within a degree.
func TestWideTurns(t *testing.T) {
	n := 1
	if long() {
		n = 25
	}
	for _, apart := range []float64{0, 90, 180} {
		var offs []float64
		refused := map[align.Why]int{}
		wrong := 0
		for i := range n {
			a, b, turn := widePair(i, apart)
			fit, why := align.Over(a, b, nil)
			off := offBy(fit.Degrees, turn)
			t.Logf("lamps %v apart, %.0f on the coin, %d: %q off %.2f, U %.2f, agrees by %.2f, light by %.2f",
				apart, math.Abs(math.Remainder(apart+turn, 360)), i, why, off, fit.U, fit.Agree, fit.Light)
			if why != "" {
				refused[why]++
				continue
			}
			offs = append(offs, off)
			if off > 1 {
				wrong++
			}
		}
		slices.Sort(offs)
		t.Logf("lamps %v apart: %d over a degree, refused %v, off %.2f", apart, wrong, refused, offs)
		if wrong > 0 {
			t.Errorf("lamps %v apart: %d of %d are off by more than a degree and not refused", apart, wrong, n)
		}
		if 3*len(offs) < 2*n {
			t.Errorf("lamps %v apart: only %d of %d were laid over each other", apart, len(offs), n)
		}
	}
}
