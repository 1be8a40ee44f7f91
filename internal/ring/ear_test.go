package ring_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/ring"
	"panside/internal/simring"
)

// TestAnEarHearsWhatAClipHas: piece by piece, however they are cut, the same rings come, each
// once and at its time.
func TestAnEarHearsWhatAClipHas(t *testing.T) {
	for seed := range uint64(4) {
		r := rand.New(rand.NewPCG(seed, 1))
		scene := simring.Scene{Rate: 48000, Rand: r, Noise: 10}
		x := scene.Render(simring.Coin, modes(r, 7000), nil, 4)
		for range 48000 {
			x = append(x, 1e-5*r.NormFloat64())
		}
		want := ring.Listen(x, 48000)
		ear := ring.NewEar(48000)
		var got ring.Heard
		for i := 0; i < len(x); {
			n := min(1+r.IntN(9000), len(x)-i)
			piece := make([]float32, n)
			for j := range piece {
				piece[j] = float32(x[i+j])
			}
			h := ear.Hear(piece)
			got.Rings = append(got.Rings, h.Rings...)
			got.Refused = append(got.Refused, h.Refused...)
			i += n
		}
		if len(got.Rings) != len(want.Rings) {
			t.Errorf("seed %d: %d rings, the clip has %d; refused %v and %v", seed, len(got.Rings), len(want.Rings), got.Refused, want.Refused)
			continue
		}
		for i := range got.Rings {
			if math.Abs(got.Rings[i].At-want.Rings[i].At) > 0.02 || math.Abs(got.Rings[i].Peaks[0].Hz/want.Rings[i].Peaks[0].Hz-1) > 0.002 {
				t.Errorf("seed %d, ring %d: %+v, the clip's %+v", seed, i, got.Rings[i], want.Rings[i])
			}
		}
	}
}

// TestAnEarOfNothing: no sound and samples that aren't numbers are no ring.
func TestAnEarOfNothing(t *testing.T) {
	for _, v := range []float32{0, float32(math.NaN()), float32(math.Inf(1)), 1} {
		ear := ring.NewEar(44100)
		piece := make([]float32, 44100)
		for i := range piece {
			piece[i] = v
		}
		for range 4 {
			if h := ear.Hear(piece); len(h.Rings) > 0 {
				t.Errorf("%v rang: %v", v, h.Rings)
			}
		}
	}
	if ring.Loudness(nil) != -120 || math.Abs(ring.Loudness([]float32{1, -1})) > 1e-9 {
		t.Error("loudness")
	}
}

func BenchmarkListen(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	scene := simring.Scene{Rate: 48000, Rand: r, Noise: 10}
	x := scene.Render(simring.Coin, modes(r, 7000), nil, 3)[:124800]
	for b.Loop() {
		ring.Listen(x, 48000)
	}
}
