package mass

import "math"

// Scale is what is known of a scale's own errors; each field a standard
// deviation in grams at the load in question unless said otherwise.
type Scale struct {
	// Resolution is the step d of the display.
	Resolution Grams
	// Repeatability is the standard deviation of repeated placements.
	Repeatability Grams
	// Calibration is the standard uncertainty left after comparing with check
	// weights, or that of an unproven scale.
	Calibration Grams
	// Drift is the standard uncertainty from the zero moving since it was set.
	Drift Grams
	// Assumed: Repeatability or Calibration were not measured.
	Assumed bool
}

// U is the standard uncertainty of one weighing by difference from zero:
//
//	u² = repeatability² + d²/12 (at load) + d²/12 (at zero) + calibration² + drift²
//
// The two d²/12 are the variances of a rectangular distribution of width d
// (JCGM 100:2008, 4.3.7). Repeatability may be given finer than d allows to
// see; that is the caller's claim.
func (s Scale) U() Grams {
	d := float64(s.Resolution)
	v := sq(s.Repeatability) + d*d/12 + d*d/12 + sq(s.Calibration) + sq(s.Drift)
	return Grams(math.Sqrt(v))
}

// MaximumError is the maximum permissible error on initial verification of a
// class II balance with e = d at a load:
//
//	0.5 e up to 5 000 e, 1.0 e up to 20 000 e, 1.5 e above
//
// Source: OIML R 76-1 table 6, read in an extract. d and load in grams; a
// negative load counts by its magnitude.
func MaximumError(d, load Grams) Grams {
	n := math.Abs(float64(load)) / float64(d)
	switch {
	case n <= 5000:
		return 0.5 * d
	case n <= 20000:
		return d
	default:
		return 1.5 * d
	}
}

// UnprovenScale is what may be assumed of a scale of step d at a load when
// nothing was measured with check weights: that it keeps the in-service limits of a
// class II balance.
//
//	calibration   = 2·mpe/√3   rectangular within the in-service limits, twice
//	                           those of the initial verification (from memory:
//	                           OIML R 76-1, 3.5.2)
//	repeatability = mpe/√3     repeated weighings may differ by no more than the
//	                           mpe (from memory: OIML R 76-1, 3.6.1), so the
//	                           error of one is rectangular within ±mpe at most
//
// It is an assumption: a cheap scale carries no such approval. A check with
// check weights replaces it.
func UnprovenScale(d, load Grams) Scale {
	mpe := MaximumError(d, load)
	return Scale{
		Resolution:    d,
		Repeatability: Grams(float64(mpe) / math.Sqrt(3)),
		Calibration:   Grams(2 * float64(mpe) / math.Sqrt(3)),
		Assumed:       true,
	}
}

func sq(g Grams) float64 { return float64(g) * float64(g) }
