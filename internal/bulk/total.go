package bulk

import (
	"math"

	"panside/internal/mass"
)

// total is the distribution of a pile's weight:
//
//	T = N(mean, sd²) − Gamma(a, τa) − Gamma(b, τb)
//
// since normal masses as made add to a normal, and n independent exponential
// losses of mean τ add to a gamma of shape n and scale τ. The gamma part is
// held on a grid, the two convolved; with the normal it is summed exactly.
type total struct {
	mean, sd float64
	loss     []float64 // probability of a loss of (i+offset)·step
	step     float64
	// offset is where a cell's mass stands: at its middle, so ½ for one gamma
	// and 1 for two convolved.
	offset float64
}

// grid points of a gamma: enough that the step is small against its spread.
const points = 240

// newTotal is n coins of usual and k of other, weighed with the spread fixed
// (scale and wrapper).
func newTotal(n int, usual Kind, k int, other Kind, fixed float64) total {
	fn, fk := float64(n), float64(k)
	variance := fixed*fixed +
		fn*sq(usual.SD) + fk*sq(other.SD) +
		fn*fn*sq(usual.Shared) + fk*fk*sq(other.Shared)
	t := total{mean: fn*float64(usual.Mean) + fk*float64(other.Mean), sd: math.Sqrt(variance), loss: []float64{1}}
	reach := gammaReach(n, float64(usual.Wear)) + gammaReach(k, float64(other.Wear))
	if reach == 0 {
		return t
	}
	t.step = reach / points
	for _, tau := range []float64{fn * float64(usual.Wear), fk * float64(other.Wear)} {
		if tau > 0 {
			t.offset += 0.5
		}
	}
	t.loss = convolve(gammaCells(n, float64(usual.Wear), t.step), gammaCells(k, float64(other.Wear), t.step))
	return t
}

// density of T at x, in 1/g.
func (t total) density(x float64) float64 {
	var sum float64
	for i, p := range t.loss {
		z := (x - t.mean + (float64(i)+t.offset)*t.step) / t.sd
		sum += p * math.Exp(-z*z/2)
	}
	return sum / (t.sd * math.Sqrt(2*math.Pi))
}

// below is P(T ≤ x).
func (t total) below(x float64) float64 {
	var sum float64
	for i, p := range t.loss {
		z := (x - t.mean + (float64(i)+t.offset)*t.step) / t.sd
		sum += p * 0.5 * math.Erfc(-z/math.Sqrt2)
	}
	return sum
}

// quantile is the x with P(T ≤ x) = p, by bisection.
func (t total) quantile(p float64) float64 {
	lo := t.mean - float64(len(t.loss)+1)*t.step - 12*t.sd
	hi := t.mean + 12*t.sd
	for range 80 {
		mid := (lo + hi) / 2
		if t.below(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// gammaReach is where all but a negligible part of a gamma lies below.
func gammaReach(n int, tau float64) float64 {
	if n == 0 || tau == 0 {
		return 0
	}
	return tau * (float64(n) + 9*math.Sqrt(float64(n)) + 9)
}

// gammaCells are the probabilities of a gamma of shape n and scale tau in cells
// of width step; a gamma that is no gamma (no coins or no wear) is all at 0.
func gammaCells(n int, tau, step float64) []float64 {
	if n == 0 || tau == 0 {
		return []float64{1}
	}
	count := int(gammaReach(n, tau)/step) + 1
	cells := make([]float64, count)
	var sum float64
	logNorm, _ := math.Lgamma(float64(n))
	for i := range cells {
		// Three-point Simpson within the cell; the cells are narrow.
		a := float64(i) * step
		f := func(g float64) float64 {
			if g <= 0 {
				if n == 1 {
					return 1 / tau
				}
				return 0
			}
			x := g / tau
			return math.Exp((float64(n)-1)*math.Log(x)-x-logNorm) / tau
		}
		cells[i] = step / 6 * (f(a) + 4*f(a+step/2) + f(a+step))
		sum += cells[i]
	}
	for i := range cells {
		cells[i] /= sum
	}
	return cells
}

func convolve(a, b []float64) []float64 {
	c := make([]float64, len(a)+len(b)-1)
	for i, x := range a {
		for j, y := range b {
			c[i+j] += x * y
		}
	}
	return c
}

func sq(v mass.Grams) float64 { return float64(v) * float64(v) }
