package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
)

// matOfCoins are eight coins in two rows: brown ones in the upper, grey ones in the lower.
func matOfCoins() simcoin.Shot {
	const d = 19.05
	face := simcoin.Obverse(d, 3).Strike(14)
	var coins []simcoin.Coin
	for k := range 8 {
		metal := simcoin.Brown
		if k >= 4 {
			metal = simcoin.Grey
		}
		coins = append(coins, simcoin.Coin{Diameter: d, Thickness: 1.5, Face: face, Metal: metal, Seed: uint64(k)})
	}
	return simcoin.InRows(coins, 4, 800, 420, 1).Render()
}

// TestCoinsOnAMat goes the way of a page: a photo in, its coins numbered in its own pixels, and those of
// a taught color to be picked up.
func TestCoinsOnAMat(t *testing.T) {
	var p senses.Pictures
	s := matOfCoins()
	big := s.Enlarged(4) // so that it is shrunk before it is looked at
	photo := put(t, &p, big)
	laid := number(t, ask(t, &p, "mat", senses.Object{"picture": photo}), "picture")
	coins := ask(t, &p, "mat-of", senses.Object{"mat": laid})["coins"].([]any)
	if len(coins) != len(s.Coins) {
		t.Fatalf("%d coins, want %d", len(coins), len(s.Coins))
	}
	var taught []any
	for k, x := range coins {
		c := x.(senses.Object)
		if c["act"] != "leave" || c["color"] != "" || c["side"] != "" {
			t.Errorf("coin %d without a lesson: %v", k+1, c)
		}
		// The scene's rows go up or down as its camera has it, so the nearest coin is asked.
		near := math.Inf(1)
		for _, truth := range s.Coins {
			e := truth.Edge
			near = math.Min(near, math.Hypot(number(t, c, "x")-4*e.X, number(t, c, "y")-4*e.Y)/(4*e.A)+math.Abs(number(t, c, "r")/(4*e.A)-1))
		}
		if near > 0.05 {
			t.Errorf("coin %d lies %.3f radii off any", k+1, near)
		}
		if k == 0 || k == 4 {
			color := map[int]string{0: "upper", 4: "lower"}[k]
			taught = append(taught, senses.Object{"x": c["x"], "y": c["y"], "color": color})
		}
	}
	told := ask(t, &p, "mat-of", senses.Object{"mat": laid, "taught": taught, "pick": []any{"lower"}})["coins"].([]any)
	for k, x := range told {
		c := x.(senses.Object)
		color, act := "upper", "leave"
		if k >= 4 {
			color, act = "lower", "pick-up"
		}
		if c["color"] != color || c["act"] != act {
			t.Errorf("coin %d is %v, to be %v; want %s, %s", k+1, c["color"], c["act"], color, act)
		}
	}
	taught[0].(senses.Object)["side"] = "heads"
	told = ask(t, &p, "mat-of", senses.Object{"mat": laid, "taught": taught[:1], "up": "tails"})["coins"].([]any)
	if c := told[0].(senses.Object); c["side"] != "heads" || c["act"] != "turn" {
		t.Errorf("a coin with heads up where tails are wanted: %v", c)
	}
	if c := told[1].(senses.Object); c["side"] != "" || c["act"] != "look" {
		t.Errorf("a coin whose side isn't known: %v", c)
	}
}

// TestNoCoinsOnAMat: each reason is handed on.
func TestNoCoinsOnAMat(t *testing.T) {
	var p senses.Pictures
	photo := put(t, &p, matOfCoins())
	if a := p.Ask("mat", senses.Object{"picture": photo}, func(float64) bool { return false }); a["why"] != "stopped" {
		t.Errorf("stopped at once: %v", a["why"])
	}
	small := simcoin.Simple(simcoin.Coin{Diameter: 19, Thickness: 1.5, Face: simcoin.Obverse(19, 1).Strike(8), Metal: simcoin.Brown}, 120, 0.5, 1).Render()
	if a := p.Ask("mat", senses.Object{"picture": put(t, &p, small)}, nil); a["why"] != "small" {
		t.Errorf("a tiny picture: %v", a["why"])
	}
	empty := simcoin.Scene{Ground: simcoin.Wood, Ambient: 0.4, Camera: simcoin.Camera{Width: 600, Height: 500, PxPerMM: 5, Noise: 0.01}, Seed: 4}
	if a := p.Ask("mat", senses.Object{"picture": put(t, &p, empty.Render())}, nil); a["why"] != "none" {
		t.Errorf("an empty table: %v", a["why"])
	}
	laid := ask(t, &p, "mat", senses.Object{"picture": photo})["picture"]
	beside := senses.Object{"mat": laid, "taught": []any{senses.Object{"x": 1.0, "y": 1.0, "color": "red"}}}
	if a := p.Ask("mat-of", beside, nil); a["why"] != "not-there" {
		t.Errorf("taught beside a coin: %v", a["why"])
	}
	if a := p.Ask("mat-of", senses.Object{"mat": photo}, nil); a["why"] != "no-such-picture" {
		t.Errorf("a photo taken for a mat: %v", a["why"])
	}
}
