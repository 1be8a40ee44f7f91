package stats

import "math"

// LogAddExp is log(exp(a) + exp(b)) without overflow; −Inf stands for a
// probability of zero.
func LogAddExp(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(b, -1) || math.IsInf(a, 1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}
