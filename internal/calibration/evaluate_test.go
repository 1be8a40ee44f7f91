package calibration_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/mass"
)

// placements are displays of one weight over a zero of 0.
func placements(weight int, shown ...mass.Grams) []calibration.Placement {
	var all []calibration.Placement
	for _, g := range shown {
		all = append(all, calibration.Placement{Weight: weight, Shown: g})
	}
	return all
}

func evaluate(t *testing.T, r calibration.Record) calibration.Result {
	t.Helper()
	if r.Temperature == 0 {
		r.Temperature = math.NaN()
	}
	got, err := calibration.Evaluate(r)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// wellUsed is a scale of 0.001 g that shows 0.3 % too much.
func wellUsed() calibration.Record {
	return calibration.Record{
		Resolution: 0.001,
		Weights:    []calibration.Weight{{Nominal: 50, Class: calibration.F1}, {Nominal: 20, Class: calibration.F2}, {Nominal: 5, Class: calibration.M1}},
		Placements: slices.Concat(
			placements(0, 50.149, 50.155, 50.146, 50.151, 50.150),
			placements(1, 20.062, 20.058, 20.064, 20.060),
			placements(2, 5.013, 5.017, 5.015),
		),
		Taken: time.Date(2026, 3, 1, 18, 0, 0, 0, time.UTC),
	}
}

// TestAgainstScipy holds numbers of scipy 1.10.1:
//
//	xs = [[50.149,50.155,50.146,50.151,50.150],[20.062,20.058,20.064,20.060],[5.013,5.017,5.015]]
//	s = sqrt(sum(((x-mean(x))**2).sum())/9)
//	s*sqrt(9/chi2.ppf(.025,9)), sqrt(s**2-.001**2/12)*sqrt(9/chi2.ppf(.975,9)), s*t.ppf(.975,9)/1.96
//	optimize.curve_fit(lambda m,b: b*m, m, e, sigma=sqrt(v), absolute_sigma=True)
func TestAgainstScipy(t *testing.T) {
	r := evaluate(t, wellUsed())
	s := r.Spread
	if s.Placements != 12 || s.DegreesOfFreedom != 9 || !s.Measured {
		t.Errorf("%+v", s)
	}
	near(t, "s", float64(s.S), 0.0028047578623953346, 1e-9)
	near(t, "low", float64(s.Low), 0.0019189657190682025, 1e-9)
	near(t, "high", float64(s.High), 0.005120394513090757, 1e-9)
	near(t, "used", float64(s.InU), 0.0032371444327406727, 1e-9)
	near(t, "slope", r.Fit.Slope, 0.003008971227246425, 1e-9)
	near(t, "its u", r.Fit.USlope, 2.8520239537359083e-05, 1e-9)
}

// TestAgainstGonum compares with gonum 0.17: variance, weighted line through
// the origin, line with intercept, quantiles.
func TestAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rec := calibration.Record{Resolution: 0.001, Temperature: math.NaN()}
		slope := rapid.Float64Range(-0.01, 0.01).Draw(t, "slope")
		var sum, free float64
		var masses []float64
		for j, g := range []mass.Grams{50, 20, 10, 5}[:rapid.IntRange(2, 4).Draw(t, "weights")] {
			rec.Weights = append(rec.Weights, calibration.Weight{Nominal: g, Class: rapid.SampledFrom(calibration.Classes).Draw(t, "class")})
			var shown []float64
			for range rapid.IntRange(3, 6).Draw(t, "times") {
				steps := math.Round(float64(g)*(1+slope)*1000) + float64(rapid.IntRange(-9, 9).Draw(t, "off"))
				shown = append(shown, steps/1000)
				rec.Placements = append(rec.Placements, calibration.Placement{Weight: j, Shown: mass.Grams(steps / 1000)})
			}
			sum += stat.Variance(shown, nil) * float64(len(shown)-1)
			free += float64(len(shown) - 1)
			masses = append(masses, stat.Mean(shown, nil))
		}
		for i := range 6 {
			rec.Untouched = append(rec.Untouched, calibration.Moment{After: float64(20 * i), Shown: mass.Grams(rapid.IntRange(-4, 4).Draw(t, "zero")) / 1000})
		}
		r, err := calibration.Evaluate(rec)
		if err != nil {
			t.Fatal(err)
		}
		same := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
				t.Fatalf("%s is %v, gonum has %v", what, got, want)
			}
		}
		s := math.Sqrt(sum / free)
		same("s", float64(r.Spread.S), s)
		used := s * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: free}.Quantile(0.975) / 1.96
		same("used", float64(r.Spread.InU), used)
		if s > 0.001/math.Sqrt(12) {
			same("high", float64(r.Spread.High), s*math.Sqrt(free/distuv.ChiSquared{K: free}.Quantile(0.025)))
		}
		var x, y, w []float64
		for j, p := range r.Fit.Points {
			same("mean", float64(p.Mean), masses[j])
			x, y, w = append(x, float64(p.Mass)), append(y, masses[j]-float64(p.Mass)), append(w, 1/float64(p.UError*p.UError))
		}
		_, b := stat.LinearRegression(x, y, w, true)
		same("slope", r.Fit.Slope, b)
		x, y = nil, nil
		for _, m := range rec.Untouched {
			x, y = append(x, m.After), append(y, float64(m.Shown))
		}
		_, rate := stat.LinearRegression(x, y, nil, false)
		same("drift", float64(r.Drift.PerHour), rate*3600)
	})
}

func TestCorrectionAndTerms(t *testing.T) {
	r := evaluate(t, wellUsed())
	e := r.Correct(mass.Estimate{Mean: 20.06, Pile: 40.12, U: 0.01})
	near(t, "corrected", float64(e.Mean), 20, 0.002)
	near(t, "pile", float64(e.Pile), 40, 0.004)
	near(t, "correction", float64(20.06+r.Correction(20.06)), float64(e.Mean), 1e-12)
	pile := r.Correct(mass.Estimate{Mean: 20.06, Pile: 100.3, U: 0.01})
	near(t, "u on a pile beyond the weights", float64(pile.U), math.Hypot(0.01/(1+r.Fit.Slope), float64(mass.UnprovenScale(0.001, pile.Pile).Calibration)), 1e-12)
	if r.Assumes(e) || !r.Assumes(pile) {
		t.Errorf("assumed: %v on the pan alone, %v on a pile", r.Assumes(e), r.Assumes(pile))
	}
	five, fifty, more := r.At(5), r.At(50), r.At(60)
	if five.Assumed || fifty.Assumed || !more.Assumed || five.U() >= fifty.U() || r.At(-5) != five {
		t.Errorf("%+v %+v %+v", five, fifty, more)
	}
	if !(more.U() > mass.UnprovenScale(0.001, 60).Calibration) {
		t.Error("beyond the weights the assumption is gone")
	}
	want := math.Sqrt(math.Pow(50*r.Fit.USlope, 2) + math.Pow(float64(r.Fit.Linearity), 2))
	near(t, "calibration at 50 g", float64(fifty.Calibration), want, 1e-12)
}

func TestEqualDisplaysClaimNoMoreThanTheStep(t *testing.T) {
	r := evaluate(t, calibration.Record{
		Resolution: 0.01,
		Weights:    []calibration.Weight{{Nominal: 50, Class: calibration.F2}},
		Placements: placements(0, 50, 50, 50, 50, 50),
	})
	if r.Spread.InU != 0 || r.Spread.Low != 0 {
		t.Errorf("%+v", r.Spread)
	}
	near(t, "upper end", float64(r.Spread.High), 0.01/math.Sqrt(12)*math.Sqrt(4/0.48441855708793014), 1e-9) // chi2.ppf(.025, 4), scipy 1.10.1
	if u := r.At(5).U(); u < 0.01/mass.Grams(math.Sqrt(6)) || u > 0.006 {
		t.Errorf("u is %v", u)
	}
}

func TestWhatWasNotMeasuredStaysAssumed(t *testing.T) {
	object := calibration.Record{Resolution: 0.01, Weights: []calibration.Weight{{}}, Placements: placements(0, 7.01, 7.02, 7.01, 7.01, 7.02)}
	r := evaluate(t, object)
	if r.Proven() || !r.Spread.Measured || r.Fit.Measured || r.Fit.Slope != 0 {
		t.Errorf("%+v", r)
	}
	if s, a := r.At(7), mass.UnprovenScale(0.01, 7); !s.Assumed || s.Calibration != a.Calibration || s.Repeatability != r.Spread.InU {
		t.Errorf("%+v", s)
	}
	once := calibration.Record{Resolution: 0.01, Weights: []calibration.Weight{{Nominal: 50, Class: calibration.M1}}, Placements: placements(0, 50.02)}
	r = evaluate(t, once)
	if s, a := r.At(7), mass.UnprovenScale(0.01, 7); !s.Assumed || s.Repeatability != a.Repeatability || s.Calibration >= a.Calibration {
		t.Errorf("%+v", s)
	}
}

func TestNotStraightIsSeen(t *testing.T) {
	r := evaluate(t, calibration.Record{
		Resolution: 0.01,
		Weights:    []calibration.Weight{{Nominal: 100, Class: calibration.F1}, {Nominal: 50, Class: calibration.F1}, {Nominal: 20, Class: calibration.F1}},
		Placements: slices.Concat(placements(0, 100, 100, 100), placements(1, 50.06, 50.06, 50.06), placements(2, 20.01, 20.01, 20.01)),
	})
	if r.Fit.Linear || r.Fit.Linearity < 0.02 {
		t.Errorf("%+v", r.Fit)
	}
	// The worst residual is inside the claimed uncertainty at its load.
	if u := r.At(50).U(); 0.06 > 2*u+mass.Grams(math.Abs(r.Fit.Slope)*50) {
		t.Errorf("u at 50 g is %v", u)
	}
	if straight := evaluate(t, wellUsed()); !straight.Fit.Linear {
		t.Errorf("%+v", straight.Fit)
	}
}

func TestEccentricity(t *testing.T) {
	rec := wellUsed()
	rec.OffCentre = placements(0, 50.140, 50.161, 50.150, 50.152)
	r := evaluate(t, rec)
	m := (50.149 + 50.155 + 50.146 + 50.151 + 50.150) / 5
	near(t, "eccentricity", r.Eccentricity, (50.161-m)/m/2/math.Sqrt(3), 1e-9)
	if r.At(20).Calibration <= evaluate(t, wellUsed()).At(20).Calibration {
		t.Error("it doesn't stand in u")
	}
}

func TestDriftNobodyCouldSee(t *testing.T) {
	rec := wellUsed()
	for i := range 10 {
		rec.Untouched = append(rec.Untouched, calibration.Moment{After: 20 * float64(i), Shown: 0.004})
	}
	d := evaluate(t, rec).Drift
	near(t, "rate", float64(d.PerHour), 0, 1e-12)
	near(t, "its u", float64(d.U), 0.001/180/math.Sqrt(3)*3600, 1e-9)
	near(t, "used", float64(d.InU), 0.001/180/math.Sqrt(3)*calibration.ZeroAge/math.Sqrt(3), 1e-9)
}

// TestAnythingAccepted: whatever is accepted has finite results, and the same
// results in another order, over another zero, and in another unit.
func TestAnythingAccepted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom([]float64{0.0001, 0.001, 0.01, 0.02, 0.1, 1}).Draw(t, "d")
		rec := calibration.Record{Resolution: mass.Grams(d), Temperature: math.NaN()}
		n := rapid.IntRange(1, 4).Draw(t, "weights")
		for j := range n {
			m := math.Exp(rapid.Float64Range(math.Log(1), math.Log(1000)).Draw(t, "mass"))
			w := calibration.Weight{Value: mass.Grams(m), U: mass.Grams(m * math.Exp(rapid.Float64Range(-18, -5).Draw(t, "u")))}
			if rapid.IntRange(0, 5).Draw(t, "object") == 0 {
				w = calibration.Weight{}
			}
			rec.Weights = append(rec.Weights, w)
			for range rapid.IntRange(1, 5).Draw(t, "times") {
				steps := math.Round(m/d) + float64(rapid.IntRange(-25, 25).Draw(t, "off"))
				zero := float64(rapid.IntRange(-3, 3).Draw(t, "zero"))
				rec.Placements = append(rec.Placements, calibration.Placement{Weight: j, Shown: mass.Grams((steps + zero) * d), Zero: mass.Grams(zero * d)})
			}
		}
		for i := range rapid.IntRange(0, 5).Draw(t, "moments") {
			rec.Untouched = append(rec.Untouched, calibration.Moment{After: float64(i) * 7, Shown: mass.Grams(float64(rapid.IntRange(-20, 20).Draw(t, "z")) * d)})
		}
		r, err := calibration.Evaluate(rec)
		if err != nil {
			if fault.Of(err).Code != fault.BadInput {
				t.Fatal(err)
			}
			t.Skip("refused, so there is no result to hold")
		}
		for _, load := range []mass.Grams{0, 1, 20, 5000} {
			s := r.At(load)
			for _, v := range []mass.Grams{s.Repeatability, s.Calibration, s.Drift, s.U(), r.Spread.High} {
				if !(v >= 0) || math.IsInf(float64(v), 0) {
					t.Fatalf("%+v", s)
				}
			}
			if s.U() < rec.Resolution/mass.Grams(math.Sqrt(6.0001)) {
				t.Fatalf("u %v is finer than the step %v allows", s.U(), d)
			}
		}
		_, _ = r.Findings(), r.Advice()
		same := func(what string, other calibration.Record, unit mass.Grams) {
			o, err := calibration.Evaluate(other)
			if err != nil {
				t.Fatalf("%s: %v", what, err)
			}
			for _, load := range []mass.Grams{1, 20} {
				// OIML R 76's limits depend on the load in steps only, so that all
				// scales with the unit.
				if a, b := r.At(load), o.At(load*unit); math.Abs(float64(a.U()/b.U()*unit)-1) > 1e-6 || a.Assumed != b.Assumed {
					t.Fatalf("%s: %+v instead of %+v", what, b, a)
				}
				if a, b := float64(r.Correction(load)), float64(o.Correction(load*unit)/unit); math.Abs(a-b) > 1e-7*float64(load) {
					t.Fatalf("%s: correction %v instead of %v", what, b, a)
				}
			}
		}
		turned := rec
		turned.Placements = slices.Clone(rec.Placements)
		slices.Reverse(turned.Placements)
		same("turned", turned, 1)
		ten := rec
		ten.Resolution *= 10
		ten.Weights, ten.Placements, ten.Untouched = slices.Clone(rec.Weights), slices.Clone(rec.Placements), slices.Clone(rec.Untouched)
		for i := range ten.Weights {
			ten.Weights[i].Value, ten.Weights[i].U = 10*ten.Weights[i].Value, 10*ten.Weights[i].U
		}
		for i := range ten.Placements {
			ten.Placements[i].Shown, ten.Placements[i].Zero = 10*ten.Placements[i].Shown, 10*ten.Placements[i].Zero
		}
		for i := range ten.Untouched {
			ten.Untouched[i].Shown *= 10
		}
		if ten.Resolution <= 1 {
			same("ten times as heavy", ten, 10)
		}
	})
}
