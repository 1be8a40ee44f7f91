package calibration

import (
	"math"

	"panside/internal/mass"
	"panside/internal/moment"
)

// Result is how a scale errs, as one check found it.
type Result struct {
	Resolution   mass.Grams
	Spread       Spread
	Fit          Fit
	Eccentricity float64 // relative to the load; 0 if not measured
	Drift        Drift

	Taken       moment.Time
	Temperature float64 // °C, NaN if not noted
	Place       string
}

// Evaluate computes the result of a check. Errors are *fault.Field with
// fault.BadInput; their sentences name the value.
func Evaluate(r Record) (Result, error) {
	if err := r.check(); err != nil {
		return Result{}, err
	}
	s := r.spread()
	return Result{
		Resolution:   r.Resolution,
		Spread:       s,
		Fit:          r.fit(s),
		Eccentricity: r.eccentricity(),
		Drift:        r.drift(),
		Taken:        r.Taken, Temperature: r.Temperature, Place: r.Place,
	}, nil
}

// beyond is how far over the heaviest check weight the line is trusted.
const beyond = 1.1

// At gives the scale's terms at a load, in grams, for a load corrected by
// Correct. What the check didn't measure is as assumed of an unproven scale, and
// then Assumed is set. A negative load counts by its magnitude.
func (r Result) At(load mass.Grams) mass.Scale {
	load = size(load)
	s := mass.UnprovenScale(r.Resolution, load)
	s.Drift = r.Drift.InU
	if r.Spread.Measured {
		s.Repeatability = r.Spread.InU
	}
	s.Assumed = !r.Spread.Measured || !r.checked(load)
	if r.Fit.Measured {
		lack := s.Calibration
		m := float64(load)
		s.Calibration = mass.Grams(math.Sqrt(sq(m*r.Fit.USlope) + sq(float64(r.Fit.Linearity)) + sq(m*r.Eccentricity)))
		if !r.checked(load) {
			s.Calibration = mass.Grams(math.Hypot(float64(s.Calibration), float64(lack)))
		}
	}
	return s
}

func (r Result) checked(load mass.Grams) bool {
	return r.Fit.Measured && load <= beyond*r.Fit.To
}

// Proven reports whether repeatability and calibration were both measured, so that
// nothing is assumed up to the heaviest check weight.
func (r Result) Proven() bool { return r.Spread.Measured && r.Fit.Measured }

// Correction is what is to be added to a weighing that shows so many grams:
//
//	x/(1 + b) − x
func (r Result) Correction(shown mass.Grams) mass.Grams {
	return shown/mass.Grams(1+r.Fit.Slope) - shown
}

// Correct takes the scale's linear error out of an estimate whose u was
// computed with At. It is done always, be the error found significant or not:
// its uncertainty stands in u either way. A load weighed by difference on a pile
// heavier than the check weights gets the assumption of that level besides.
func (r Result) Correct(e mass.Estimate) mass.Estimate {
	f := mass.Grams(1 / (1 + r.Fit.Slope))
	e.Mean, e.Pile, e.U = e.Mean*f, e.Pile*f, e.U*f
	if r.checked(size(e.Mean)) && !r.checked(size(e.Pile)) {
		e.U = mass.Grams(math.Hypot(float64(e.U), float64(mass.UnprovenScale(r.Resolution, e.Pile).Calibration)))
	}
	return e
}

// Assumes reports whether anything in an estimate's u is assumed.
func (r Result) Assumes(e mass.Estimate) bool {
	return r.At(max(size(e.Mean), size(e.Pile))).Assumed
}

func size(g mass.Grams) mass.Grams { return mass.Grams(math.Abs(float64(g))) }

func sq(x float64) float64 { return x * x }
