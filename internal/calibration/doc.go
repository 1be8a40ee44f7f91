// Package calibration finds how a scale errs, with check weights: how far it is off,
// how well it repeats, how its zero drifts, and what a single weighing on it is
// worth. It knows nothing of coins.
//
// A Sheet is a check as it is written down, a Record the same read, a Result what
// Evaluate makes of it. A Guide leads a person through a check.
//
// # Model
//
// A weighing is the difference of two displays, with the load and without it.
// For a load of conventional mass m the scale shows
//
//	x = m·(1 + b) + nonlinearity(m) + repeatability + rounding at load and zero + drift
//
// The line goes through zero because the empty pan is subtracted. So one number,
// the relative error b, corrects a scale; the rest is uncertainty.
//
// # Repeatability (spread.go)
//
// Each weight is put on and taken off n_j times. With d_ji the displays of
// weight j less the zero before them, and x̄_j their mean:
//
//	s² = Σ_j Σ_i (d_ji − x̄_j)² / ν          ν = Σ_j (n_j − 1)
//
// (pooled standard deviation, JCGM 100:2008, 4.2.4 and H.3.6). Its 95 % interval
// is from chi square,
//
//	s·√(ν/χ²(0.975; ν)) … s·√(ν/χ²(0.025; ν))
//
// with two changes for the display's step d, which hides what is smaller: the
// upper end takes s as d/√12 at least, and the lower end takes the variance
// d²/12 of rounding off s² (W. F. Sheppard's correction, 1898, from memory) and
// is zero when s is below 0.8 d. Simulation in the tests shows that the interval
// then holds the truth 94 % of the time or more for every spread and step.
//
// In u stands the spread enlarged for few placements,
//
//	s_u = s·t(0.975; ν)/1.96
//
// so that ±1.96·u holds the next weighing 95 % of the time on the average over
// checks (JCGM 100:2008, G.3.2). Rounding is not taken off here: it stands in u
// by itself as d²/12 twice (mass.Scale.U), which keeps u honest when all displays
// were equal and s is zero.
//
// Fewer than minFree degrees of freedom (five placements of one weight, common
// practice; EURAMET calibration guide 18, from memory) are no measurement, and
// the assumption of mass.UnprovenScale stays.
//
// # Linear correction (fit.go)
//
// The error at weight j is e_j = x̄_j − m_j with the variance
//
//	v_j = s_u²/n_j + d²/12 + d²/12 + u(m_j)²
//
// where rounding is not divided by n_j: equal displays round equally. u(m_j) is
// the weight's limit of error divided by √3 (rectangular, JCGM 100:2008, 4.3.7),
// or the standard uncertainty of its certificate. Weighted least squares give
//
//	b = Σ m·e/v / Σ m²/v          u(b)² = 1 / Σ m²/v
//
// and residuals r_j = e_j − b·m_j. What is not straight stands in u as
// max|r_j|/√3, rectangular; with one weight as half a step divided by √3, an
// assumption. The scale is called straight when Σ r²/v is below the 95 %
// quantile of chi square with one degree less than weights.
//
// # Calibration at a load m
//
//	calibration² = (m·u(b))² + nonlinearity² + (m·eccentricity)²
//
// Beyond the heaviest check weight (and a tenth) nothing was measured, and the
// assumption for an unproven scale is added.
//
// # Eccentricity
//
//	eccentricity = max|Δ| / (2·L·√3)
//
// with Δ the difference between displays off and at the centre of the pan and L
// the load (EURAMET calibration guide 18, 7.1.1.4, from memory).
//
// # Drift (rest.go)
//
// A line through the displays of an untouched pan gives the drift per hour; u of
// it counts that less than a step over the whole time can't be seen. In u stands
//
//	drift = √(rate² + u(rate)²)·ZeroAge/√3
//
// if the scale was watched for two minutes at least; else drift isn't measured.
// Scales that track their zero hide the drift of an empty pan; a weight left on
// shows it.
//
// # Which mass
//
// A check weight's value is its conventional mass (OIML D 28:2004): that of a
// weight of 8000 kg/m³ which balances it in air of 1.2 kg/m³. So a checked scale
// shows conventional mass. For coins this differs from mass by less than 0.1 mg
// below 5 g, and 2.7 mg for the heaviest gold piece.
package calibration
