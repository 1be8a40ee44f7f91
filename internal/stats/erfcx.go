// Package stats holds the distributions the rest of the core reckons with:
// the normal and the exponentially modified Gaussian, each accurate in both
// tails, what sums of small probabilities need, and the correlation.
//
// All functions are pure and never panic. A NaN argument, or a parameter that
// makes no distribution (a negative standard deviation), gives NaN.
package stats

import "math"

const (
	sqrtPi  = 1.7724538509055160272981674833411451827975494561224
	sqrt2Pi = 2.5066282746310005024157652848110452530069867406099
)

// asymptoticFrom is where erfcx changes from exp·erfc to its asymptotic
// series. There the term after the last one kept is below 1e-17 of the sum.
const asymptoticFrom = 12

// Erfcx is the scaled complementary error function
//
//	erfcx(x) = exp(x²)·erfc(x)
//
// It stays representable where erfc itself underflows (x > 26.5) and is what
// makes tails of normal-like distributions exact. Below 12 it is computed from
// its definition, with the rounding error of x² carried along; from 12 on from
// the asymptotic expansion DLMF 7.12.1,
//
//	x·√π·erfcx(x) ~ Σ (−1)^m (1/2)_m / x^(2m).
//
// Erfcx(+Inf) = 0, Erfcx(−Inf) = +Inf; it overflows to +Inf below about −26.6.
func Erfcx(x float64) float64 {
	if x >= asymptoticFrom {
		return asymptotic(x)
	}
	if x < -27 { // exp(x²) overflows, and Inf·0 below must not become NaN
		return math.Inf(1)
	}
	square, lost := squareExactly(x)
	return math.Exp(square) * (1 + lost) * math.Erfc(x)
}

// squareExactly gives x² as the sum of its nearest double and what that
// misses, by splitting x into two halves of 26 bits (T. J. Dekker, Numerische
// Mathematik 18 (1971) 224–242). math.FMA would do it in one step, but is
// emulated, slowly, in a browser. The conversions keep a compiler from fusing
// the products, which would lose what is looked for.
func squareExactly(x float64) (square, lost float64) {
	const split = 1<<27 + 1
	c := float64(split * x)
	high := c - float64(c-x)
	low := x - high
	square = float64(x * x)
	lost = float64(high*high) - square
	lost += float64(2 * high * low)
	return square, lost + float64(low*low)
}

// series holds (−1)^m (2m−1)!!, the coefficients of DLMF 7.12.1 in powers of
// 1/(2x²).
var series = [...]float64{1, -1, 3, -15, 105, -945, 10395, -135135, 2027025, -34459425, 654729075}

func asymptotic(x float64) float64 {
	w := 0.5 / x / x
	sum := 0.0
	for m := len(series) - 1; m >= 0; m-- {
		sum = sum*w + series[m]
	}
	return sum / (x * sqrtPi)
}

// erfcxDrop is erfcx(a) − erfcx(a+h) for h ≥ 0 and a > −0.001 without the
// cancellation of the two when h is small or a is large.
//
// From 12 on each term of the asymptotic series is differenced by itself:
//
//	a^−n − (a+h)^−n = −a^−n·expm1(−n·log1p(h/a)).
//
// For small h it is the Taylor series of erfcx(a) = (2/√π)·∫exp(−t²−2at) dt
// (DLMF 7.7.1, t from 0 to ∞), whose moments M_n = (2/√π)·∫t^n·exp(−t²−2at) dt
// follow by partial integration:
//
//	erfcx(a) − erfcx(a+h) = 2h·M₁ − (2h)²/2·M₂ + (2h)³/6·M₃ − (2h)⁴/24·M₄ …
//	M₀ = erfcx(a), M₁ = 1/√π − a·M₀, M_(n+1) = (n/2)·M_(n−1) − a·M_n.
func erfcxDrop(a, h float64) float64 {
	const small = 1e-3 // the first term left out is below 3e-13 of the result
	switch {
	case a >= asymptoticFrom:
		w := 0.5 / a / a
		grow := math.Log1p(h / a)
		sum := 0.0
		for m := len(series) - 1; m >= 0; m-- {
			sum = sum*w - series[m]*math.Expm1(-float64(2*m+1)*grow)
		}
		return sum / (a * sqrtPi)
	case h < small:
		m0 := Erfcx(a)
		m1 := 1/sqrtPi - a*m0
		m2 := m0/2 - a*m1
		m3 := m1 - a*m2
		m4 := 1.5*m2 - a*m3
		t := 2 * h
		return t * (m1 - t/2*(m2-t/3*(m3-t/4*m4)))
	default:
		return Erfcx(a) - Erfcx(a+h)
	}
}
