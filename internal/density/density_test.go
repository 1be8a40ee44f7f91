package density_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/density"
	"panside/internal/fault"
	"panside/internal/mass"
)

// TestWater: values computed from Tanaka et al., Metrologia 38 (2001) 301–309,
// as collected with their constants from five implementations that cite it.
func TestWater(t *testing.T) {
	want := map[density.Celsius]float64{
		15: 999.1026, 16: 998.9459, 17: 998.7778, 18: 998.5984, 19: 998.4079, 20: 998.2067,
		21: 997.9950, 22: 997.7730, 23: 997.5408, 24: 997.2988, 25: 997.0470, 26: 996.7857,
		27: 996.5151, 28: 996.2353, 29: 995.9465, 30: 995.6488,
	}
	for c, rho := range want {
		got, err := density.Water(c)
		if err != nil || math.Abs(float64(got)*1000-rho) > 0.00006 {
			t.Errorf("water at %v °C: %.5f kg/m³, %v; want %.4f", c, float64(got)*1000, err, rho)
		}
	}
	// The older form that goes by the same name gives 998.2336 at 20 °C.
	if got, _ := density.Water(20); math.Abs(float64(got)*1000-998.2336) < 0.01 {
		t.Error("this is the older form of the formula")
	}
	for _, c := range []density.Celsius{-0.1, 40.1, density.Celsius(math.NaN())} {
		if _, err := density.Water(c); fault.Of(err) == nil || fault.Of(err).Code != fault.BadInput {
			t.Errorf("water at %v °C: %v", c, err)
		}
	}
}

// TestAir: CIPM-2007 full formula, Picard et al., Metrologia 45 (2008)
// 149–155, values computed by a general-purpose implementation.
func TestAir(t *testing.T) {
	for _, tc := range []struct{ p, h, t, rho, tol float64 }{
		{1013.25, 50, 20, 1.199314, 2e-6},
		{1000, 50, 20, 1.183557, 2e-6},
		{1013.25, 40, 23, 1.18733, 6e-6},
		{950, 60, 25, 1.101972, 2e-6},
	} {
		got, err := density.Air(tc.p, tc.h, density.Celsius(tc.t))
		if err != nil || math.Abs(float64(got)*1000-tc.rho) > tc.tol {
			t.Errorf("air at %v hPa, %v %%, %v °C: %.6f, %v; want %.6f", tc.p, tc.h, tc.t, float64(got)*1000, err, tc.rho)
		}
	}
	for _, bad := range [][3]float64{{500, 50, 20}, {1013, -1, 20}, {1013, 101, 20}, {1013, 50, 60}, {math.NaN(), 50, 20}} {
		if _, err := density.Air(bad[0], bad[1], density.Celsius(bad[2])); err == nil {
			t.Errorf("air %v was accepted", bad)
		}
	}
}

// TestOfGivesBackWhatWasWeighed builds the readings of a body of known density
// by Archimedes' principle and asks for the density again, by both methods.
func TestOfGivesBackWhatWasWeighed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rho := rapid.Float64Range(2.5, 21).Draw(t, "rho")
		volume := rapid.Float64Range(0.2, 4).Draw(t, "volume")
		temp := density.Celsius(rapid.Float64Range(4, 38).Draw(t, "temp"))
		thread := rapid.Float64Range(0, 0.05).Draw(t, "thread")
		water, _ := density.Water(temp)
		const air = 0.0012
		// What a scale adjusted in the same air shows, its weights' own lift
		// left out on both sides since it cancels.
		dry := volume * (rho - air)
		hung := volume * (rho - float64(water))
		cup := volume * (float64(water) - air)
		for method, wet := range map[density.Method]float64{density.Hung: hung, density.Cup: cup} {
			got, err := density.Of(density.Weighing{
				Method: method, Dry: mass.Grams(dry), Wet: mass.Grams(wet + thread), Thread: mass.Grams(thread),
				U: 0.001, Water: temp, UWater: 0.5,
			})
			if err != nil {
				t.Fatalf("%s: %v", method, err)
			}
			if math.Abs(float64(got.Density)-rho) > 1e-9*rho || math.Abs(got.Volume-volume) > 1e-9*volume {
				t.Fatalf("%s: density %v, volume %v; want %v, %v", method, got.Density, got.Volume, rho, volume)
			}
		}
	})
}

// TestUncertaintyAgainstSimulation compares the propagated u with the spread of
// simulated weighings (JCGM 101's way), for both methods.
func TestUncertaintyAgainstSimulation(t *testing.T) {
	const (
		rho, volume, u, uT = 10.32, 1.21, 0.004, 0.5
		air, n             = 0.0012, 20000
	)
	rng := rand.New(rand.NewPCG(7, 11))
	for _, method := range []density.Method{density.Hung, density.Cup} {
		var sum, sum2, claimed, claimedV, vSum, vSum2 float64
		for range n {
			temp := 21 + uT*rng.NormFloat64()
			water, _ := density.Water(density.Celsius(temp))
			trueWater := float64(water) + 0.0003*rng.NormFloat64()
			wet := volume * (rho - trueWater)
			if method == density.Cup {
				wet = volume * (trueWater - air)
			}
			got, err := density.Of(density.Weighing{
				Method: method, Dry: mass.Grams(volume*(rho-air) + u*rng.NormFloat64()),
				Wet: mass.Grams(wet + u*rng.NormFloat64()), U: u, Water: 21, UWater: uT,
			})
			if err != nil {
				t.Fatal(err)
			}
			d := float64(got.Density)
			sum, sum2, claimed = sum+d, sum2+d*d, float64(got.U)
			vSum, vSum2, claimedV = vSum+got.Volume, vSum2+got.Volume*got.Volume, got.UVolume
		}
		spread := math.Sqrt(sum2/n - sum*sum/n/n)
		spreadV := math.Sqrt(vSum2/n - vSum*vSum/n/n)
		if math.Abs(claimed/spread-1) > 0.04 {
			t.Errorf("%s: u claimed %.4f, simulated %.4f", method, claimed, spread)
		}
		if math.Abs(claimedV/spreadV-1) > 0.04 {
			t.Errorf("%s: u of the volume claimed %.5f, simulated %.5f", method, claimedV, spreadV)
		}
	}
}

func TestImpossibleWeighingsSayWhichValueIsWrong(t *testing.T) {
	good := density.Weighing{Method: density.Hung, Dry: 12.5, Wet: 11.3, U: 0.005, Water: 21, UWater: 0.5}
	if _, err := density.Of(good); err != nil {
		t.Fatal(err)
	}
	for name, tc := range map[string]struct {
		change func(*density.Weighing)
		says   string
	}{
		"heavier in water":  {func(w *density.Weighing) { w.Wet = 12.6 }, "heavier in water"},
		"no dry weight":     {func(w *density.Weighing) { w.Dry = 0 }, "dry weight"},
		"negative dry":      {func(w *density.Weighing) { w.Dry = -3 }, "dry weight"},
		"boiling water":     {func(w *density.Weighing) { w.Water = 95 }, "temperature"},
		"lies on bottom":    {func(w *density.Weighing) { w.Method, w.Wet = density.Cup, 12.5 }, "bottom"},
		"cup not lowered":   {func(w *density.Weighing) { w.Method, w.Wet = density.Cup, 0 }, "lower"},
		"too coarse":        {func(w *density.Weighing) { w.U = 0.5 }, "can’t tell"},
		"no uncertainty":    {func(w *density.Weighing) { w.U = 0 }, "uncertainty"},
		"unknown method":    {func(w *density.Weighing) { w.Method = "guess" }, "way of weighing"},
		"air like water":    {func(w *density.Weighing) { w.Air = 1 }, "air’s density"},
		"not a number":      {func(w *density.Weighing) { w.Dry = mass.Grams(math.NaN()) }, "dry weight"},
		"wet not a number":  {func(w *density.Weighing) { w.Wet = mass.Grams(math.NaN()) }, "weight in water"},
		"lighter than line": {func(w *density.Weighing) { w.Thread = 20 }, "thread"},
	} {
		w := good
		tc.change(&w)
		_, err := density.Of(w)
		f := fault.Of(err)
		if f == nil || f.Code != fault.BadInput || !strings.Contains(f.English(), tc.says) {
			t.Errorf("%s: %v, want a sentence with %q", name, err, tc.says)
		}
	}
}
