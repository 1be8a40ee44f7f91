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

// LogSumExp is log(Σ exp(xᵢ)) without overflow. The sum of nothing is −Inf.
func LogSumExp(xs []float64) float64 {
	top := math.Inf(-1)
	for _, x := range xs {
		top = math.Max(top, x)
	}
	if math.IsInf(top, 0) {
		return top
	}
	sum := 0.0
	for _, x := range xs {
		sum += math.Exp(x - top)
	}
	return top + math.Log(sum)
}
