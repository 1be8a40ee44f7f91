package align_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/simcoin"
)

func long() bool { return os.Getenv("PANSIDE_LONG") != "" }

// kind is a type of coin: one design, of which coins differ by wear, scratches, dirt and tone.
func kind(seed uint64, reverse bool) simcoin.Design {
	d := simcoin.Obverse(24, seed)
	if reverse {
		d = simcoin.Reverse(24, seed)
	}
	letters := []string{"HOMESTEAD", "ORCHARD", "QUIET HARBOR", "MAPLE VALLEY", "FIRST SNOW", "RIVERBEND"}
	r := rand.New(rand.NewPCG(seed, 5))
	d.Words[0].Text = letters[r.IntN(len(letters))]
	d.Words[0].At += 20 * r.NormFloat64()
	d.Words[1].At += 20 * r.NormFloat64()
	return d
}

// stand lays one coin of a kind under a camera straight above it.
func stand(d simcoin.Design, size int, seed uint64, turn float64) (simcoin.Stand, *rand.Rand) {
	r := rand.New(rand.NewPCG(seed, 77))
	f := d.Strike(20)
	f.Wear(0.3 * r.Float64())
	f.Scratch(20, r)
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: f, Metal: []simcoin.Metal{simcoin.White, simcoin.Brown, simcoin.RedCopper}[r.IntN(3)],
		Dirt: 0.3 * r.Float64(), Tone: 0.6 * r.Float64(), Seed: seed}
	return simcoin.Stand{Coin: c, Size: size, Share: 0.92, Turn: turn, Blur: 0.7 + 0.5*r.Float64(), Noise: 0.01, Ambient: 0.25}, r
}

func see(s simcoin.Stand, seed uint64, lamp, up float64) picture.Picture {
	out := s.Shoot(seed, simcoin.Lamp{From: lamp, Up: up, Strength: 0.75})
	p, ok := picture.FromRGBA(out.Pix, out.Width, out.Height)
	if !ok {
		panic("the renderer's picture has another size than it says")
	}
	return p
}

// shot photographs one coin of a kind, turned counterclockwise, with the lamp at a side; the face's
// middle and radius are off by what a rim errs.
func shot(d simcoin.Design, size int, seed uint64, turn, lamp float64) align.Face {
	s, r := stand(d, size, seed, turn)
	p := see(s, seed, lamp, 30+15*r.Float64())
	x, y, rad := s.Truth()
	off := 0.004 * rad
	return align.Face{Picture: p, X: x + off*r.NormFloat64(), Y: y + off*r.NormFloat64(), R: rad * (1 + 0.002*r.NormFloat64())}
}

func offBy(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

// TestByLamp: two coins of a type, one turned at random, the lamp at another side of the second. No turn
// is off by more than 2 degrees, no fit by more than 1, and their uncertainty covers what they are off.
func TestByLamp(t *testing.T) {
	n := 3
	if long() {
		n = 40
	}
	for _, apart := range []float64{0, 45, 90, 135, 180} {
		var turns, fits, shares []float64
		none := 0
		for i := range n {
			seed := uint64(i)
			r := rand.New(rand.NewPCG(seed, uint64(apart)))
			d := kind(seed, i%2 == 1)
			turn, lamp := 360*r.Float64(), 360*r.Float64()
			a, b := shot(d, 440, 2*seed, 0, lamp), shot(d, 440, 2*seed+1, turn, lamp+apart+turn)
			got, why := align.TurnOf(a, b, false)
			if why != "" || offBy(got.Degrees, -turn) > 2 {
				t.Errorf("lamps %v degrees apart, kind %d: turn %.2f (%s), want %.2f", apart, i, got.Degrees, why, math.Remainder(-turn, 360))
				continue
			}
			turns = append(turns, offBy(got.Degrees, -turn))
			fit, why := align.Over(a, b, nil)
			if why != "" {
				none++ // it says so
				continue
			}
			e := offBy(fit.Degrees, -turn)
			fits, shares = append(fits, e), append(shares, e/fit.U)
			if e > 1 {
				t.Errorf("lamps %v degrees apart, kind %d: fit off by %.2f degrees", apart, i, e)
			}
			if apart == 0 && fit.Light < align.SameLight || apart >= 45 && fit.Light >= align.SameLight {
				t.Errorf("lamps %v degrees apart, kind %d: light agrees by %.2f", apart, i, fit.Light)
			}
		}
		slices.Sort(turns)
		slices.Sort(fits)
		slices.Sort(shares)
		at := func(v []float64, q float64) float64 {
			if len(v) == 0 {
				return math.NaN()
			}
			return v[min(int(q*float64(len(v))), len(v)-1)]
		}
		t.Logf("lamps %3v apart: turn off by median %.2f, most %.2f; fit %.3f, most %.3f, of its U %.1f, 95%% %.1f; %d of %d not fitted",
			apart, at(turns, 0.5), at(turns, 1), at(fits, 0.5), at(fits, 1), at(shares, 0.5), at(shares, 0.95), none, n)
		if 5*none > n {
			t.Errorf("lamps %v degrees apart: %d of %d were not fitted", apart, none, n)
		}
		if long() && at(shares, 0.95) > 3 {
			t.Errorf("lamps %v degrees apart: a twentieth is off by %.1f times the uncertainty", apart, at(shares, 0.95))
		}
	}
}

// TestOthersAreRefused: obverses against reverses of other kinds, whatever turn fits best.
func TestOthersAreRefused(t *testing.T) {
	n := 3
	if long() {
		n = 40
	}
	top, agree, taken := 0.0, 0.0, 0
	for i := range n {
		seed := uint64(i)
		r := rand.New(rand.NewPCG(seed, 9))
		a, b := shot(kind(seed, false), 440, 2*seed, 0, 360*r.Float64()), shot(kind(seed+100, true), 440, 2*seed+1, 360*r.Float64(), 360*r.Float64())
		got, why := align.TurnOf(a, b, false)
		top = math.Max(top, got.Clear)
		if why == "" {
			taken++
		}
		if _, why := align.Over(a, b, nil); why != align.NoFit && why != align.Ambiguous {
			t.Errorf("pair %d: laid over, %q, by a turn that stands out by %.1f", i, why, got.Clear)
		}
		// Even if a turn had been taken, the relief doesn't fit.
		fit, why := align.Refine(a, b, align.Laid(a, b, got.Degrees, false), nil)
		agree = math.Max(agree, fit.Agree)
		if why == "" {
			t.Errorf("pair %d: a fit that agrees by %.2f was taken", i, fit.Agree)
		}
	}
	t.Logf("of %d pairs the best turn stands out by %.1f, rings alone took %d, the best fit agrees by %.2f", n, top, taken, agree)
}

// TestMirrored: a mirror picture's turn is found as such, and not otherwise.
func TestMirrored(t *testing.T) {
	d := kind(4, false)
	a, b := shot(d, 440, 8, 0, 100), shot(d, 440, 9, 70, 140)
	p := picture.New(b.Picture.W, b.Picture.H)
	for i := range p.Light {
		p.Light[i] = b.Picture.Light[i/p.W*p.W+p.W-1-i%p.W]
	}
	b.Picture, b.X = p, float64(p.W)-b.X
	if got, why := align.TurnOf(a, b, true); why != "" || offBy(got.Degrees, -70) > 1 {
		t.Errorf("mirrored: %+v %s, want -70", got, why)
	}
	if got, why := align.TurnOf(a, b, false); why == "" {
		t.Errorf("not mirrored: %+v was taken", got)
	}
	// Laid takes the places of one to those of the other.
	fit, why := align.Refine(a, b, align.Laid(a, b, -70, true), nil)
	if why != "" || offBy(fit.Degrees, -70) > 0.5 {
		t.Errorf("mirrored fit: %+v %s", fit, why)
	}
}

// TestWhyNot: each refusal has its scene.
func TestWhyNot(t *testing.T) {
	good := shot(kind(1, false), 440, 1, 0, 0)
	small := good
	small.R = 40
	blank := align.Face{Picture: picture.New(440, 440), X: 220, Y: 220, R: 200}
	outside := good
	outside.X = 900
	for name, c := range map[string]struct {
		f    align.Face
		want align.Why
	}{
		"small": {small, align.TooSmall}, "blank": {blank, align.Flat}, "outside": {outside, align.TooSmall}, "empty": {align.Face{}, align.TooSmall},
	} {
		if _, why := align.Over(good, c.f, nil); why != c.want {
			t.Errorf("%s: %q, want %q", name, why, c.want)
		}
	}
	if _, why := align.Over(good, good, func(float64) bool { return false }); why != align.Stopped {
		t.Errorf("stopped: %q", why)
	}
	if fit, why := align.Over(good, good, nil); why != "" || math.Abs(fit.Degrees) > 1e-3 || fit.Agree < 0.999 {
		t.Errorf("itself: %+v %s", fit, why)
	}
}

// BenchmarkOver of two faces 800 px across: the turn, and turn and fit, each against a bare pass.
func BenchmarkOver(b *testing.B) {
	d := kind(1, false)
	x, y := shot(d, 880, 2, 0, 30), shot(d, 880, 3, 70, 120)
	b.Run("bare", func(b *testing.B) {
		for b.Loop() {
			x.Picture.Shrink(1)
			y.Picture.Shrink(1)
		}
	})
	b.Run("turn", func(b *testing.B) {
		for b.Loop() {
			align.TurnOf(x, y, false)
		}
	})
	b.Run("fit", func(b *testing.B) {
		for b.Loop() {
			align.Over(x, y, nil)
		}
	})
}

// TestSameLight: lamps 10 degrees apart count as one, 45 apart don't.
func TestSameLight(t *testing.T) {
	n := 1
	if long() {
		n = 20
	}
	for i := range n {
		seed := uint64(i) + 30
		d := kind(seed, false)
		a := shot(d, 440, 2*seed, 0, 70)
		for apart, same := range map[float64]bool{10: true, 45: false} {
			fit, why := align.Over(a, shot(d, 440, 2*seed+1, 0, 70+apart), nil)
			t.Logf("kind %d, %v degrees apart: light agrees by %.2f %s", i, apart, fit.Light, why)
			if why != "" || same != (fit.Light >= align.SameLight) {
				t.Errorf("kind %d, %v degrees apart: light agrees by %.2f %s", i, apart, fit.Light, why)
			}
		}
	}
}
