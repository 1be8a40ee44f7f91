package plate

import (
	"math"
	"testing"
)

// besselI is the modified Bessel function of the first kind, by its series.
func besselI(n int, x float64) float64 {
	term := math.Pow(x/2, float64(n)) / math.Gamma(float64(n)+1)
	sum := 0.0
	for k := 1; k < 200; k++ {
		sum += term
		term *= x * x / 4 / (float64(k) * float64(k+n))
	}
	return sum
}

// determinant is equation (2) of the package's doc, cross-multiplied.
func determinant(n int, nu, l float64) float64 {
	j, i := math.Jn(n, l), besselI(n, l)
	// J' = Jn-1 − n/x·Jn, and the same for I.
	var jd, id float64
	if n == 0 {
		jd, id = -math.Jn(1, l), besselI(1, l)
	} else {
		jd = math.Jn(n-1, l) - float64(n)/l*j
		id = besselI(n-1, l) - float64(n)/l*i
	}
	n2 := float64(n * n)
	return (l*l*j+(1-nu)*(l*jd-n2*j))*(l*l*l*id-(1-nu)*n2*(l*id-i)) -
		(l*l*l*jd+(1-nu)*n2*(l*jd-j))*(l*l*i-(1-nu)*(l*id-n2*i))
}

// exact solves (2) for the mode: its roots from the lowest that isn't a rigid motion.
func exact(n, circles int, nu float64) float64 {
	want := circles
	if n < 2 {
		want-- // n = 0 and 1 begin with a circle: without one the disc only moves
	}
	before := determinant(n, nu, 1)
	for l := 1.001; l < 20; l += 0.001 {
		d := determinant(n, nu, l)
		if before*d < 0 {
			if want == 0 {
				low, high := l-0.001, l
				for range 60 {
					if m := (low + high) / 2; determinant(n, nu, low)*determinant(n, nu, m) <= 0 {
						high = m
					} else {
						low = m
					}
				}
				return low * low
			}
			want--
		}
		before = d
	}
	return math.NaN()
}

// TestRootsAreTheEquations: the table, and what is interpolated in it, solve the
// characteristic equation.
func TestRootsAreTheEquations(t *testing.T) {
	for k := range Modes {
		m := &Modes[k]
		for i, r := range m.roots {
			nu := firstRatio + ratioStep*float64(i)
			if want := exact(m.Diameters, m.Circles, nu); !(math.Abs(r-want) < 6e-5) {
				t.Errorf("(%d,%d) at %.2f: table %.4f, equation %.4f", m.Diameters, m.Circles, nu, r, want)
			}
		}
		for nu := 0.2; nu < 0.45; nu += 0.013 {
			if got, want := m.root(nu), exact(m.Diameters, m.Circles, nu); !(math.Abs(got-want) < 1e-4*want) {
				t.Errorf("(%d,%d) at %.3f: %.4f, equation %.4f", m.Diameters, m.Circles, nu, got, want)
			}
		}
	}
}

// TestPublishedRoots: Leissa, Vibration of Plates, NASA SP-160, table 2.6 (free circular
// plate, ν = 0.33), as remembered: its four figures, so from memory.
func TestPublishedRoots(t *testing.T) {
	for _, c := range []struct {
		n, s int
		want float64
	}{{2, 0, 5.253}, {0, 1, 9.084}, {3, 0, 12.23}, {1, 1, 20.52}, {4, 0, 21.6}} {
		got := exact(c.n, c.s, 0.33)
		if math.Abs(got/c.want-1) > 0.005 {
			t.Errorf("(%d,%d): %.3f, published %.3f", c.n, c.s, got, c.want)
		}
		t.Logf("(%d,%d): %.4f, published %.3f", c.n, c.s, got, c.want)
	}
}
