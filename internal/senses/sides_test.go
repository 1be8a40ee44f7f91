package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
)

// TestBetweenTheSides: the obverse was photographed turned by 12 degrees, the reverse, after turning
// the coin over top to bottom, by 18. On an ordinary coin these would cancel. The obverse is told by a
// reference that stands upright, the reverse by a line along what is level.
func TestBetweenTheSides(t *testing.T) {
	var p senses.Pictures
	lies := func(d simcoin.Design, by float64) simcoin.Shot {
		c := simcoin.Coin{Diameter: d.Diameter, Thickness: 1.5, Face: d.Strike(30), Metal: simcoin.Brown, Seed: 4}
		s := simcoin.Simple(c, 900, 0.85, 4)
		s.Coins[0].Turn, s.Seed = by, 5
		return s.Render()
	}
	obverse := simcoin.Obverse(19.05, 4)
	found, upright := lies(obverse, 12), lies(obverse, 0)
	over := ask(t, &p, "over", senses.Object{
		"picture": put(t, &p, found), "rim": edgeOf(found), "over": put(t, &p, upright), "otherRim": edgeOf(upright),
	})
	reverse := lies(simcoin.Reverse(19.05, 4), 18)
	place := func(x, y float64) []any {
		px, py := reverse.Coins[0].InPicture(x, y)
		return []any{px, py}
	}
	line := ask(t, &p, "level", senses.Object{
		"rim": edgeOf(reverse), "line": []any{place(-6, 1), place(6, 1)}, "along": "level", "hand": 1.0,
	})
	question := senses.Object{
		"obverse": []any{over, senses.Object{}}, "reverse": []any{line},
		"over": "top-to-bottom", "struck": "top-to-bottom", "by": "ruler",
	}
	a := ask(t, &p, "between", question)
	if got := number(t, a, "degrees"); math.Abs(got-30) > 1 || a["call"] != "turned" {
		t.Errorf("%.2f degrees between the sides, %v; want 30, turned", got, a["call"])
	}
	// 2 of the axis, 2 of a picture that was taken for upright, 1 of the eye.
	if u := number(t, a, "u"); !(u > 3 && u < 3.3) {
		t.Errorf("±%.2f degrees, want a little more than 3", u)
	}
	question["over"] = "side-to-side"
	if got := number(t, ask(t, &p, "between", question), "degrees"); math.Abs(got+150) > 1 {
		t.Errorf("turned over the other way: %.2f, want −150", got)
	}
	for name, bad := range map[string]any{"none": []any{}, "no list": 3.0, "no angle": []any{4.0}, "no uncertainty": []any{senses.Object{"degrees": 3.0}}} {
		question["reverse"] = bad
		if a := p.Ask("between", question, nil); a["why"] != "not-a-question" {
			t.Errorf("%s: %v", name, a)
		}
	}
	if a := ask(t, &p, "struck", senses.Object{"country": "CA", "denomination": "dime", "year": 1900.0}); a["over"] != "top-to-bottom" || a["sure"] != true {
		t.Errorf("a Canadian dime of 1900: %v", a)
	}
}

func edgeOf(s simcoin.Shot) senses.Object {
	e := s.Coins[0].Edge
	return senses.Object{"x": e.X, "y": e.Y, "a": e.A, "b": e.B, "turn": e.Turn}
}
