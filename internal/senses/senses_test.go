package senses_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

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
	var rings []json.RawMessage
	loudest := -120.0
	for i := 0; i < len(x); i += 2048 {
		piece := make([]float32, 0, 2048)
		for _, v := range x[i:min(i+2048, len(x))] {
			piece = append(piece, float32(v))
		}
		var h struct {
			Rings   []json.RawMessage
			Refused []any
			Level   float64
		}
		if err := json.Unmarshal(s.Hear(piece), &h); err != nil {
			t.Fatal(err)
		}
		rings = append(rings, h.Rings...)
		loudest = math.Max(loudest, h.Level)
	}
	if len(rings) != 3 || loudest < -40 {
		t.Fatalf("%d rings, loudest %.0f dB", len(rings), loudest)
	}
	list, _ := json.Marshal(rings)
	var e struct {
		Why string
		Hz  []float64
		U   float64
	}
	if err := json.Unmarshal(s.Together(list), &e); err != nil || e.Why != "" || math.Abs(e.Hz[0]-9000) > 40 || !(e.U > 0) {
		t.Errorf("%+v %v", e, err)
	}
	for _, none := range []string{"", "[]", "{", `[{"at":1}]`} {
		if err := json.Unmarshal(s.Together([]byte(none)), &e); err != nil || e.Why == "" {
			t.Errorf("%q: %+v %v", none, e, err)
		}
	}
}
