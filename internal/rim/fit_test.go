package rim

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// drawn gives points of an ellipse by turning and moving stretched complex numbers: another way
// than the package's own.
func drawn(e Ellipse, from, to, step float64) (out []Point) {
	for deg := from; deg < to; deg += step {
		s, c := math.Sincos(deg * math.Pi / 180)
		turn := complex(math.Cos(e.Turn*math.Pi/180), -math.Sin(e.Turn*math.Pi/180))
		z := complex(e.A*c, e.B*s)*turn + complex(e.X, e.Y)
		out = append(out, Point{real(z), imag(z)})
	}
	return out
}

func anyEllipse(t *rapid.T) Ellipse {
	a := rapid.Float64Range(5, 2000).Draw(t, "a")
	return Ellipse{
		X: rapid.Float64Range(-5000, 5000).Draw(t, "x"), Y: rapid.Float64Range(-5000, 5000).Draw(t, "y"),
		A: a, B: a * rapid.Float64Range(0.3, 0.99).Draw(t, "ratio"), Turn: rapid.Float64Range(-89, 90).Draw(t, "turn"),
	}
}

func same(a, b Ellipse, within float64) bool {
	turn := math.Abs(math.Remainder(a.Turn-b.Turn, 180)) * math.Pi / 180 * (a.A - a.B)
	return math.Abs(a.X-b.X) < within && math.Abs(a.Y-b.Y) < within && math.Abs(a.A-b.A) < within && math.Abs(a.B-b.B) < within && turn < within
}

func TestFitFindsTheEllipse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anyEllipse(t)
		got, why := Fit(drawn(want, 0, 360, 1), nil)
		if why != "" || !same(got, want, 1e-6*want.A) {
			t.Fatalf("%v %+v, want %+v", why, got, want)
		}
		// Half of it is enough as long as nothing is off.
		if got, why = Fit(drawn(want, 20, 200, 5), nil); why != "" || !same(got, want, 1e-5*want.A) {
			t.Fatalf("of half of it: %v %+v, want %+v", why, got, want)
		}
	})
}

// Points far from the origin lose nothing but what a float64 can't hold.
func TestFitFarAway(t *testing.T) {
	want := Ellipse{X: 1e7, Y: -3e7, A: 200, B: 190, Turn: 30}
	if got, why := Fit(drawn(want, 0, 360, 3), nil); why != "" || !same(got, want, 1e-4) {
		t.Errorf("%v %+v", why, got)
	}
}

// Points off by noise move middle and axes by what 360 points leave of it: sigma times the root of
// 2/n for the middle, and for each axis somewhat more; four of these.
func TestFitUnderNoise(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	want := Ellipse{X: 300, Y: 200, A: 150, B: 146, Turn: -20}
	for range 50 {
		points := drawn(want, 0, 360, 1)
		for i := range points {
			points[i].X += 0.5 * r.NormFloat64()
			points[i].Y += 0.5 * r.NormFloat64()
		}
		got, why := Fit(points, nil)
		bound := 4 * 0.5 * math.Sqrt(2.0/360) * 1.5
		if why != "" || math.Hypot(got.X-want.X, got.Y-want.Y) > bound || math.Abs(got.A-want.A) > bound || math.Abs(got.B-want.B) > bound {
			t.Fatalf("%v %+v is off by more than %.3f", why, got, bound)
		}
	}
}

// A weight of two is the point twice, one of nought is none.
func TestFitWeights(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := drawn(anyEllipse(t), 0, 360, 30)
		points[3].X += 3
		twice := append(append([]Point(nil), points...), points[3])
		weights := []float64{1, 1, 1, 2, 1, 1, 1, 1, 1, 1, 1, 1, 0}
		a, _ := Fit(twice, nil)
		b, _ := Fit(append(append([]Point(nil), points...), Point{1e4, 1e4}), weights)
		if !same(a, b, 1e-6*a.A) {
			t.Fatalf("%+v by twice, %+v by weight", a, b)
		}
	})
}

func TestFitRefuses(t *testing.T) {
	line := []Point{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}, {5, 5}}
	for name, c := range map[string]struct {
		points []Point
		why    Why
	}{
		"none":  {nil, Few},
		"four":  {[]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, Few},
		"line":  {line, Flat},
		"place": {[]Point{{7, 7}, {7, 7}, {7, 7}, {7, 7}, {7, 7}}, Flat},
	} {
		if e, why := Fit(c.points, nil); why != c.why {
			t.Errorf("%s: %q %+v, want %q", name, why, e, c.why)
		}
	}
}

func TestRoundAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyEllipse(t)
		deg := rapid.Float64Range(0, 360).Draw(t, "deg")
		for _, p := range drawn(e, deg, deg+1, 1) {
			u, v := e.ToRound(p.X, p.Y)
			if math.Abs(math.Hypot(u, v)-1) > 1e-9 {
				t.Fatalf("a place of the outline came to %v of the radius", math.Hypot(u, v))
			}
			if x, y := e.FromRound(u, v); math.Hypot(x-p.X, y-p.Y) > 1e-9*(1+math.Hypot(p.X, p.Y)) {
				t.Fatalf("%v came back to %v, %v", p, x, y)
			}
		}
		// No turn: what is above the middle stays above where the ellipse is nearly round.
		e.B = 0.99 * e.A
		if u, v := e.ToRound(e.X, e.Y-e.A/2); v > -0.4 || math.Abs(u) > 0.01 {
			t.Fatalf("up went to %v, %v", u, v)
		}
	})
}

func TestThroughThree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anyEllipse(t)
		start := want
		start.X, start.Y = start.X+50, start.Y-20
		start.A, start.B = start.A*1.3, start.B*1.3
		first := rapid.Float64Range(0, 360).Draw(t, "first")
		p := drawn(want, first, first+300, rapid.Float64Range(25, 100).Draw(t, "step"))
		got, why := Through(start, p[0], p[1], p[2])
		if why != "" || !same(got, want, 1e-6*(1+want.A)) {
			t.Fatalf("%v %+v, want %+v", why, got, want)
		}
	})
	e := Ellipse{X: 100, Y: 80, A: 50, B: 45, Turn: 10}
	h := e.Handles()
	if got, why := Through(e, h[0], h[1], h[2]); why != "" || !same(got, e, 1e-9) {
		t.Errorf("the handles themselves: %v %+v", why, got)
	}
}

func TestThreeInLine(t *testing.T) {
	e := Ellipse{X: 100, Y: 80, A: 50, B: 45, Turn: 10}
	for _, p := range [][3]Point{
		{{0, 0}, {10, 10}, {20, 20}},
		{{5, 5}, {5, 5}, {20, 20}},
		{{0, 0}, {100, 0.5}, {200, 0}},
	} {
		if got, why := Through(e, p[0], p[1], p[2]); why != InLine {
			t.Errorf("%v gave %q %+v", p, why, got)
		}
	}
	// Just allowed: a pixel more or less then moves the middle by less than the radius.
	a, why := Through(Ellipse{A: 1, B: 1}, Point{0, 0}, Point{100, 2.2}, Point{200, 0})
	b, _ := Through(Ellipse{A: 1, B: 1}, Point{0, 0}, Point{100, 3.2}, Point{200, 0})
	if why != "" || math.Abs(a.Y-b.Y) > a.A {
		t.Errorf("%q %+v, %+v", why, a, b)
	}
}
