package relief_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"panside/internal/relief"
	"panside/internal/simcoin"
)

// wideKind is a design of any letters, flanks and bust.
func wideKind(r *rand.Rand) simcoin.Design {
	d := simcoin.Obverse(24, r.Uint64())
	if r.IntN(2) == 0 {
		d = simcoin.Reverse(24, r.Uint64())
	}
	d.Stroke, d.Flank = 0.2+0.35*r.Float64(), 0.05+0.15*r.Float64()
	d.WordHeight = 0.04 + 0.1*r.Float64()
	d.Round = r.IntN(2) == 0
	d.Bust, d.Hair = 0.08+0.25*r.Float64(), r.IntN(60)
	d.Words[0].At += 30 * r.NormFloat64()
	return d
}

// wide is a set of frames of any metal, lit by a lamp near or far that stands up to 7 degrees off, in a room
// with a window, through any camera, with frames that slipped by up to far px.
//
// With swapped the third frame is of a coin with the same words and another bust.
func wide(seed uint64, size int, far float64, swapped bool) (frames []relief.Frame, first simcoin.Stand, want []relief.Slip) {
	r := rand.New(rand.NewPCG(seed, 43))
	d := wideKind(r)
	f := d.Strike(math.Min(40, 1.2*float64(size)/24))
	f.Wear(0.4 * r.Float64())
	f.Scratch(r.IntN(60), r)
	return photographed(r, d, f, 0.4, size, far, 0, swapped)
}

// smooth is the same of coins whose fields and portraits are smooth: worn, with few scratches, hardly any dirt and wide
// flanks. All that is seen of them then is gloss, whose middle wanders with the lamp.
func smooth(seed uint64, size int, far float64) (frames []relief.Frame, first simcoin.Stand, want []relief.Slip) {
	r := rand.New(rand.NewPCG(seed, 47))
	d := wideKind(r)
	d.Hair, d.Flank, d.Bust = r.IntN(8), 0.15+0.2*r.Float64(), 0.15+0.2*r.Float64()
	f := d.Strike(math.Min(40, 1.2*float64(size)/24))
	f.Wear(0.4 + 0.4*r.Float64())
	f.Scratch(r.IntN(6), r)
	return photographed(r, d, f, 0.15, size, far, 8, false)
}

// photographed is a set of frames of a face with up to that much dirt. With uneven each lamp stands up to 8 degrees higher or
// lower than the others.
func photographed(r *rand.Rand, d simcoin.Design, f *simcoin.Face, dirt float64, size int, far, uneven float64, swapped bool) (frames []relief.Frame, first simcoin.Stand, want []relief.Slip) {
	metals := []simcoin.Polish{simcoin.BareNickel, simcoin.BareCopper, simcoin.BareSilver}
	metal := metals[r.IntN(3)]
	metal.Rough, metal.Flow = 0.12+0.4*r.Float64(), 0.9*r.Float64()
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: f, Metal: []simcoin.Metal{simcoin.White, simcoin.Brown}[r.IntN(2)],
		Dirt: dirt * r.Float64(), Tone: 0.7 * r.Float64(), Seed: r.Uint64()}
	base := simcoin.Stand{Coin: c, Size: size, Share: 0.94, Blur: 0.6 + 0.6*r.Float64(), Noise: 0.012, Shadows: true,
		Polish: &metal, Dull: 0.05 + 0.4*r.Float64(), Ambient: 0.02 + 0.12*r.Float64(),
		White: 0.002 + 0.03*r.Float64(), Vignette: 0.4 * r.Float64(), Contrast: 0.7 * r.Float64(), Sharpen: 0.8 * r.Float64()}
	near, up := 40+100*r.Float64(), 22+20*r.Float64()
	window := simcoin.Lamp{From: 360 * r.Float64(), Up: 50, Strength: 0.15 * r.Float64()}
	quality := 75 + r.IntN(25)
	for k := range 4 {
		side := 90*float64(k) + 20
		s := base
		s.OffX, s.OffY, s.Turn = far*(2*r.Float64()-1), far*(2*r.Float64()-1), 0.05*far*r.NormFloat64()
		if k == 0 {
			first = s
		}
		want = append(want, relief.Slip{X: s.OffX - first.OffX, Y: s.OffY - first.OffY, Degrees: s.Turn - first.Turn})
		if k == 2 && swapped {
			d.BustSeed++
			s.Face = d.Strike(math.Min(40, 1.2*float64(size)/24))
		}
		lamp := simcoin.Lamp{From: side + 14*r.Float64() - 7, Up: up, Strength: 0.9, Near: near * (0.9 + 0.2*r.Float64())}
		if uneven > 0 {
			lamp.Up += uneven * (2*r.Float64() - 1)
		}
		shot := s.Shoot(r.Uint64(), lamp, window).JPEG(quality)
		frames = append(frames, relief.Frame{Picture: see(shot), Lamp: relief.Lamp{Side: side, Up: 30}})
	}
	return frames, first, want
}

// offBy is how far the frame that lies the farthest from where it should is off, px, at 0.8 of a radius at the most.
func offBy(r relief.Relief, want []relief.Slip, rad float64) float64 {
	off := 0.0
	for k, s := range r.Slip {
		off = math.Max(off, math.Hypot(s.X-want[k].X, s.Y-want[k].Y)+0.8*rad*math.Abs(s.Degrees-want[k].Degrees)*math.Pi/180)
	}
	return off
}

// TestWideWorld: frames of any metal, lamp and camera lie within 0.7 px of each other, or are refused.
func TestWideWorld(t *testing.T) {
	n := 4
	if os.Getenv("PANSIDE_LONG") != "" {
		n = 30
	}
	judged(t, n, func(i int) ([]relief.Frame, simcoin.Stand, []relief.Slip) {
		return wide(uint64(i)+1, 360, float64(i%3), false)
	})
}

// TestSmoothCoins: the same of worn coins without hairlines, with slips of two and three px, which say nothing of
// each other, and lamps at uneven heights.
func TestSmoothCoins(t *testing.T) {
	n := 3
	if os.Getenv("PANSIDE_LONG") != "" {
		n = 24
	}
	judged(t, n, func(i int) ([]relief.Frame, simcoin.Stand, []relief.Slip) {
		return smooth(uint64(i)+1, 360, float64(2+i%2))
	})
}

// judged makes n reliefs: none may have a frame over 0.7 px off, and at most a half may be refused.
func judged(t *testing.T, n int, set func(i int) ([]relief.Frame, simcoin.Stand, []relief.Slip)) {
	t.Helper()
	var offs, alike []float64
	refused, wrong := 0, 0
	for i := range n {
		frames, first, want := set(i)
		r, why := relief.Of(frames, disc(first), nil)
		off := offBy(r, want, 0) // in the middle, and at 0.8 of the radius
		agree := 0.0
		if why == "" {
			agree, _ = against(first, r)
			offs, alike = append(offs, off), append(alike, agree)
			if off > 0.7 {
				wrong++
			}
		} else {
			refused++
		}
		t.Logf("set %d: %q off %.2f, %.2f at the edge, apart %.2f, agrees by %.3f; rough %.2f flow %.2f dull %.2f", i, why, off, offBy(r, want, first.Share*float64(first.Size)/2), r.Apart, agree, first.Polish.Rough, first.Polish.Flow, first.Dull)
	}
	slices.Sort(offs)
	slices.Sort(alike)
	t.Logf("%d of %d refused, %d over 0.7 px, off %.2f, slopes agree by %.2f", refused, n, wrong, offs, alike)
	if wrong > 0 {
		t.Errorf("%d of %d have a frame over 0.7 px off and are not refused", wrong, n)
	}
	if refused > n/2 {
		t.Errorf("%d of %d are refused", refused, n)
	}
}

// TestAnotherBust: a frame of a coin with the same words and another bust is refused.
func TestAnotherBust(t *testing.T) {
	n := 2
	if os.Getenv("PANSIDE_LONG") != "" {
		n = 24
	}
	taken := 0
	for i := range n {
		frames, first, _ := wide(uint64(i)+1, 360, float64(i%3), true)
		if r, why := relief.Of(frames, disc(first), nil); why != relief.Slipped {
			taken++
			t.Logf("set %d: %q, apart %.2f", i, why, r.Apart)
		}
	}
	t.Logf("%d of %d taken", taken, n)
	if taken > n/24 {
		t.Errorf("%d of %d frames of another coin were taken", taken, n)
	}
}
