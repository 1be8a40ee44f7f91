package stats

import "math"

// StudentQuantile is the x with P(T ≤ x) = p for Student's t distribution with
// free degrees of freedom, a whole number from 1. With θ = atan(x/√ν) the
// probability between −x and x is a finite sum (M. Abramowitz, I. A. Stegun,
// Handbook of Mathematical Functions, 26.7.3 and 26.7.4):
//
//	ν = 1           2θ/π
//	ν odd           2/π·(θ + sin θ·(cos θ + ⅔·cos³ θ + … + (2·4…(ν−3))/(3·5…(ν−2))·cos^(ν−2) θ))
//	ν even          sin θ·(1 + ½·cos² θ + … + (1·3…(ν−3))/(2·4…(ν−2))·cos^(ν−2) θ)
//
// and θ is found by bisection. For p from 1e-6 to 1 − 1e-6 and ν to 1000 the
// relative error is below 1e-9. p = 0 gives −Inf, p = 1 +Inf; anything outside
// these ranges NaN.
func StudentQuantile(p float64, free int) float64 {
	switch {
	case !(p >= 0 && p <= 1) || free < 1:
		return math.NaN()
	case p < 0.5:
		return -StudentQuantile(1-p, free)
	case p == 1:
		return math.Inf(1)
	}
	between := 2*p - 1
	lo, hi := 0.0, math.Pi/2
	for range 100 {
		mid := (lo + hi) / 2
		if studentBetween(mid, free) < between {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Sqrt(float64(free)) * math.Tan((lo+hi)/2)
}

// studentBetween is P(|T| ≤ √ν·tan θ).
func studentBetween(theta float64, free int) float64 {
	sin, cos := math.Sincos(theta)
	sum, first := 0.0, 0
	if free%2 == 1 {
		first = 1
	}
	term := math.Pow(cos, float64(first))
	for k := first; k <= free-2; k += 2 {
		sum += term
		term *= cos * cos * float64(k+1) / float64(k+2)
	}
	if free%2 == 1 {
		return 2 / math.Pi * (theta + sin*sum)
	}
	return sin * sum
}
