package mass_test

import (
	"math"
	"testing"

	"panside/internal/fault"
	"panside/internal/mass"
)

// TestUnitsAreExact holds each unit to its definition: the international pound
// and grain of 1959 (NIST SP 811, appendix B.8) and the metric carat.
func TestUnitsAreExact(t *testing.T) {
	for _, tc := range []struct{ value, unit, grams string }{
		{"3.11", "g", "3.11"},
		{"3110", "mg", "3.110"},
		{"0.00311", "kg", "3.11000"},
		{"7000", "gr", "453.59237"}, // one pound
		{"1", "lb", "453.59237"},
		{"16", "oz", "453.592370000"}, // sixteen ounces
		{"480", "gr", "31.1034768"},   // one troy ounce
		{"1", "ozt", "31.1034768"},
		{"20", "dwt", "31.1034768"},
		{"5", "ct", "1.0"},
		{"48.0", "GN", "3.11034768"},
	} {
		u, err := mass.ParseUnit(tc.unit)
		if err != nil {
			t.Errorf("%s: %v", tc.unit, err)
			continue
		}
		got, err := mass.Quantity{Value: mass.MustDecimal(tc.value), Unit: u}.Grams()
		if err != nil {
			t.Errorf("%s %s: %v", tc.value, tc.unit, err)
			continue
		}
		if got.Cmp(mass.MustDecimal(tc.grams)) != 0 {
			t.Errorf("%s %s = %v g, want %s g", tc.value, tc.unit, got, tc.grams)
		}
	}
}

func TestUnitsWithoutOneValueAreRefused(t *testing.T) {
	for _, s := range []string{"tl", "TAEL", "tl.T", "lb:oz", "t", "pcs", "%"} {
		if _, err := mass.ParseUnit(s); err == nil || fault.Of(err).Code != fault.RefusedUnit {
			t.Errorf("%q: %v, want refused-unit", s, err)
		}
	}
	for _, s := range []string{"", "x", "gg", "stone", "\x00g"} {
		if _, err := mass.ParseUnit(s); err == nil || fault.Of(err).Code != fault.UnknownUnit {
			t.Errorf("%q: %v, want unknown-unit", s, err)
		}
	}
	if _, err := mass.Unit("stone").Factor(); fault.Of(err).Code != fault.UnknownUnit {
		t.Errorf("Factor of an unknown unit: %v", err)
	}
}

// TestScaleUFollowsTheGUM checks the rectangular terms against JCGM 100:2008,
// 4.3.7 and 5.1.2: a step d alone gives d/√12 twice, u = d/√6.
func TestScaleUFollowsTheGUM(t *testing.T) {
	only := mass.Scale{Resolution: 0.01}
	if got, want := float64(only.U()), 0.01/math.Sqrt(6); math.Abs(got-want) > 1e-15 {
		t.Errorf("u of resolution alone %v, want %v", got, want)
	}
	all := mass.Scale{Resolution: 0.01, Repeatability: 0.003, Calibration: 0.004, Drift: 0.012}
	if got, want := float64(all.U()), math.Sqrt(0.013*0.013+0.0001/6); math.Abs(got-want) > 1e-15 {
		t.Errorf("u = %v, want %v", got, want)
	}
}

// TestMaximumError checks the steps of OIML R 76-1 table 6, class II, read in
// an extract.
func TestMaximumError(t *testing.T) {
	for _, tc := range []struct{ load, e float64 }{{3.11, 0.5}, {50, 0.5}, {50.01, 1}, {200, 1}, {200.01, 1.5}, {-3.11, 0.5}} {
		if got := mass.MaximumError(0.01, mass.Grams(tc.load)); math.Abs(float64(got)-tc.e*0.01) > 1e-12 {
			t.Errorf("load %v g: %v, want %v e", tc.load, got, tc.e)
		}
	}
	if s := mass.UnprovenScale(0.01, 3.11); !s.Assumed || s.U() <= 0.005 {
		t.Errorf("an unproven scale claims too much: %+v", s)
	}
}
