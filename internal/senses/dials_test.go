package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
	"panside/internal/stats"
)

// TestACoinOnADial: photos of a coin that is turned under one lamp, with the rims as they are found there,
// pulled to the lamp's side by the shadow, become a relief that is lit as the coin is; a photo at the wrong
// mark is named.
func TestACoinOnADial(t *testing.T) {
	var p senses.Pictures
	face := simcoin.Obverse(19.05, 7).Strike(36)
	photo := func(turn float64) simcoin.Shot {
		c := simcoin.Coin{Diameter: 19.05, Thickness: 1.55, Face: face, Metal: simcoin.Brown, Seed: 3}
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
	// Under the lamp of the photos it looks as the first one does, under the opposite one the other way round.
	lies := ask(t, &p, "relief-of", senses.Object{"relief": made})
	first, edge := photo(0), simcoin.Ellipse{X: number(t, lies, "x"), Y: number(t, lies, "y"), A: number(t, lies, "r")}
	agrees := func(side float64) float64 {
		lit := number(t, ask(t, &p, "relit", senses.Object{"relief": made, "side": side, "up": 30.0, "boost": 1.0}), "picture")
		w, _, pix, _ := p.Pixels(int(lit))
		var both stats.Pairs
		for y := -0.8; y < 0.8; y += 0.005 {
			for x := -0.8; x < 0.8; x += 0.005 {
				e := first.Coins[0].Edge
				i := int(e.Y+y*e.A)*first.Width + int(e.X+x*e.A)
				j := int(edge.Y+y*edge.A)*w + int(edge.X+x*edge.A)
				both.Add(float64(first.Pix[4*i]), float64(pix[4*j]))
			}
		}
		r, _ := both.Correlation()
		return r
	}
	if same, other := agrees(90), agrees(270); same < 0.25 || other > -0.1 {
		t.Errorf("lit from the lamp's side it agrees with the photo by %.2f, from the other by %.2f", same, other)
	}
	frames[2].(senses.Object)["turn"] = 250.0
	if a := p.Ask("turns", senses.Object{"frames": frames}, nil); a["why"] != "astray" || number(t, a, "frame") != 2 || math.Abs(number(t, a, "degrees")-179) > 3 {
		t.Errorf("a photo at the wrong mark: %v", a)
	}
}
