package settle_test

import (
	"flag"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/mass"
	"panside/internal/settle"
)

// One evening takes a hundred readings: a few of them each run are enough, and
// -rapid.checks asks for more.
func init() {
	checks := "20"
	if slow {
		checks = "5"
	}
	if err := flag.Set("rapid.checks", checks); err != nil {
		panic(err)
	}
}

// placements draws an evening in short: loads and how long each stays.
func placements(t *rapid.T) *lag {
	l := newLag()
	l.tau = rapid.Float64Range(0.05, 0.6).Draw(t, "tau")
	l.run(2, 0.1)
	for range rapid.IntRange(1, 4).Draw(t, "loads") {
		l.load = float64(rapid.IntRange(50, 3000).Draw(t, "centigrams")) / 100
		l.run(rapid.Float64Range(0.2, 4).Draw(t, "seconds"), rapid.SampledFrom([]float64{0.08, 0.1, 0.2}).Draw(t, "dt"))
		if rapid.Bool().Draw(t, "lift") {
			l.load = 0
			l.run(rapid.Float64Range(0.2, 4).Draw(t, "empty"), 0.1)
		}
	}
	return l
}

// TestTimeOfDayDoesNotMatter: the same lines at another time, the same
// estimates.
func TestTimeOfDayDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placements(t)
		first := feed(settle.New(settle.Properties{}), l.readings)
		shift := time.Duration(rapid.Int64Range(-1e18, 1e18).Draw(t, "shift"))
		for i := range l.readings {
			l.readings[i].At = l.readings[i].At.Add(shift)
		}
		second := feed(settle.New(settle.Properties{}), l.readings)
		for i := range first {
			if first[i] != second[i] {
				t.Fatalf("line %d: %+v, shifted %+v", i, first[i], second[i])
			}
		}
	})
}

// TestUnitDoesNotMatter: milligrams or grams, the same estimates but for the
// last bits of a conversion.
func TestUnitDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placements(t)
		first := feed(settle.New(settle.Properties{}), l.readings)
		for i, r := range l.readings {
			mg := mass.NewDecimal(int64(math.Round(r.Quantity.Value.Float64()*1000)), 0)
			l.readings[i].Quantity = mass.Quantity{Value: mg, Unit: mass.Milligram}
			l.readings[i].Resolution = mass.MustDecimal("10")
		}
		second := feed(settle.New(settle.Properties{}), l.readings)
		for i, e := range first {
			if f := second[i]; e.Phase != f.Phase || e.Placement != f.Placement || math.Abs(float64(e.Mean-f.Mean)) > 1e-6 {
				t.Fatalf("line %d: %+v in g, %+v in mg", i, e, f)
			}
		}
	})
}

// TestCupDoesNotMatter: with a cup on the pan from the start, every coin that
// comes to rest weighs what it weighs without.
func TestCupDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cup := float64(rapid.IntRange(500, 15000).Draw(t, "cup")) / 100
		grams := float64(rapid.IntRange(50, 3000).Draw(t, "centigrams")) / 100
		weigh := func(base float64) mass.Estimate {
			l := newLag()
			l.load, l.shown = base, base
			l.run(3, 0.1)
			l.load += grams
			l.run(5, 0.1)
			return last(feed(settle.New(settle.Properties{}), l.readings))
		}
		bare, cupped := weigh(0), weigh(cup)
		if bare.Phase != mass.PhaseSettled || cupped.Phase != mass.PhaseSettled || math.Abs(float64(bare.Mean-cupped.Mean)) > 0.011 {
			t.Fatalf("%.2f g: %+v on the pan, %+v in a cup of %.2f g", grams, bare, cupped, cup)
		}
	})
}

// TestAnyLines: whatever comes, nothing breaks, and no estimate claims more
// than the scale could at best.
func TestAnyLines(t *testing.T) {
	statuses := []mass.Status{mass.StatusStable, mass.StatusMoving, mass.StatusOver, mass.StatusUnder, mass.StatusZero, mass.StatusUnknown, mass.StatusError}
	units := []mass.Unit{mass.Gram, mass.Milligram, mass.Kilogram, mass.Grain, mass.Pound, "stone", ""}
	rapid.Check(t, func(t *rapid.T) {
		tr := settle.New(settle.Properties{})
		at := epoch
		places := uint8(rapid.IntRange(0, 6).Draw(t, "places"))
		coef := int64(0)
		for range rapid.IntRange(1, 60).Draw(t, "lines") {
			at = at.Add(time.Duration(rapid.OneOf(
				rapid.Just(int64(1e8)), rapid.Int64Range(0, 3e8), rapid.Int64Range(-1e12, 1e12)).Draw(t, "wait")))
			coef = rapid.OneOf(
				rapid.Just(coef), rapid.Int64Range(coef-3, coef+3), rapid.Int64Range(-3000, 3000),
				rapid.Int64Range(-1e17, 1e17)).Draw(t, "coef")
			r := mass.Reading{
				At:       at,
				Status:   rapid.SampledFrom(statuses).Draw(t, "status"),
				HasValue: rapid.IntRange(0, 9).Draw(t, "value") > 0,
				Quantity: mass.Quantity{
					Value: mass.NewDecimal(coef, places),
					Unit:  units[max(0, rapid.IntRange(-10, len(units)-1).Draw(t, "unit"))],
				},
			}
			if rapid.Bool().Draw(t, "resolution") {
				r.Resolution = mass.NewDecimal(rapid.Int64Range(-1, 5).Draw(t, "step"), places)
			}
			e := tr.Feed(r)
			if e != tr.Estimate() {
				t.Fatal("Feed and Estimate differ")
			}
			m, u, d := float64(e.Mean), float64(e.U), float64(e.Resolution)
			if math.IsNaN(m+u+float64(e.Pile)) || math.IsInf(m+u+float64(e.Pile), 0) {
				t.Fatalf("after %+v: %+v", r, e)
			}
			if e.HasLoad() && u < d/math.Sqrt(6) {
				t.Fatalf("u = %v on a step of %v", u, d)
			}
			if !e.HasLoad() && (m != 0 || u != 0) {
				t.Fatalf("phase %s with a mass: %+v", e.Phase, e)
			}
		}
	})
}

// TestSettledIsWhatIsShown: when all rests, the pile is what the display shows,
// whatever happened before, or nothing is told.
func TestSettledIsWhatIsShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placements(t)
		l.run(6, 0.1)
		e := last(feed(settle.New(settle.Properties{}), l.readings))
		shows := l.line().Quantity.Value.Float64()
		switch {
		case shows < 0.04 && e.Phase != mass.PhaseEmpty:
			t.Fatalf("an empty pan is %+v", e)
		case shows >= 0.5 && e.Phase == mass.PhaseWithheld:
			// Loads came so fast that none rested before the next.
		case shows >= 0.5 && e.Phase != mass.PhaseSettled:
			t.Fatalf("%.2f g at rest is %+v", shows, e)
		case math.Abs(float64(e.Pile)-shows) > 0.021 && shows >= 0.5:
			t.Fatalf("%.2f g at rest is %+v", shows, e)
		}
	})
}

// TestMeasuredScale: a check with weights narrows U, and never below its own terms.
func TestMeasuredScale(t *testing.T) {
	l := newLag()
	l.run(2, 0.1)
	l.load = 3.11
	l.run(6, 0.1)
	unproven := last(feed(settle.New(settle.Properties{}), l.readings))
	own := mass.Scale{Repeatability: 0.002, Calibration: 0.001, Resolution: 0.01}
	measured := last(feed(settle.New(settle.Properties{Scale: own, Measured: true}), l.readings))
	if measured.U >= unproven.U || measured.U < own.U() || measured.U > 1.05*own.U() {
		t.Errorf("u %.5f measured, %.5f unproven, %.5f the scale's own", measured.U, unproven.U, own.U())
	}
	if want := mass.UnprovenScale(0.01, 3.11).U(); unproven.U < want || unproven.U > 1.05*want {
		t.Errorf("u %.5f unproven, want just above %.5f", unproven.U, want)
	}
}
