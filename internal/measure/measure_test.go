package measure_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/measure"
	"panside/internal/rectify"
	"panside/internal/rim"
)

type point = rectify.Point

// ruler on a coin of 24 mm that is 480 px across in the photo: 20 px a mm.
func ruler(t testing.TB, u float64) measure.Ruler {
	up, why := rectify.New(rim.Ellipse{X: 500, Y: 400, A: 240, B: 238, Turn: 30}, 24, 15, u)
	if why != "" {
		t.Fatal(why)
	}
	return measure.Ruler{On: up}
}

func near(got measure.Value, want float64) bool {
	return math.Abs(got.Value-want) < 1e-9*(1+math.Abs(want))
}

func TestKnownShapes(t *testing.T) {
	r := ruler(t, 0.003)
	if v, why := r.Length(point{X: 1, Y: 1}, point{X: 4, Y: 5}); why != "" || !near(v, 5) {
		t.Errorf("length %q %v", why, v)
	}
	if v, why := r.Angle(point{X: 1}, point{}, point{X: 1, Y: math.Sqrt(3)}); why != "" || !near(v, 60) {
		t.Errorf("angle %q %v", why, v)
	}
	if v, why := r.Area([]point{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 2}, {X: 0, Y: 2}}); why != "" || !near(v, 6) {
		t.Errorf("area %q %v", why, v)
	}
	// A cap cut off at half the radius is π/3 - √3/4 of R², an Archimedean figure.
	want := 100 * (math.Pi/3 - math.Sqrt(3)/4) / math.Pi
	if v, why := r.Share([]point{{X: 6, Y: -50}, {X: 60, Y: -50}, {X: 60, Y: 50}, {X: 6, Y: 50}}); why != "" || !near(v, want) {
		t.Errorf("cap %q %v, want %v", why, v, want)
	}
	// The whole face, a quarter of it, and a square within.
	if v, _ := r.Share([]point{{X: -90, Y: -90}, {X: 90, Y: -90}, {X: 90, Y: 90}, {X: -90, Y: 90}}); !near(v, 100) {
		t.Errorf("whole face %v", v)
	}
	if v, _ := r.Share([]point{{}, {X: 90}, {X: 90, Y: 90}, {Y: 90}}); !near(v, 25) {
		t.Errorf("quarter %v", v)
	}
	if v, _ := r.Share([]point{{X: 1, Y: 1}, {X: 3, Y: 1}, {X: 3, Y: 3}, {X: 1, Y: 3}}); !near(v, 400/(math.Pi*144)) {
		t.Errorf("square %v", v)
	}
	// A border of radius 10.5 whose middle lies 3 mm to the upper right.
	at := func(deg float64) point {
		s, c := math.Sincos(deg * math.Pi / 180)
		return point{X: 3*math.Sqrt2/2 + 10.5*c, Y: -3*math.Sqrt2/2 + 10.5*s}
	}
	off, direction, why := r.OffCenter(at(100), at(180), at(240))
	if why != "" || !near(off, 12.5) || math.Abs(direction-45) > 1e-6 {
		t.Errorf("off center %q %v towards %v", why, off, direction)
	}
}

func TestRefuses(t *testing.T) {
	r := ruler(t, 0)
	p := point{X: 1, Y: 2}
	if _, why := r.Length(p, p); why != measure.Same {
		t.Errorf("length: %q", why)
	}
	if _, why := r.Angle(p, p, point{}); why != measure.Same {
		t.Errorf("angle: %q", why)
	}
	if _, _, why := r.OffCenter(point{}, point{X: 1}, point{X: 2}); why != measure.InLine {
		t.Errorf("off center: %q", why)
	}
	for want, corners := range map[measure.Why][]point{
		measure.Few:     {{}, {X: 1}},
		measure.Same:    {{}, {X: 1}, {X: 1}, {Y: 1}},
		measure.Crossed: {{}, {X: 1, Y: 1}, {X: 1}, {Y: 1}},
		measure.Outside: {{X: 20}, {X: 30}, {X: 30, Y: 9}},
	} {
		if _, why := r.Share(corners); why != want {
			t.Errorf("share: %q, want %q", why, want)
		}
		if _, why := r.Area(corners); why != want && want != measure.Outside {
			t.Errorf("area: %q, want %q", why, want)
		}
	}
}

// What is turned with the coin has the same length, area and share, and the same uncertainty where
// the map's doubts know no direction.
func TestTurnedTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rim.Ellipse{X: 500, Y: 400, A: 240, B: 240}
		up, _ := rectify.New(e, 24, 0, 0.003)
		r := measure.Ruler{On: up}
		// Corners by growing angles never cross.
		n := rapid.IntRange(3, 9).Draw(t, "n")
		corners, turned := make([]point, n), make([]point, n)
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		for i := range corners {
			far := rapid.Float64Range(2, 15).Draw(t, "far")
			for k, out := range [][]point{corners, turned} {
				s, c := math.Sincos(2*math.Pi*float64(i)/float64(n) + float64(k)*turn)
				out[i] = point{X: far * c, Y: far * s}
			}
		}
		a, why := r.Share(corners)
		b, _ := r.Share(turned)
		if why != "" || math.Abs(a.Value-b.Value) > 1e-6 || a.Value > 100+1e-9 {
			t.Fatalf("%q %v turned to %v", why, a, b)
		}
		l, _ := r.Length(corners[0], corners[1])
		m, _ := r.Length(turned[0], turned[1])
		if math.Abs(l.Value-m.Value) > 1e-9 || math.Abs(l.U-m.U) > 1e-4*l.U {
			t.Fatalf("%v turned to %v", l, m)
		}
		// Within the coin a share is the area over the face's.
		for i := range corners {
			corners[i].X, corners[i].Y = corners[i].X*0.7, corners[i].Y*0.7
		}
		inside, _ := r.Area(corners)
		share, _ := r.Share(corners)
		if math.Abs(share.Value-100*inside.Value/(math.Pi*144)) > 1e-6 {
			t.Fatalf("%v mm² is %v %%", inside, share)
		}
	})
}

// The stated uncertainty is that of clicks that are off, thrown by dice.
func TestUncertaintyOfTheHand(t *testing.T) {
	up, _ := rectify.New(rim.Ellipse{X: 0, Y: 0, A: 1000, B: 1000}, 24, 0, 0)
	r, still := measure.Ruler{On: up, Hand: 7}, measure.Ruler{On: up, Hand: 1e-9}
	dice := rand.New(rand.NewPCG(1, 1))
	click := 7 * 12.0 / 1000
	throw := func(p []point) []point {
		q := make([]point, len(p))
		for i := range p {
			q[i] = point{X: p[i].X + click*dice.NormFloat64(), Y: p[i].Y + click*dice.NormFloat64()}
		}
		return q
	}
	for name, c := range map[string]struct {
		places []point
		value  func(r measure.Ruler, p []point) measure.Value
	}{
		"length": {[]point{{X: 1, Y: 1}, {X: 3, Y: 1}}, func(r measure.Ruler, p []point) measure.Value { v, _ := r.Length(p[0], p[1]); return v }},
		"angle":  {[]point{{X: 4}, {}, {X: 3, Y: 4}}, func(r measure.Ruler, p []point) measure.Value { v, _ := r.Angle(p[0], p[1], p[2]); return v }},
		"area":   {[]point{{}, {X: 3}, {X: 3, Y: 2}, {Y: 2}}, func(r measure.Ruler, p []point) measure.Value { v, _ := r.Area(p); return v }},
		"share":  {[]point{{X: 9}, {X: 14}, {X: 14, Y: 6}, {X: 8, Y: 6}}, func(r measure.Ruler, p []point) measure.Value { v, _ := r.Share(p); return v }},
	} {
		stated := c.value(r, c.places)
		// What pixels and map add falls out in the difference of the squares.
		hand := math.Sqrt(stated.U*stated.U - math.Pow(c.value(still, c.places).U, 2))
		sum := 0.0
		const n = 3000
		for range n {
			d := c.value(r, throw(c.places)).Value - stated.Value
			sum += d * d
		}
		// The root mean square of 3000 is sure to 1.3 %; what isn't straight in the value adds some.
		if got := math.Sqrt(sum / n); math.Abs(got/hand-1) > 0.06 {
			t.Errorf("%s: stated %.4f, thrown %.4f", name, hand, got)
		}
	}
}
