package stats

import "math"

// EMG is an exponentially modified Gaussian: the distribution of
//
//	X = N(Mu, Sigma²) + Tau·E,   E exponential with mean 1.
//
// A positive Tau draws the tail to the right, a negative one to the left, as
// wear does to a coin's mass. Tau = 0 is the normal distribution, Sigma = 0 the
// shifted exponential, both 0 a single point.
//
// With z = (x−μ)/σ, k = σ/τ and u = (k−z)/√2, for τ > 0 (a negative τ mirrors x
// about μ):
//
//	f(x) = exp(−z²/2)·erfcx(u)/(2τ)
//	     = exp(k²/2 − kz)·Φ(z−k)/τ
//	F(x) = Φ(z) − τ·f(x)
//
// (E. Grushka, Analytical Chemistry 44 (1972) 1733, in the scaled form that
// neither overflows nor cancels.) The first form serves u ≥ √8; the second, one
// exponential cheaper, u < √8, where its exponent is at most 8. Relative errors are
// below 1e-9 in both tails down to underflow.
type EMG struct{ Mu, Sigma, Tau float64 }

// Mean is μ + τ.
func (e EMG) Mean() float64 { return e.Mu + e.Tau }

// PDF is the density at x.
func (e EMG) PDF(x float64) float64 {
	p, ok := e.at(x)
	switch {
	case !ok:
		return math.NaN()
	case p.sigma == 0 || p.k > hugeK:
		return math.Exp(p.logEdge())
	case p.u >= wellBefore:
		return math.Exp(-p.z*p.z/2) * Erfcx(p.u) / (2 * p.tau)
	}
	return math.Exp(p.exponent()) * NormCDF(p.z-p.k) / p.tau
}

// CDF is the probability of a value up to x.
func (e EMG) CDF(x float64) float64 {
	p, ok := e.at(x)
	if !ok {
		return math.NaN()
	}
	if e.Tau < 0 {
		return p.above()
	}
	return p.below()
}

// SF is the probability of a value above x, accurate where it is tiny.
func (e EMG) SF(x float64) float64 {
	p, ok := e.at(x)
	if !ok {
		return math.NaN()
	}
	if e.Tau < 0 {
		return p.below()
	}
	return p.above()
}

// wellBefore is the u from which on Φ(z−k) is small beside exp(k²/2 − kz): since
// k²/2 − kz = u² − z²/2, the exponent stays below 8 for less.
const wellBefore = 2 * math.Sqrt2

// hugeK is where a tail is so short beside sigma that the distribution is
// normal to the last bit.
const hugeK = 1e16

// point is a place x in an EMG turned so that its tail goes to the right.
type point struct {
	d, sigma, tau float64 // d = x−μ
	z, k, u       float64 // as in the formulas; unset when sigma or tau is 0
}

func (e EMG) at(x float64) (point, bool) {
	p := point{d: x - e.Mu, sigma: e.Sigma, tau: e.Tau}
	if p.tau < 0 {
		p.d, p.tau = -p.d, -p.tau
	}
	p.tau += 0 // a negative zero must not make k negative
	if !(p.sigma >= 0) || math.IsInf(p.sigma, 1) || math.IsNaN(p.tau) || math.IsInf(p.tau, 0) || math.IsNaN(p.d) {
		return p, false
	}
	p.k = p.sigma / p.tau
	if p.sigma == 0 {
		p.k = 0
		return p, true
	}
	p.z = p.d / p.sigma
	p.u = (p.k - p.z) / math.Sqrt2
	return p, true
}

// exponent is k²/2 − kz, written so that a tiny sigma doesn't overflow z.
func (p *point) exponent() float64 { return (p.sigma*p.k/2 - p.d) / p.tau }

// logEdge is the log density in the cases without convolution.
func (p *point) logEdge() float64 {
	switch {
	case p.sigma > 0: // normal
		return -p.z*p.z/2 - math.Log(p.sigma*sqrt2Pi)
	case p.tau == 0: // a point
		if p.d == 0 {
			return math.Inf(1)
		}
		return math.Inf(-1)
	case p.d < 0:
		return math.Inf(-1)
	}
	return -p.d/p.tau - math.Log(p.tau)
}

// below is the probability up to the point, on the side without the tail.
func (p *point) below() float64 {
	switch {
	case p.sigma == 0 && p.tau == 0:
		return step(p.d >= 0)
	case p.sigma == 0:
		return -math.Expm1(-math.Max(p.d, 0) / p.tau)
	case p.k > hugeK:
		return NormCDF(p.z)
	case p.u >= 0 && p.z <= nearCentre(p.k):
		return math.Exp(-p.z*p.z/2) * erfcxDrop(-p.z/math.Sqrt2, p.k/math.Sqrt2) / 2
	case p.u >= 0:
		return NormCDF(p.z) - math.Exp(-p.z*p.z/2)*Erfcx(p.u)/2
	}
	// Φ(z) − e^x·Φ(z−k) = [Φ(z) − Φ(z−k)] + Φ(z−k)·(1 − e^x), both positive
	// because the exponent x = k²/2 − kz is below −k²/2 here.
	return normStep(p.z, p.k) - NormCDF(p.z-p.k)*math.Expm1(p.exponent())
}

// nearCentre bounds z for the differenced form: with a small k it is needed
// up to z = k, where Φ(z) and τ·f(x) still cancel.
func nearCentre(k float64) float64 {
	if k < 1e-3 {
		return k
	}
	return 0
}

// normStep is Φ(z) − Φ(z−k). A small k takes the midpoint rule with its first
// correction, φ(m)·k·(1 + k²·(m²−1)/24), m = z − k/2.
func normStep(z, k float64) float64 {
	if k > 1e-3 {
		return NormBetween(z-k, z)
	}
	m := z - k/2
	if math.Abs(m) > 40 { // φ underflows, and ∞·0 must not become NaN
		return 0
	}
	return NormPDF(m) * k * (1 + k*k*(m*m-1)/24)
}

// above is the probability beyond the point, on the side of the tail. All its
// terms are positive.
func (p *point) above() float64 {
	switch {
	case p.sigma == 0 && p.tau == 0:
		return step(p.d < 0)
	case p.sigma == 0:
		return math.Exp(-math.Max(p.d, 0) / p.tau)
	case p.k > hugeK:
		return NormSF(p.z)
	case p.u >= 0:
		return NormSF(p.z) + math.Exp(-p.z*p.z/2)*Erfcx(p.u)/2
	}
	return NormSF(p.z) + math.Exp(p.exponent())*NormCDF(p.z-p.k)
}

func step(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
