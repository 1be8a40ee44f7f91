package senses_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/ring"
	"panside/internal/senses"
	"panside/internal/simring"
)

// TestFromSoundToEvidence goes the way of a phone: pieces of sound in, three rings out, and what
// they have in common.
func TestFromSoundToEvidence(t *testing.T) {
	scene := simring.Scene{Rate: 48000, Rand: rand.New(rand.NewPCG(7, 7)), Noise: 20}
	x := scene.Render(simring.Coin, []float64{9000, 15600, 20500}, nil, 3)
	x = append(x, make([]float64, 48000)...)
	var s senses.Senses
	s.Listen(48000)
	var rings []ring.Ring
	loudest := -120.0
	for i := 0; i < len(x); i += 2048 {
		piece := make([]float32, 0, 2048)
		for _, v := range x[i:min(i+2048, len(x))] {
			piece = append(piece, float32(v))
		}
		h := s.Hear(piece)
		rings = append(rings, h.Rings...)
		loudest = math.Max(loudest, h.Level)
	}
	if len(rings) != 3 || loudest < -40 {
		t.Fatalf("%d rings, loudest %.0f dB", len(rings), loudest)
	}
	e, why := senses.Together(rings)
	if why != "" || math.Abs(e.Hz[0]-9000) > 40 || e.Hz[0] != math.Trunc(e.Hz[0]) || !(e.U > 0) {
		t.Errorf("%+v %q", e, why)
	}
	for _, none := range [][]ring.Ring{nil, {{At: 1}}, {{}, {}}} {
		if e, why := senses.Together(none); why == "" {
			t.Errorf("%v: %+v", none, e)
		}
	}
	if h := new(senses.Senses).Hear(nil); len(h.Rings) != 0 || h.Level != -120 {
		t.Errorf("before listening: %+v", h)
	}
}
