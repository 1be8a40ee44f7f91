package senses_test

import (
	"math"
	"testing"

	"panside/internal/senses"
	"panside/internal/simcoin"
)

// shot takes a picture of a coin under a lamp.
func shot(d simcoin.Design, lamp float64, size int, seed uint64) simcoin.Shot {
	c := simcoin.Coin{Diameter: d.Diameter, Thickness: 1.5, Face: d.Strike(30), Metal: simcoin.Brown, Seed: seed}
	s := simcoin.Simple(c, size, 0.8, seed)
	s.Lamps = []simcoin.Lamp{{From: lamp, Up: 30, Strength: 1}}
	return s.Render()
}

func put(t *testing.T, p *senses.Pictures, s simcoin.Shot) float64 {
	t.Helper()
	n := p.Put(s.Width, s.Height, s.Pix)
	if n == 0 {
		t.Fatalf("a picture of %dx%d was refused", s.Width, s.Height)
	}
	return float64(n)
}

// ask wants an answer without a why.
func ask(t *testing.T, p *senses.Pictures, method string, q senses.Object) senses.Object {
	t.Helper()
	a := p.Ask(method, q, nil)
	if a["why"] != "" {
		t.Fatalf("%s: refused with %v", method, a["why"])
	}
	return a
}

func number(t *testing.T, o senses.Object, field string) float64 {
	t.Helper()
	v, ok := o[field].(float64)
	if !ok {
		t.Fatalf("no number %s in %v", field, o)
	}
	return v
}

// TestPicturesHaveNumbers: never the same one again, and none for what is no picture.
func TestPicturesHaveNumbers(t *testing.T) {
	var p senses.Pictures
	a, b := p.Put(2, 1, make([]byte, 8)), p.Put(1, 1, []byte{1, 2, 3, 4})
	p.Drop(b)
	if c := p.Put(1, 1, make([]byte, 4)); a == 0 || b == a || c == a || c == b {
		t.Errorf("numbers %d, %d, %d", a, b, c)
	}
	if _, _, _, ok := p.Pixels(b); ok {
		t.Error("a dropped picture is there")
	}
	if w, h, rgba, ok := p.Pixels(a); !ok || w != 2 || h != 1 || len(rgba) != 8 {
		t.Error("a picture isn't as it was put")
	}
	for _, bad := range [][3]int{{0, 1, 0}, {1, 1, 3}, {-1, -1, 4}, {1 << 20, 1 << 20, 4}, {senses.MostPixels + 1, 1, 4}} {
		if n := p.Put(bad[0], bad[1], make([]byte, bad[2])); n != 0 {
			t.Errorf("%v got number %d", bad, n)
		}
	}
}

// TestWhatIsNoQuestion is refused with a word, whatever it is.
func TestWhatIsNoQuestion(t *testing.T) {
	var p senses.Pictures
	if a := p.Ask("tea", nil, nil); a["why"] != "no-such-method" {
		t.Errorf("%v", a)
	}
	junk := []senses.Object{nil, {}, {"picture": 1.0}, {"picture": "x", "rim": []any{}}, {"rim": senses.Object{"x": math.NaN(), "a": 1.0}}, {"frames": []any{1.0, nil}, "held": []any{[]any{1.0}}}}
	for _, method := range senses.Methods() {
		for _, q := range junk {
			if a := p.Ask(method, q, nil); a["why"] == "" || a["why"] == nil {
				t.Errorf("%s %v: %v", method, q, a)
			}
		}
	}
}

// TestRimOfAPicture goes the way of a page: a photo in, a rim out in its own pixels, mended through
// three places that are on it.
func TestRimOfAPicture(t *testing.T) {
	var p senses.Pictures
	s := shot(simcoin.Obverse(19.05, 1), 120, 1000, 1)
	want := s.Coins[0].Edge
	told := 0
	a := p.Ask("rim", senses.Object{"picture": put(t, &p, s)}, func(done float64) bool {
		told++
		return done >= 0 && done <= 1
	})
	if a["why"] != "" || told == 0 {
		t.Fatalf("why %v, told %d times", a["why"], told)
	}
	found := a["rim"].(senses.Object)
	for field, v := range map[string]float64{"x": want.X, "y": want.Y, "a": want.A, "b": want.B} {
		if got := number(t, found, field); math.Abs(got-v) > 0.02*want.A { // how near, package rim holds
			t.Errorf("%s is %.1f, want %.1f", field, got, v)
		}
	}
	if c, u := number(t, a, "covered"), number(t, a, "u"); !(c > 0.4 && c <= 1 && u > 0 && u < 0.02) {
		t.Errorf("covered %v, u %v", c, u)
	}
	mended := ask(t, &p, "through", senses.Object{"rim": found, "held": a["held"]})["rim"].(senses.Object)
	for _, field := range []string{"x", "y", "a", "b"} {
		if math.Abs(number(t, mended, field)-number(t, found, field)) > 0.01 {
			t.Errorf("through its own places %s moved from %v to %v", field, found[field], mended[field])
		}
	}
	line := []any{[]any{0.0, 0.0}, []any{1.0, 1.0}, []any{2.0, 2.0}}
	if a := p.Ask("through", senses.Object{"rim": found, "held": line}, nil); a["why"] != "in-one-line" {
		t.Errorf("through three in a line: %v", a)
	}
	if a := p.Ask("rim", senses.Object{"picture": put(t, &p, s)}, func(float64) bool { return false }); a["why"] != "stopped" {
		t.Errorf("stopped at once: %v", a["why"])
	}
}

// TestRulerOnAPicture: on a picture of 20 px a millimeter, as plain arithmetic; and what no ruler is
// laid as.
func TestRulerOnAPicture(t *testing.T) {
	var p senses.Pictures
	points := func(xy ...float64) (out []any) {
		for i := 0; i < len(xy); i += 2 {
			out = append(out, []any{xy[i], xy[i+1]})
		}
		return out
	}
	question := func(is string, at []any) senses.Object {
		return senses.Object{"rim": senses.Object{"x": 300.0, "y": 300.0, "a": 200.0, "b": 200.0, "u": 0.002}, "mm": 20.0, "hand": 0.7, "is": is, "points": at}
	}
	for _, c := range []struct {
		is    string
		at    []any
		value float64
		unit  string
	}{
		{"line", points(300, 300, 340, 330), 2.5, "mm"},
		{"step", points(200, 300, 400, 300, 260, 290), 0.5, "mm"},
		{"angle", points(340, 300, 300, 300, 300, 260), 90, "deg"},
		{"area", points(280, 280, 320, 280, 320, 320, 280, 320), 4, "mm2"},
	} {
		a := ask(t, &p, "measure", question(c.is, c.at))
		if v, u := number(t, a, "value"), number(t, a, "u"); math.Abs(v-c.value) > 1e-9 || !(u > 0) || a["unit"] != c.unit {
			t.Errorf("%s: %v", c.is, a)
		}
	}
	share := number(t, ask(t, &p, "measure", question("area", points(280, 280, 320, 280, 320, 320, 280, 320))), "share")
	if want := 4 / (100 * math.Pi); math.Abs(share-want) > 0.001 {
		t.Errorf("share %v, want %v", share, want)
	}
	for why, q := range map[string]senses.Object{
		"one-place":      question("line", points(300, 300, 300, 300)),
		"few-points":     question("area", points(300, 300, 310, 300)),
		"not-a-question": question("line", points(300, 300)),
		"no-diameter":    {"rim": senses.Object{"a": 200.0, "b": 200.0}, "is": "line", "points": points(0, 0, 1, 1)},
	} {
		if a := p.Ask("measure", q, nil); a["why"] != why {
			t.Errorf("want %s: %v", why, a)
		}
	}
}

// TestOneOverAnother: a coin turned by 35 degrees under another lamp lies over the first by its
// relief, place on place; and mirrored by the rims as geometry says.
func TestOneOverAnother(t *testing.T) {
	var p senses.Pictures
	d := simcoin.Obverse(19.05, 4)
	c := simcoin.Coin{Diameter: d.Diameter, Thickness: 1.5, Face: d.Strike(30), Metal: simcoin.Brown, Seed: 4}
	s := simcoin.Simple(c, 900, 0.85, 4)
	first := s.Render()
	s.Coins[0].Turn, s.Seed = 35, 5
	s.Lamps[0].From = 60
	second := s.Render()
	rimOf := func(shot simcoin.Shot) senses.Object {
		e := shot.Coins[0].Edge
		return senses.Object{"x": e.X, "y": e.Y, "a": e.A, "b": e.B, "turn": e.Turn}
	}
	a := ask(t, &p, "over", senses.Object{"picture": put(t, &p, first), "over": put(t, &p, second), "rim": rimOf(first), "otherRim": rimOf(second)})
	if turned := number(t, a, "degrees"); math.Abs(turned+35) > 1 {
		t.Errorf("turned by %.2f degrees, want -35", turned)
	}
	mapped := func(a senses.Object, x, y float64) (float64, float64) {
		var m [6]float64
		for i, v := range a["map"].([]any) {
			m[i] = v.(float64)
		}
		return m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5]
	}
	for _, at := range [][2]float64{{0, 0}, {6, 0}, {0, -6}, {-4, 5}} {
		x, y := second.Coins[0].InPicture(at[0], at[1])
		x, y = mapped(a, x, y)
		if wx, wy := first.Coins[0].InPicture(at[0], at[1]); math.Hypot(x-wx, y-wy) > 5 {
			t.Errorf("%v mm lies at %.1f, %.1f, want %.1f, %.1f", at, x, y, wx, wy)
		}
	}
	m := ask(t, &p, "laid", senses.Object{"rim": rimOf(first), "otherRim": rimOf(first), "mirrored": true})
	e := first.Coins[0].Edge
	if x, y := mapped(m, e.X+100, e.Y+50); math.Abs(x-(e.X-100)) > 3 || math.Abs(y-(e.Y+50)) > 3 {
		t.Errorf("mirrored to %.1f, %.1f about %.1f, %.1f", x, y, e.X, e.Y)
	}
}

// TestASideLitCoin: four frames become a relief, and lit from the right and the left it shows the
// sides of its strokes the other way around.
func TestASideLitCoin(t *testing.T) {
	var p senses.Pictures
	d := simcoin.Obverse(19.05, 6)
	var frames []any
	var rim senses.Object
	for n, side := range []float64{0, 90, 180, 270} {
		s := shot(d, side, 700, 20+uint64(n))
		if e := s.Coins[0].Edge; n == 0 {
			rim = senses.Object{"x": e.X, "y": e.Y, "a": e.A, "b": e.B, "turn": e.Turn}
		}
		frames = append(frames, senses.Object{"picture": put(t, &p, s), "side": side, "up": 30.0})
	}
	made := number(t, ask(t, &p, "relief", senses.Object{"frames": frames, "rim": rim}), "picture")
	of := ask(t, &p, "relief-of", senses.Object{"relief": made})
	if apart := number(t, of, "apart"); !(apart < 0.7) {
		t.Errorf("frames lie %v px apart", apart)
	}
	lit := func(side float64) []byte {
		n := number(t, ask(t, &p, "relit", senses.Object{"relief": made, "side": side, "up": 25.0, "boost": 1.0}), "picture")
		w, h, rgba, ok := p.Pixels(int(n))
		if !ok || w < 300 || h != w && math.Abs(float64(h-w)) > 4 {
			t.Fatalf("lit picture %dx%d, %v", w, h, ok)
		}
		return rgba
	}
	right, left := lit(0), lit(180)
	var sr, sl, srl, srr, sll, n float64
	for i := 0; i < len(right); i += 4 {
		a, b := float64(right[i]), float64(left[i])
		sr, sl, srl, srr, sll, n = sr+a, sl+b, srl+a*b, srr+a*a, sll+b*b, n+1
	}
	if corr := (srl/n - sr/n*sl/n) / math.Sqrt((srr/n-sr/n*sr/n)*(sll/n-sl/n*sl/n)); corr > 0 {
		t.Errorf("light from right and left correlate by %.2f", corr)
	}
	if a := p.Ask("relief", senses.Object{"frames": frames[:3], "rim": rim}, nil); a["why"] != "too-few" {
		t.Errorf("three frames: %v", a)
	}
}

// TestSharpness falls when a picture is blurred.
func TestSharpness(t *testing.T) {
	var p senses.Pictures
	d := simcoin.Obverse(19.05, 8)
	c := simcoin.Coin{Diameter: d.Diameter, Thickness: 1.5, Face: d.Strike(30), Metal: simcoin.White, Seed: 8}
	s := simcoin.Simple(c, 400, 0.9, 8)
	sharp := number(t, ask(t, &p, "sharpness", senses.Object{"picture": put(t, &p, s.Render())}), "sharpness")
	s.Camera.Blur = 3
	if blurred := number(t, ask(t, &p, "sharpness", senses.Object{"picture": put(t, &p, s.Render())}), "sharpness"); !(blurred < 0.7*sharp) {
		t.Errorf("%v sharp, %v blurred", sharp, blurred)
	}
}

// TestFocusSteps: two pictures, each sharp on one half, become one that is sharper than either; one
// alone is too few.
func TestFocusSteps(t *testing.T) {
	var p senses.Pictures
	d := simcoin.Obverse(19.05, 9)
	c := simcoin.Coin{Diameter: d.Diameter, Thickness: 1.5, Face: d.Strike(30), Metal: simcoin.White, Seed: 9}
	s := simcoin.Simple(c, 400, 0.9, 9)
	sharp := s.Render()
	s.Camera.Blur = 4
	blurred := s.Render()
	half := func(left, right simcoin.Shot) simcoin.Shot {
		out := left
		out.Pix = append([]byte(nil), left.Pix...)
		for y := range left.Height {
			at := 4 * (y*left.Width + left.Width/2)
			copy(out.Pix[at:4*(y+1)*left.Width], right.Pix[at:4*(y+1)*left.Width])
		}
		return out
	}
	a, b := put(t, &p, half(sharp, blurred)), put(t, &p, half(blurred, sharp))
	made := number(t, ask(t, &p, "stack", senses.Object{"pictures": []any{a, b}}), "picture")
	scoreOf := func(n float64) float64 {
		return number(t, ask(t, &p, "sharpness", senses.Object{"picture": n}), "sharpness")
	}
	if got, one, other := scoreOf(made), scoreOf(a), scoreOf(b); !(got > one && got > other) {
		t.Errorf("stacked %v, of %v and %v", got, one, other)
	}
	if a := p.Ask("stack", senses.Object{"pictures": []any{a}}, nil); a["why"] != "too-few" {
		t.Errorf("one alone: %v", a)
	}
}

// TestRimUnderLampsAllAround: with a lamp low on one side the rim's inner edge is brighter than its outer
// one and may be taken for it; in the mean of four sides it isn't.
func TestRimUnderLampsAllAround(t *testing.T) {
	var p senses.Pictures
	var all []any
	want := 0.0
	for k, lamp := range []float64{0, 90, 180, 270} {
		s := shot(simcoin.Obverse(19.05, 7), lamp, 900, 22)
		want = s.Coins[0].Edge.A
		all = append(all, put(t, &p, s))
		if a := p.Ask("rim", senses.Object{"picture": all[k]}, nil); a["why"] == "" {
			t.Logf("under the lamp at %.0f alone: %.3f of the radius", lamp, number(t, a["rim"].(senses.Object), "a")/want)
		}
	}
	found := ask(t, &p, "rim", senses.Object{"picture": all[0], "also": all[1:]})["rim"].(senses.Object)
	if got := number(t, found, "a"); math.Abs(got-want) > 0.01*want {
		t.Errorf("together the radius is %.1f, want %.1f", got, want)
	}
	// What names no picture of the size is left out.
	if a := p.Ask("rim", senses.Object{"picture": all[0], "also": []any{"x", 99.0, float64(p.Put(1, 1, make([]byte, 4)))}}, nil); a["why"] == "no-such-picture" {
		t.Errorf("%v", a)
	}
}
