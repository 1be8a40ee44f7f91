package otherring

import (
	"math"
	"testing"
)

// Leissa, Vibration of Plates, NASA SP-160, table of the free disc for ν = 0.33, λ², from memory.
func TestRootsAreThoseOfTheTable(t *testing.T) {
	for _, want := range []struct {
		n, s    int
		squared float64
	}{{2, 0, 5.253}, {0, 0, 9.084}, {3, 0, 12.23}, {1, 0, 20.52}, {2, 1, 35.25}, {0, 1, 38.55}} {
		got := roots(want.n, want.s+1, 0.33)
		if len(got) <= want.s {
			t.Fatalf("n=%d: %d roots", want.n, len(got))
		}
		if x := got[want.s].lambda * got[want.s].lambda; math.Abs(x/want.squared-1) > 0.002 {
			t.Errorf("n=%d, root %d: λ² %.3f, the table has %.3f", want.n, want.s, x, want.squared)
		}
	}
}

func TestARimOfNoHeightChangesNothing(t *testing.T) {
	for _, s := range modesOf(0.34) {
		if r := s.rim(0.1, 1, 0.34); math.Abs(r-1) > 1e-9 {
			t.Errorf("n=%d: %g", s.n, r)
		}
		if r := s.rim(0.1, 1.2, 0.34); r < 0.85 || r > 1.05 {
			t.Errorf("n=%d: a rim a fifth higher makes it %g", s.n, r)
		}
	}
}

// Rayleigh's quotient of a plain disc is the root's fourth power, by another way of reckoning.
func TestRayleighFindsTheRoots(t *testing.T) {
	for _, s := range modesOf(0.34) {
		bent, moved := s.energies(0.34, func(float64) float64 { return 1 })
		if ratio := bent / moved / math.Pow(s.lambda, 4); math.Abs(ratio-1) > 0.01 {
			t.Errorf("n=%d, λ=%.3f: %.4f of λ⁴", s.n, s.lambda, ratio)
		}
	}
}
