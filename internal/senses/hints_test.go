package senses_test

import (
	"math"
	"testing"

	"panside/internal/hints"
	"panside/internal/senses"
	"panside/internal/simcoin"
)

const hintMM = 24.0

// lit photographs a coin with the lamp on four sides, turned by some degrees, and makes its relief.
func lit(t *testing.T, p *senses.Pictures, d simcoin.Design, turn float64, seed uint64) float64 {
	t.Helper()
	c := simcoin.Coin{Diameter: hintMM, Thickness: 1.7, Face: d.Strike(26), Metal: simcoin.Brown, Seed: seed}
	s := simcoin.Stand{Coin: c, Size: 640, Share: 0.94, Turn: turn, Blur: 0.8, Noise: 0.008, Ambient: 0.2}
	x, y, r := s.Truth()
	frames := []any{}
	for k, side := range []float64{0, 90, 180, 270} {
		shot := s.Shoot(seed*10+uint64(k), simcoin.Lamp{From: side, Up: 32, Strength: 0.85})
		frames = append(frames, senses.Object{"picture": put(t, p, shot), "side": side, "up": 30.0})
	}
	return number(t, ask(t, p, "relief", senses.Object{"frames": frames, "rim": senses.Object{"x": x, "y": y, "a": r, "b": r}}), "picture")
}

// TestHintsOfACoin: the word that has a second image is marked, with the way it is off, and nothing on an
// ordinary coin; each with what its rate rests on, and by the hunter's own coins once there are enough.
func TestHintsOfACoin(t *testing.T) {
	var p senses.Pictures
	plain := simcoin.Obverse(hintMM, 3)
	double := simcoin.Obverse(hintMM, 3)
	double.Words[0].DoubledX, double.Words[0].DoubledY = 0.15, 0
	reference := lit(t, &p, plain, 0, 1)
	a := ask(t, &p, "hints", senses.Object{"mine": lit(t, &p, plain, 5, 2), "ordinary": reference, "mm": hintMM})
	if m := a["marks"].([]any); len(m) > 0 {
		t.Errorf("an ordinary coin has marks %v, scores %v", m, a["scores"])
	}
	if _, has := a["scores"].(senses.Object)["other-side"]; has {
		t.Error("a score of the other side that wasn't there")
	}
	ordinary := a["scores"].(senses.Object)
	mine := lit(t, &p, double, 5, 3)
	told := 0
	q := senses.Object{"mine": mine, "ordinary": reference, "other": lit(t, &p, simcoin.Reverse(hintMM, 3), 0, 4), "mm": hintMM}
	a = p.Ask("hints", q, func(float64) bool { told++; return true })
	marks := a["marks"].([]any)
	if len(marks) == 0 || told < 5 {
		t.Fatalf("%v, told %d times", a, told)
	}
	first := marks[0].(senses.Object)
	if first["kind"] != "second-image" || math.Abs(number(t, first, "shift")-0.15) > 0.08 || math.Abs(math.Remainder(number(t, first, "toward")-5, 180)) > 45 {
		t.Errorf("marked first: %v", first)
	}
	for kind, b := range a["bars"].(senses.Object) {
		if bar := b.(senses.Object); bar["simulated"] != true || number(t, bar, "rate") != 0.04 {
			t.Errorf("%s: %v", kind, bar)
		}
	}
	if look := first["look"].([]any); look[0] != "doubled-die" || first["key"] != "double" {
		t.Errorf("a second image leads to %v and %v", look, first["key"])
	}
	if len(a["bars"].(senses.Object)) != 3 || a["enough"] != float64(hints.FewestOrdinary) || len(a["map"].([]any)) != 6 {
		t.Errorf("%v", a)
	}
	known := []any{}
	for range 9 {
		known = append(known, ordinary)
	}
	q["known"] = known
	a = ask(t, &p, "hints", q)
	bars := a["bars"].(senses.Object)
	if b := bars["second-image"].(senses.Object); b["simulated"] != false || number(t, b, "rate") != 0.1 || number(t, b, "coins") != 9 {
		t.Errorf("by nine coins: %v", b)
	}
	if b := bars["other-side"].(senses.Object); b["simulated"] != true {
		t.Errorf("no coin had a score of the other side, yet %v", b)
	}
	// The other side alone is looked for in a coin that has no reference.
	delete(q, "ordinary")
	if a = ask(t, &p, "hints", q); len(a["scores"].(senses.Object)) != 1 {
		t.Errorf("%v", a)
	}
	delete(q, "other")
	if a := p.Ask("hints", q, nil); a["why"] != "no-relief" {
		t.Errorf("compared with nothing: %v", a)
	}
	q["ordinary"] = reference
	if a := p.Ask("hints", q, func(float64) bool { return false }); a["why"] != "stopped" {
		t.Errorf("stopped at once: %v", a)
	}
}
