package relief_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"panside/internal/relief"
	"panside/internal/simcoin"
)

// bright is a set of four frames of bare circulated metal that slipped by about far px a frame, with
// the coin's true slips.
func bright(seed uint64, metal simcoin.Polish, rough, far float64) (frames []relief.Frame, first simcoin.Stand, want []relief.Slip) {
	r := rand.New(rand.NewPCG(seed, 41))
	base := stand(400, seed)
	base.Face.Wear(0.3 * r.Float64())
	base.Face.Scratch(30, r)
	metal.Rough = rough
	base.Polish, base.Dull, base.Ambient = &metal, 0.15+0.2*r.Float64(), 0.1
	base.Metal, base.Dirt, base.Tone, base.Shadows = simcoin.White, 0.3*r.Float64(), 0.5*r.Float64(), true
	frames = around(base, 4, 30, func(k int, s *simcoin.Stand, l *simcoin.Lamp) {
		s.OffX, s.OffY, s.Turn = far*r.NormFloat64(), far*r.NormFloat64(), 0.1*far*r.NormFloat64()
		l.From += 14*r.Float64() - 7
		if k == 0 {
			first = *s
		}
		want = append(want, relief.Slip{X: s.OffX - first.OffX, Y: s.OffY - first.OffY, Degrees: s.Turn - first.Turn})
	})
	return frames, first, want
}

// TestBrightMetal: frames of bare circulated metal, whose bright edges move with the lamp, are laid over each
// other within half a pixel, and none is refused.
func TestBrightMetal(t *testing.T) {
	metals := []simcoin.Polish{simcoin.BareNickel, simcoin.BareCopper, simcoin.BareSilver}
	roughs := []float64{0.15, 0.3, 0.5}
	n := 2
	if os.Getenv("PANSIDE_LONG") != "" {
		n = 18
	}
	for i := range n {
		metal, rough, far := metals[i%3], roughs[(i+i/3)%3], float64(i%2)
		frames, first, want := bright(uint64(i)+3, metal, rough, far)
		r, why := relief.Of(frames, disc(first), nil)
		off := 0.0
		for k, s := range r.Slip {
			off = math.Max(off, math.Hypot(s.X-want[k].X, s.Y-want[k].Y))
		}
		if why != "" || off > 0.5 {
			t.Errorf("set %d, roughness %.2f, slipped by %v px: %q, found %.2f px off, apart %.2f", i, rough, far, why, off, r.Apart)
			continue
		}
		agree, _ := against(first, r)
		t.Logf("set %d, roughness %.2f, slipped by %v px: found %.2f px off, apart %.2f, agrees by %.3f", i, rough, far, off, r.Apart, agree)
		if agree < 0.75 {
			t.Errorf("set %d: agrees by %.3f", i, agree)
		}
	}
}

// TestBrightMetalHoldsItsLimit: a bow that leaves places of the same metal 1.1 px apart is refused, and so is
// another coin, turned, in one frame.
func TestBrightMetalHoldsItsLimit(t *testing.T) {
	frames, first, _ := bright(3, simcoin.BareNickel, 0.3, 0)
	_, other, _ := bright(9, simcoin.BareNickel, 0.3, 0)
	bowed := bent(frames, 2.75)
	other.Turn = 60
	frames[2].Picture = see(other.Shoot(1, simcoin.Lamp{From: frames[2].Lamp.Side, Up: 30, Strength: 0.9}))
	for name, f := range map[string][]relief.Frame{"a bow": bowed, "another coin": frames} {
		r, why := relief.Of(f, disc(first), nil)
		t.Logf("%s: apart %.2f %s", name, r.Apart, why)
		if why != relief.Slipped {
			t.Errorf("%s: %q, apart %.2f", name, why, r.Apart)
		}
	}
}
