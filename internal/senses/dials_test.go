package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
)

// TestACoinOnADial: photos of a coin that is turned under one lamp, with the rims as they are found there,
// pulled to the lamp's side by the shadow, become a relief that is lit as the coin is; a photo at the wrong
// mark is named.
func TestACoinOnADial(t *testing.T) {
	var p senses.Pictures
	design := simcoin.Obverse(24, 4)
	photo := func(turn float64) simcoin.Shot {
		c := simcoin.Coin{Diameter: 24, Thickness: 1.5, Face: design.Strike(36), Metal: simcoin.Brown, Seed: 4}
		s := simcoin.Simple(c, 880, 0.86, uint64(turn)+7)
		s.Coins[0].Turn, s.Coins[0].X = turn, 0.1*turn/90
		s.Lamps = []simcoin.Lamp{{From: 90, Up: 30, Strength: 0.75}}
		return s.Render()
	}
	truly := []float64{0, 92, 179, 271}
	var frames []any
	for k, turn := range truly {
		n := put(t, &p, photo(turn))
		rim := ask(t, &p, "rim", senses.Object{"picture": n})["rim"]
		frames = append(frames, senses.Object{"picture": n, "rim": rim, "turn": 90 * float64(k)})
	}
	said := ask(t, &p, "turns", senses.Object{"frames": frames})["frames"].([]any)
	for k, x := range said {
		f := x.(senses.Object)
		if off := number(t, f, "turn") - number(t, said[0].(senses.Object), "turn") - truly[k]; math.Abs(off) > 1 {
			t.Errorf("photo %d: %.2f degrees off", k, off)
		}
		f["picture"], f["rim"] = frames[k].(senses.Object)["picture"], frames[k].(senses.Object)["rim"]
	}
	made := number(t, ask(t, &p, "dial", senses.Object{"frames": said, "side": 90.0, "up": 30.0}), "picture")
	if apart := number(t, ask(t, &p, "relief-of", senses.Object{"relief": made}), "apart"); apart > 0.7 {
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
		first := photo(0)
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
