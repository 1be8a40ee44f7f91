package stats_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/stats"
)

func near(a, b, rel float64) bool { return apart(a, b) <= rel }

func TestNormalIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-37, 8).Draw(t, "x")
		p := stats.NormCDF(x)
		// Above 4 the digits of p near 1 no longer hold x.
		if got := stats.NormQuantile(p); x < 4 && math.Abs(got-x) > 1e-11 {
			t.Errorf("quantile(cdf(%v)) = %v", x, got)
		}
		if s := p + stats.NormSF(x); math.Abs(s-1) > 1e-15 {
			t.Errorf("cdf + sf at %v = %v", x, s)
		}
		if math.Abs(x) < 25 && !near(stats.Erfcx(x)*math.Exp(-x*x), math.Erfc(x), 1e-12) {
			t.Errorf("erfcx at %v = %v", x, stats.Erfcx(x))
		}
		hi := rapid.Float64Range(x, 37).Draw(t, "hi")
		between := stats.NormBetween(x, hi)
		if math.Abs(between-stats.NormBetween(-hi, -x)) > 1e-15 || math.Abs(between-(stats.NormCDF(hi)-p)) > 1e-15 {
			t.Errorf("between %v and %v = %v", x, hi, between)
		}
	})
}

// emgs draws distributions from nearly normal to nearly exponential, with
// tails to either side.
var emgs = rapid.Custom(func(t *rapid.T) stats.EMG {
	tau := math.Pow(10, rapid.Float64Range(-6, 6).Draw(t, "log tau"))
	if rapid.Bool().Draw(t, "left") {
		tau = -tau
	}
	return stats.EMG{
		Mu:    rapid.Float64Range(-50, 50).Draw(t, "mu"),
		Sigma: math.Pow(10, rapid.Float64Range(-4, 2).Draw(t, "log sigma")),
		Tau:   tau,
	}
})

func TestEMGIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := emgs.Draw(t, "emg")
		x := e.Mu + e.Sigma*rapid.Float64Range(-8, 8).Draw(t, "z") + e.Tau*rapid.Float64Range(0, 8).Draw(t, "tails")
		cdf, sf, pdf := e.CDF(x), e.SF(x), e.PDF(x)
		if math.Abs(cdf+sf-1) > 1e-12 {
			t.Errorf("cdf + sf = %v at %v", cdf+sf, x)
		}
		// F(x) = Φ(z) − τ·f(x), for either sign of τ.
		z := (x - e.Mu) / e.Sigma
		if want := stats.NormCDF(z) - e.Tau*pdf; math.Abs(cdf-want) > 1e-12*(1+math.Abs(e.Tau)*pdf) {
			t.Errorf("cdf %v, want %v at %v", cdf, want, x)
		}
		// mirror, shift and scale
		c := math.Pow(2, float64(rapid.IntRange(-10, 10).Draw(t, "log2 scale")))
		mirror := stats.EMG{Mu: -e.Mu, Sigma: e.Sigma, Tau: -e.Tau}
		scaled := stats.EMG{Mu: c * e.Mu, Sigma: c * e.Sigma, Tau: c * e.Tau}
		if mirror.SF(-x) != cdf || mirror.PDF(-x) != pdf || !near(scaled.CDF(c*x), cdf, 1e-15) || !near(scaled.PDF(c*x)*c, pdf, 1e-15) {
			t.Errorf("not the same distribution when mirrored or scaled: %+v", e)
		}
		step := e.Sigma * rapid.Float64Range(0, 3).Draw(t, "step")
		if e.CDF(x+step) < cdf*(1-1e-11) || e.SF(x+step) > sf*(1+1e-11) {
			t.Errorf("not monotone from %v by %v", x, step)
		}
	})
}

// TestEMGIsItsOwnConvolution integrates normal against exponential by
// Simpson's rule, a way that shares nothing with the closed form.
func TestEMGIsItsOwnConvolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sigma := rapid.Float64Range(0.01, 0.1).Draw(t, "sigma")
		tau := rapid.Float64Range(0.01, 0.5).Draw(t, "tau")
		e := stats.EMG{Mu: 3.11, Sigma: sigma, Tau: -tau}
		x := 3.11 + 4*sigma - (4*sigma+3*tau)*rapid.Float64Range(0, 1).Draw(t, "place")
		// The wear w for which the coin weighs x: normal at x + w.
		lo := math.Max(0, 3.11-x-9*sigma)
		hi := math.Max(lo, 3.11-x+9*sigma)
		const n = 2000
		h := (hi - lo) / n
		sum := 0.0
		for i := 0; i <= n; i++ {
			w := lo + float64(i)*h
			weight := 4.0
			if i%2 == 0 {
				weight = 2
			}
			if i == 0 || i == n {
				weight = 1
			}
			sum += weight * math.Exp(-w/tau) / tau * stats.NormPDF((x+w-3.11)/sigma) / sigma
		}
		if want := sum * h / 3; !near(e.PDF(x), want, 1e-7) {
			t.Errorf("density of %+v at %v = %v, by convolution %v", e, x, e.PDF(x), want)
		}
	})
}

func TestExtremes(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	is := func(name string, got, want float64) {
		t.Helper()
		if got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("%s = %v, want %v", name, got, want)
		}
	}
	is("erfcx(+Inf)", stats.Erfcx(inf), 0)
	is("erfcx(−Inf)", stats.Erfcx(-inf), inf)
	is("erfcx(−30)", stats.Erfcx(-30), inf)
	is("erfcx(NaN)", stats.Erfcx(nan), nan)
	is("Φ(NaN)", stats.NormCDF(nan), nan)
	is("quantile 0", stats.NormQuantile(0), -inf)
	is("quantile 1", stats.NormQuantile(1), inf)
	is("quantile ½", stats.NormQuantile(0.5), 0)
	is("quantile −0.1", stats.NormQuantile(-0.1), nan)
	is("quantile NaN", stats.NormQuantile(nan), nan)
	is("between all", stats.NormBetween(-inf, inf), 1)
	is("between turned", stats.NormBetween(2, 1), 0)
	if !near(stats.NormBetween(8, 9), stats.NormSF(8)-stats.NormSF(9), 1e-12) {
		t.Errorf("between 8 and 9 = %v", stats.NormBetween(8, 9))
	}
	is("between far", stats.NormBetween(30, inf), stats.NormSF(30))
	is("add zeros", stats.LogAddExp(-inf, -inf), -inf)
	is("add", stats.LogAddExp(-inf, -3), -3)
	is("add", stats.LogAddExp(-1000, -1000), -1000+math.Ln2)
	is("mean", stats.EMG{Mu: 3, Sigma: 1, Tau: -0.5}.Mean(), 2.5)

	type f = func(stats.EMG, float64) float64
	all := map[string]f{"pdf": stats.EMG.PDF, "cdf": stats.EMG.CDF, "sf": stats.EMG.SF}
	at := func(e stats.EMG, x float64, want map[string]float64) {
		t.Helper()
		for name, w := range want {
			if got := all[name](e, x); got != w && !(math.IsNaN(got) && math.IsNaN(w)) {
				t.Errorf("%s of %+v at %v = %v, want %v", name, e, x, got, w)
			}
		}
	}
	lowest := map[string]float64{"pdf": 0, "cdf": 0, "sf": 1}
	highest := map[string]float64{"pdf": 0, "cdf": 1, "sf": 0}
	none := map[string]float64{"pdf": nan, "cdf": nan, "sf": nan}
	for _, tau := range []float64{1, -1, 0, 1e-300, -1e-300, 1e6} {
		for _, sigma := range []float64{1, 1e-300, 0} {
			e := stats.EMG{Mu: 3, Sigma: sigma, Tau: tau}
			at(e, -inf, lowest)
			at(e, inf, highest)
			at(e, nan, none)
		}
	}
	for _, e := range []stats.EMG{{0, -1, 1}, {0, nan, 1}, {0, 1, nan}, {nan, 1, 1}, {0, inf, 1}, {0, 1, inf}} {
		at(e, 0.5, none)
	}
	point := stats.EMG{Mu: 3}
	at(point, 3, map[string]float64{"pdf": inf, "cdf": 1, "sf": 0})
	at(point, 2.9, lowest)
	at(point, 3.1, highest)

	// τ → 0 is the normal, σ → 0 the exponential, from both sides.
	for _, x := range []float64{-20, -3, -0.1, 0, 0.1, 3, 20} {
		for _, tau := range []float64{0, math.Copysign(0, -1), 1e-12, -1e-12, 1e-20, 1e-300, -1e-300} {
			e := stats.EMG{Sigma: 1, Tau: tau}
			if !near(e.PDF(x), stats.NormPDF(x), 1e-9) || !near(e.CDF(x), stats.NormCDF(x), 1e-9) || !near(e.SF(x), stats.NormSF(x), 1e-9) {
				t.Errorf("τ = %g is not normal at %v", tau, x)
			}
		}
		if x == 0 {
			continue // a step
		}
		for _, sigma := range []float64{0, 1e-12, 1e-300} {
			e := stats.EMG{Sigma: sigma, Tau: 2}
			want := stats.EMG{Tau: 2}
			if !near(e.PDF(x), want.PDF(x), 1e-9) || !near(e.SF(x), want.SF(x), 1e-9) || !near(e.CDF(x), want.CDF(x), 1e-9) {
				t.Errorf("σ = %g is not exponential at %v", sigma, x)
			}
		}
	}
	exponential := stats.EMG{Mu: 1, Tau: 2}
	if !near(exponential.PDF(3), math.Exp(-1)/2, 1e-15) {
		t.Errorf("exponential density %v", exponential.PDF(3))
	}
	is("exponential sf", exponential.SF(3), math.Exp(-1))
	is("exponential cdf", exponential.CDF(3), 1-math.Exp(-1))
}

func FuzzEMG(f *testing.F) {
	f.Add(3.1, 3.11, 0.05, -0.03)
	f.Add(1e300, -1e300, 1e-300, 1e300)
	f.Fuzz(func(t *testing.T, x, mu, sigma, tau float64) {
		e := stats.EMG{Mu: mu, Sigma: sigma, Tau: tau}
		for _, p := range []float64{e.CDF(x), e.SF(x)} {
			if !math.IsNaN(p) && !(p >= 0 && p <= 1+1e-12) {
				t.Errorf("%+v at %v: probability %v", e, x, p)
			}
		}
		if d := e.PDF(x); d < 0 {
			t.Errorf("%+v at %v: density %v", e, x, d)
		}
	})
}

// The likelihood of one coin under one hypothesis is a PDF; the exponential is
// there as a baseline.
func BenchmarkEMG(b *testing.B) {
	e := stats.EMG{Mu: 3.11, Sigma: 0.045, Tau: -0.03}
	for name, f := range map[string]func(float64) float64{"exp": func(x float64) float64 { return math.Exp(-x) }, "PDF": e.PDF, "CDF": e.CDF} {
		b.Run(name, func(b *testing.B) {
			sum := 0.0
			for i := 0; i < b.N; i++ {
				sum += f(2.9 + float64(i%64)/200)
			}
			if math.IsNaN(sum) {
				b.Fatal("NaN")
			}
		})
	}
}
