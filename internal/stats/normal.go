package stats

import "math"

// NormPDF is the density of the standard normal distribution,
// φ(x) = exp(−x²/2)/√(2π).
func NormPDF(x float64) float64 { return math.Exp(-x*x/2) / sqrt2Pi }

// NormCDF is the standard normal distribution function,
// Φ(x) = erfc(−x/√2)/2, accurate in the lower tail to where it underflows.
func NormCDF(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// NormSF is the upper tail 1 − Φ(x) = Φ(−x), accurate where it is tiny.
func NormSF(x float64) float64 { return NormCDF(-x) }

// NormBetween is Φ(hi) − Φ(lo), the probability between two standardised
// limits, without cancellation when both lie in one tail. It is 0 for
// lo ≥ hi.
func NormBetween(lo, hi float64) float64 {
	switch {
	case lo >= hi:
		return 0
	case lo > 0:
		return NormCDF(-lo) - NormCDF(-hi)
	default:
		return NormCDF(hi) - NormCDF(lo)
	}
}

// NormQuantile is the x with Φ(x) = p, by algorithm AS 241, PPND16 (M. J.
// Wichura, Applied Statistics 37 (1988) 477–484), accurate to about 1 part in
// 10¹⁶ by its author's statement. NormQuantile(0) = −Inf, NormQuantile(1) =
// +Inf; p outside 0…1 gives NaN. For an upper tail smaller than 1e-16 use
// −NormQuantile of the tail itself.
func NormQuantile(p float64) float64 {
	if !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	q := p - 0.5
	if math.Abs(q) <= 0.425 {
		r := 0.180625 - q*q
		return q * ratio(r, &as241a, &as241b)
	}
	r := p
	if q > 0 {
		r = 1 - p
	}
	if r == 0 {
		return math.Copysign(math.Inf(1), q)
	}
	r = math.Sqrt(-math.Log(r))
	if r <= 5 {
		r = ratio(r-1.6, &as241c, &as241d)
	} else {
		r = ratio(r-5, &as241e, &as241f)
	}
	return math.Copysign(r, q)
}

// ratio is the quotient of two polynomials, lowest power first.
func ratio(x float64, num, den *[8]float64) float64 {
	n, d := 0.0, 0.0
	for i := 7; i >= 0; i-- {
		n = n*x + num[i]
		d = d*x + den[i]
	}
	return n / d
}

// The coefficients of PPND16.
var (
	as241a = [8]float64{3.3871328727963666080, 1.3314166789178437745e+2, 1.9715909503065514427e+3, 1.3731693765509461125e+4,
		4.5921953931549871457e+4, 6.7265770927008700853e+4, 3.3430575583588128105e+4, 2.5090809287301226727e+3}
	as241b = [8]float64{1, 4.2313330701600911252e+1, 6.8718700749205790830e+2, 5.3941960214247511077e+3,
		2.1213794301586595867e+4, 3.9307895800092710610e+4, 2.8729085735721942674e+4, 5.2264952788528545610e+3}
	as241c = [8]float64{1.42343711074968357734, 4.63033784615654529590, 5.76949722146069140550, 3.64784832476320460504,
		1.27045825245236838258, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4}
	as241d = [8]float64{1, 2.05319162663775882187, 1.67638483018380384940, 6.89767334985100004550e-1,
		1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9}
	as241e = [8]float64{6.65790464350110377720, 5.46378491116411436990, 1.78482653991729133580, 2.96560571828504891230e-1,
		2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7}
	as241f = [8]float64{1, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
		7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15}
)
