package ring_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"panside/internal/ring"
	"panside/internal/simring"
)

// TestAnEarHearsWhatAClipHas: piece by piece, however they are cut, the same rings come, each
// once and at its time. Only what comes later may make a clip doubt one.
func TestAnEarHearsWhatAClipHas(t *testing.T) {
	rings := 0
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
		same := func(a, b ring.Ring) bool {
			return math.Abs(a.At-b.At) < 0.02 && math.Abs(a.Peaks[0].Hz/b.Peaks[0].Hz-1) < 0.002
		}
		for _, w := range want.Rings {
			if !slices.ContainsFunc(got.Rings, func(g ring.Ring) bool { return same(g, w) }) {
				t.Errorf("seed %d: the clip has %+v, the ear %+v", seed, w, got.Rings)
			}
		}
		for _, g := range got.Rings {
			later := slices.ContainsFunc(want.Refused, func(r ring.Refusal) bool { return r.At > g.At && r.At-g.At < 1.2 })
			if !later && !slices.ContainsFunc(want.Rings, func(w ring.Ring) bool { return same(g, w) }) {
				t.Errorf("seed %d: the ear has %+v, the clip %+v", seed, g, want)
			}
			rings++
		}
	}
	if rings < 8 {
		t.Errorf("only %d rings were heard", rings)
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

// BenchmarkListen prints what listening to a clip of three taps costs against adding up its squares,
// and how many seconds of sound go into one.
func BenchmarkListen(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	scene := simring.Scene{Rate: 48000, Rand: r, Noise: 10}
	x := scene.Render(simring.Coin, modes(r, 7000), nil, 3)[:124800]
	sum := 0.0
	start := time.Now()
	const rounds = 50
	for range rounds {
		for _, v := range x {
			sum += v * v
		}
	}
	bare := float64(time.Since(start)) / rounds
	if sum == 0 {
		b.Fatal("nothing to hear")
	}
	for b.Loop() {
		ring.Listen(x, 48000)
	}
	each := float64(b.Elapsed()) / float64(b.N)
	b.ReportMetric(each/bare, "×squares")
	b.ReportMetric(float64(len(x))/48000*1e9/each, "×faster")
}
