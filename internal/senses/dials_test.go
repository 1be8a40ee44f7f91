package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
)

// TestACoinOnADial: photos of a coin that is turned under one lamp, at a slight tilt of the camera, become
// a relief that is lit as the coin is; a photo at the wrong mark is named.
func TestACoinOnADial(t *testing.T) {
	var p senses.Pictures
	design := simcoin.Obverse(24, 4)
	photo := func(turn, lamp float64) simcoin.Shot {
		c := simcoin.Coin{Diameter: 24, Thickness: 1.5, Face: design.Strike(30), Metal: simcoin.Brown, Seed: 4}
		s := simcoin.Simple(c, 560, 0.8, uint64(turn)+7)
		s.Coins[0].Turn, s.Coins[0].X = turn, 0.01*turn/90
		s.Camera.Tilt, s.Camera.TiltTo = 4, 70
		s.Lamps = []simcoin.Lamp{{From: lamp, Up: 30, Strength: 0.75}}
		return s.Render()
	}
	var frames []any
	for k, turn := range []float64{0, 92, 179, 271} {
		s := photo(turn, 90)
		frames = append(frames, senses.Object{"picture": put(t, &p, s), "rim": edgeOf(s), "turn": 90 * float64(k)})
	}
	said := ask(t, &p, "turns", senses.Object{"frames": frames})["turns"].([]any)
	for k, want := range []float64{0, 92, 179, 271} {
		if off := said[k].(float64) - said[0].(float64) - want; math.Abs(off) > 1 {
			t.Errorf("photo %d: %.2f degrees off", k, off)
		}
		frames[k].(senses.Object)["turn"] = said[k]
	}
	made := number(t, ask(t, &p, "dial", senses.Object{"frames": frames, "side": 90.0, "up": 30.0}), "picture")
	if apart := number(t, ask(t, &p, "relief-of", senses.Object{"relief": made}), "apart"); apart > 0.5 {
		t.Errorf("frames lie %.2f px apart", apart)
	}
	// Under the lamp of the photos it looks as the first one does, under the opposite one it doesn't.
	alike := func(side float64) bool {
		lit := number(t, ask(t, &p, "relit", senses.Object{"relief": made, "side": side, "up": 30.0, "boost": 1.0}), "picture")
		w, h, pix, ok := p.Pixels(int(lit))
		if !ok {
			t.Fatal("no picture")
		}
		s := simcoin.Shot{Width: w, Height: h, Pix: pix}
		s.Coins = []simcoin.Truth{{Edge: simcoin.Ellipse{X: float64(w) / 2, Y: float64(h) / 2, A: float64(w) / 2 / 1.04, B: float64(w) / 2 / 1.04}}}
		first := photo(0, 90)
		over := p.Ask("over", senses.Object{"picture": put(t, &p, first), "rim": edgeOf(first), "over": lit, "otherRim": edgeOf(s)}, nil)
		if over["why"] != "" {
			t.Fatalf("lit from %v: %v", side, over["why"])
		}
		if d := number(t, over, "degrees"); math.Abs(d) > 1.5 {
			t.Errorf("lit from %v it is turned by %.2f degrees", side, d)
		}
		return over["alike"] == true
	}
	if !alike(90) || alike(270) {
		t.Error("the relief isn't lit as the coin was")
	}
	frames[2].(senses.Object)["turn"] = 250.0
	if a := p.Ask("turns", senses.Object{"frames": frames}, nil); a["why"] != "astray" || number(t, a, "frame") != 2 || math.Abs(number(t, a, "degrees")-179) > 3 {
		t.Errorf("a photo at the wrong mark: %v", a)
	}
}
