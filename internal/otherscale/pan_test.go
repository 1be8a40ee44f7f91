package otherscale

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, within)
	}
}

// TestPanAnswersAStepInClosedForm: the textbook answer of a second-order system
// to a unit step, 1 − e^(−ζωt)·(cos ω_d·t + ζ/√(1−ζ²)·sin ω_d·t), and its
// overshoot e^(−πζ/√(1−ζ²)).
func TestPanAnswersAStepInClosedForm(t *testing.T) {
	for _, zeta := range []float64{0.2, 0.5, 0.9} {
		p := pan{omega: 30, zeta: zeta}
		damped := p.omega * math.Sqrt(1-zeta*zeta)
		most, dt := 0.0, math.Pi/damped/50
		for i := 1; i <= 400; i++ {
			p.move(dt, 1, 1)
			at := float64(i) * dt
			want := 1 - math.Exp(-zeta*p.omega*at)*(math.Cos(damped*at)+zeta/math.Sqrt(1-zeta*zeta)*math.Sin(damped*at))
			if math.Abs(p.x-want) > 1e-9 {
				t.Fatalf("ζ %g at %.3f s: %g, want %g", zeta, at, p.x, want)
			}
			most = math.Max(most, p.x)
		}
		near(t, "overshoot", most-1, math.Exp(-math.Pi*zeta/math.Sqrt(1-zeta*zeta)), 1e-6)
	}
}

// TestPanUnderManyForces compares the course of forces with small steps of
// Runge and Kutta's fourth-order method, the mean with the trapezium rule.
func TestPanUnderManyForces(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		var f, same forces
		for range 3 {
			at, c := 2*rng.Float64(), []Point(nil)
			c = append(c, Point{at, 0})
			for range 8 {
				at += 0.005 + 0.3*rng.Float64()
				c = append(c, Point{at, 20 * rng.NormFloat64()})
			}
			f.add(c)
			same.add(c)
		}
		p := pan{omega: between(rng, 10, 90), zeta: 0.2 + 0.7*rng.Float64()}
		x, v, omega, zeta := 0.0, 0.0, p.omega, p.zeta
		pull := func(at, x, v float64) float64 {
			g := 0.0
			for _, c := range same.on {
				one, _ := c.at(at)
				g += one
			}
			return omega*omega*(g-x) - 2*zeta*omega*v
		}
		const span, cuts = 0.025, 400
		for n := range 200 {
			from := float64(n) * span
			sum, h := 0.0, span/cuts
			for i := range cuts {
				at := from + float64(i)*h
				before := x
				k1, l1 := v, pull(at, x, v)
				k2, l2 := v+h/2*l1, pull(at+h/2, x+h/2*k1, v+h/2*l1)
				k3, l3 := v+h/2*l2, pull(at+h/2, x+h/2*k2, v+h/2*l2)
				k4, l4 := v+h*l3, pull(at+h, x+h*k3, v+h*l3)
				x += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
				v += h / 6 * (l1 + 2*l2 + 2*l3 + l4)
				sum += (before + x) / 2 * h
			}
			mean := f.move(&p, from, from+span)
			if math.Abs(p.x-x) > 1e-3 || math.Abs(mean-sum/span) > 1e-3 {
				t.Fatalf("ω %.1f ζ %.2f at %.3f s: %.5f, mean %.5f, want %.5f, %.5f", omega, zeta, from+span, p.x, mean, x, sum/span)
			}
		}
	}
}

// TestOvershootsAsRecorded: recorded streams overshot by 3 to 15 %; the drawn
// dampings must reach both.
func TestOvershootsAsRecorded(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	small, large := 0, 0
	for range 500 {
		z := DrawConfig(rng).Zeta
		if z < 0.2 || z > 0.9 {
			t.Fatalf("ζ %g", z)
		}
		switch over := math.Exp(-math.Pi * z / math.Sqrt(1-z*z)); {
		case over < 0.03:
			small++
		case over > 0.15:
			large++
		}
	}
	if small < 25 || large < 50 {
		t.Errorf("%d below 3 %%, %d above 15 %% of 500", small, large)
	}
}
