package calibration_test

import (
	"math"
	"strings"
	"testing"

	"panside/internal/calibration"
	"panside/internal/mass"
	"panside/internal/say"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, within)
	}
}

// TestLimitsOfTheStandard holds single values of OIML R 111-1:2004, table 1,
// and the table's own pattern: each class allows about a third of the next.
func TestLimitsOfTheStandard(t *testing.T) {
	for _, c := range []struct {
		nominal mass.Grams
		class   calibration.Class
		mg      float64
	}{{1, calibration.M1, 1.0}, {5, calibration.F1, 0.16}, {20, calibration.F2, 0.8}, {50, calibration.E2, 0.10}, {200, calibration.M1, 10}} {
		limit, ok := calibration.Limit(c.nominal, c.class)
		if !ok {
			t.Fatalf("%v g %s is not in the table", c.nominal, c.class)
		}
		near(t, "limit in mg", float64(limit)*1000, c.mg, 1e-9)
	}
	for _, g := range []mass.Grams{1, 2, 5, 10, 20, 50, 100, 200} {
		finer := mass.Grams(0)
		for _, c := range calibration.Classes {
			limit, ok := calibration.Limit(g, c)
			if !ok || finer != 0 && !(limit/finer > 2.9 && limit/finer < 3.5) {
				t.Errorf("%v g %s: %v after %v", g, c, limit, finer)
			}
			finer = limit
		}
	}
	if _, ok := calibration.Limit(3, calibration.M1); ok {
		t.Error("3 g is no weight of the standard")
	}
	if _, ok := calibration.Limit(5, "M4"); ok {
		t.Error("M4 is no class")
	}
}

func TestMassOfAWeight(t *testing.T) {
	m, u := calibration.Weight{Nominal: 20, Class: calibration.M1}.Mass()
	near(t, "20 g M1", float64(m), 20, 0)
	near(t, "its u", float64(u), 0.0025/math.Sqrt(3), 1e-12)
	m, u = calibration.Weight{Nominal: 20, Class: calibration.M1, Value: 20.0012, U: 0.0002}.Mass()
	near(t, "by its certificate", float64(m), 20.0012, 0)
	near(t, "its u", float64(u), 0.0002, 0)
	if (calibration.Weight{Nominal: 20}).Known() {
		t.Error("an object counts as a check weight")
	}
}

// TestConventionalMass compares with coins' buoyancy: mass over reading is
// (1 − 1.2/8000)/(1 − 1.2/ρ) by the definition of OIML D 28, computed for alloy
// densities of the handbook.
func TestConventionalMass(t *testing.T) {
	for density, ppm := range map[float64]float64{7.170: 17.4, 8.857: -14.5, 8.945: -15.8, 10.323: -33.8, 17.318: -80.7, 8: 0} {
		m := float64(calibration.Conventional(1, density))
		near(t, "correction in ppm", (1/m-1)*1e6, ppm, 0.06)
	}
	m, _ := calibration.Weight{Value: 20, U: 0.001, Density: 2.7}.Mass()
	near(t, "20 g of aluminium", float64(m), 20*(1-0.0012/2.7)/(1-0.00015), 1e-12)
}

// TestNickelIsNoCheckWeight repeats the sentence's own arithmetic.
func TestNickelIsNoCheckWeight(t *testing.T) {
	if steps := math.Floor(0.194 / 0.01); steps != 19 || !strings.Contains(say.English.Write(calibration.CoinWarning()), "19 steps") {
		t.Errorf("0.194 g is %v steps", steps)
	}
}
