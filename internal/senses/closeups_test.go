package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
)

// TestCloseUpHasMillimeters: a word of a coin under a microscope, found on the picture of the whole coin.
// A ruler laid on it says what it is long, within what it says of itself; another design's isn't found.
func TestCloseUpHasMillimeters(t *testing.T) {
	var p senses.Pictures
	const mm = 24.0
	see := func(d simcoin.Design, seed uint64, turn, zoom, x, y float64) (simcoin.Stand, simcoin.Shot) {
		c := simcoin.Coin{Diameter: mm, Thickness: 1.7, Face: d.Strike(24), Metal: simcoin.Brown, Seed: seed}
		s := simcoin.Stand{Coin: c, Size: 640, Share: 0.92, Turn: turn, Zoom: zoom, Blur: 0.8, Noise: 0.01, Ambient: 0.25}
		if zoom > 0 {
			per := zoom * s.Share * float64(s.Size) / mm
			sin, cos := math.Sincos(turn * math.Pi / 180)
			s.OffX, s.OffY = -(x*cos+y*sin)*per, -(-x*sin+y*cos)*per
		}
		return s, s.Shoot(seed+uint64(zoom), simcoin.Lamp{From: 120 + turn, Up: 33, Strength: 0.75})
	}
	found, most := 0, 0.0
	for seed := range uint64(2) {
		d := simcoin.Obverse(mm, seed)
		x, y := d.Words[0].Middle()
		x, y = 0.88*x, 0.88*y
		turn, zoom := 40*float64(seed)-50, 2.5
		whole, shot := see(d, seed, 0, 0, 0, 0)
		_, part := see(d, seed, turn, zoom, x, y)
		cx, cy, r := whole.Truth()
		q := senses.Object{"picture": put(t, &p, part), "whole": put(t, &p, shot), "wholeRim": senses.Object{"x": cx, "y": cy, "a": r, "b": r, "u": 0.002}}
		a := p.Ask("close-up", q, nil)
		if a["why"] != "" {
			t.Logf("%d: %v", seed, a["why"])
			continue
		}
		found++
		if off := math.Remainder(number(t, a, "degrees")-turn, 360); math.Abs(off) > 2 {
			t.Errorf("%d: turned by %.1f, want %.1f", seed, number(t, a, "degrees"), turn)
		}
		rim := a["rim"].(senses.Object)
		rim["u"] = a["u"]
		// 300 px of the close-up.
		says := ask(t, &p, "measure", senses.Object{"rim": rim, "mm": mm, "hand": 0.5, "is": "line",
			"points": []any{[]any{150.0, 320.0}, []any{450.0, 320.0}}})
		want := 300 / (zoom * 0.92 * 640 / mm)
		if off := math.Abs(number(t, says, "value") - want); off > 3*number(t, says, "u") {
			t.Errorf("%d: a ruler says %.4f ± %.4f mm, want %.4f", seed, says["value"], says["u"], want)
		} else {
			most = math.Max(most, off/want)
		}
		// The outline on the whole has the close-up's middle in its own.
		mx, my := 0.0, 0.0
		for _, c := range a["outline"].([]any) {
			mx, my = mx+c.([]any)[0].(float64)/4, my+c.([]any)[1].(float64)/4
		}
		if off := math.Hypot((mx-cx)/r*mm/2-x, (my-cy)/r*mm/2-y); off > 0.4 {
			t.Errorf("%d: the outline lies %.2f mm off", seed, off)
		}
		if a := p.Ask("close-up", q, func(float64) bool { return false }); a["why"] != "stopped" {
			t.Errorf("stopped at once: %v", a)
		}
	}
	t.Logf("found %d of 2, lengths within %.2f %%", found, 100*most)
	if found < 2 {
		t.Errorf("found %d of 2", found)
	}
	_, shot := see(simcoin.Obverse(mm, 1), 9, 0, 0, 0, 0)
	_, part := see(simcoin.Reverse(mm, 1), 1, 10, 2.5, 6, 6)
	q := senses.Object{"picture": put(t, &p, part), "whole": put(t, &p, shot), "wholeRim": senses.Object{"x": 320.0, "y": 320.0, "a": 294.0, "b": 294.0}}
	if a := p.Ask("close-up", q, nil); a["why"] == "" {
		t.Errorf("found on another design: %v", a)
	}
}
