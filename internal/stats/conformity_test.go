package stats_test

import (
	"math"
	"testing"

	"panside/internal/stats"
)

// The examples of JCGM 106:2012 and their like, worked with this package's
// functions. Inputs and expected digits are those collected with their sources
// and grades in the project's table of published values: S read in a reprint,
// C computed there, M inputs from memory.

// integral by Simpson's rule.
func integral(f func(float64) float64, lo, hi float64) float64 {
	const n = 4000
	h := (hi - lo) / n
	sum := f(lo) + f(hi)
	for i := 1; i < n; i++ {
		sum += f(lo+float64(i)*h) * float64(2+2*(i%2))
	}
	return sum * h / 3
}

func within(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s = %.6g, want %.6g", name, got, want)
	}
}

// JCGM 106:2012, 9.5.4, ball bearings: deviation from roundness distributed as
// gamma(4, 1/4) µm, limit 2 µm, u = 0.25 µm. S (a national laboratory's
// notebook citing the clause).
func TestBallBearings(t *testing.T) {
	const limit, u = 2, 0.25
	prior := func(x float64) float64 { return math.Pow(4, 4) * x * x * x * math.Exp(-4*x) / 6 }
	within(t, "nonconforming", integral(prior, limit, 12), 0.0424, 0.00005)
	consumer := func(accept float64) float64 {
		return integral(func(x float64) float64 { return prior(x) * stats.NormCDF((accept-x)/u) }, limit, 12)
	}
	within(t, "consumer’s risk without guard band", consumer(limit), 0.0080, 0.00005)
	within(t, "consumer’s risk with a guard band of 0.328 µm", consumer(limit-0.328), 0.001, 0.00001)
}

// One-sided limit of a voltage: −5.47 V, u = 0.05 V, limit −5.40 V. Inputs M,
// result C.
func TestOneSidedLimit(t *testing.T) {
	within(t, "conformity", stats.NormCDF((-5.40+5.47)/0.05), 0.91924, 0.000005)
}

// Speed limit of 100 km/h, u = 2 %, claimed at 99.9 %. Inputs M, result C.
func TestSpeedLimit(t *testing.T) {
	within(t, "threshold", 100/(1-0.02*stats.NormQuantile(0.999)), 106.59, 0.005)
}

// Global risks of normal products under normal measurements, no guard band and
// guard band: S and C. The resistors' inputs are M-low, so they serve as a test
// of the numbers only, not as a quotation.
func TestGlobalRisks(t *testing.T) {
	risks := func(u0, um, limit, guard float64) (consumer, producer float64) {
		accepted := func(x float64) float64 {
			return stats.NormBetween((-limit+guard-x)/um, (limit-guard-x)/um)
		}
		made := func(x float64) float64 { return stats.NormPDF(x/u0) / u0 }
		// Split at the limits, where the integrands jump.
		consumer = 2 * integral(func(x float64) float64 { return made(x) * accepted(x) }, limit, limit+12*u0)
		producer = integral(func(x float64) float64 { return made(x) * (1 - accepted(x)) }, -limit, limit)
		return consumer, producer
	}
	// S prints 0.008 and 0.015; the further digits by scipy 1.10.1,
	// integrate.quad over the same integrands.
	c, p := risks(4, 1, 8, 0)
	within(t, "false accept", c, 0.008006084834, 1e-9)
	within(t, "false reject", p, 0.014850884211, 1e-9)
	c, p = risks(0.12, 0.04, 0.2, 0)
	within(t, "RC", c, 0.0189, 0.00005)
	within(t, "RP", p, 0.0372, 0.00005)
	c, p = risks(0.12, 0.04, 0.2, 0.08)
	within(t, "RC guarded", c, 0.000469, 0.0000005)
	within(t, "RP guarded", p, 0.2477, 0.00005)
}
