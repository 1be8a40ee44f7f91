package settle_test

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/mass"
	"panside/internal/settle"
)

// TestHalfPutDownNamesNoCent: a cent that stands for as long as a hand may hold it at the
// weight of the other alloy's, four fifths down or under a light finger, isn't named
// by it, on a new scale or on one that a few coins lay on.
func TestHalfPutDownNamesNoCent(t *testing.T) {
	for _, grams := range []float64{bronze, zinc} {
		for _, rate := range []float64{5, 20} {
			for _, known := range []int{0, 4} {
				t.Run(fmt.Sprintf("%v g at %v a second, %d coins before", grams, rate, known), func(t *testing.T) {
					p := scaleOf(t, hundredth, rate, 1, 1, int(2*rate))
					for range known {
						p.shows(0, 3).shows(5, 4)
					}
					p.shows(0, 3)
					before := len(p.all)
					p.shows(bronze+zinc-grams, 0.9)
					for i, e := range p.all[before:] {
						if name := alloy(e); name != "" {
							t.Fatalf("line %d is %s: %.3f ± %.3f, half at %.4f, else ± %.3f", i, name, e.Mean, e.U, e.Half, e.WholeU)
						}
					}
					p.shows(grams, 4).settled(grams, uint64(known+1))
				})
			}
		}
	}
}

// TestHalfOnlyOnTheWay: what rests has no chance of a half, and on its way U makes
// allowance for it: it is above what it is without.
func TestHalfOnlyOnTheWay(t *testing.T) {
	inDoubt := func(e mass.Estimate) bool { return e.Half != 0 || e.WholeU != 0 }
	rapid.Check(t, func(r *rapid.T) {
		for i, e := range feed(settle.New(settle.Properties{}), placements(r).readings) {
			if inDoubt(e) && (e.Phase != mass.PhaseMoving || !(e.Half > 0 && e.Half < 1) || !(e.WholeU > 0 && e.WholeU < e.U)) {
				r.Fatalf("line %d: %+v", i, e)
			}
		}
	})
	p := scaleOf(t, hundredth, 10, 1, 1, 20)
	if p.shows(0, 3).shows(3.1, 1); !slices.ContainsFunc(p.all, inDoubt) {
		t.Error("no load was ever in doubt, so nothing was tested")
	}
}

// TestForecastHasNoHalf: before the display stands still, the wide uncertainty alone says
// what may be wrong with what is foretold.
func TestForecastHasNoHalf(t *testing.T) {
	p := scaleOf(t, hundredth, 10, 1, 1, 20)
	p.shows(0, 3)
	before := len(p.all)
	for _, grams := range []float64{0.35, 1.21, 1.86, 2.29, 2.58, 2.77, 2.90, 2.98, 3.03} {
		p.shows(grams, 0.1)
	}
	told := 0
	for i, e := range p.all[before:] {
		if e.Half != 0 || e.WholeU != 0 {
			t.Errorf("line %d: half at %.4f", i, e.Half)
		}
		if e.HasLoad() {
			told++
		}
	}
	if told < 3 {
		t.Errorf("%d lines told of a load", told)
	}
	still := len(p.all)
	p.shows(3.1, 1)
	if !slices.ContainsFunc(p.all[still:], func(e mass.Estimate) bool { return e.Half > 0 }) {
		t.Error("a display that stands still has no half either, so nothing was tested")
	}
}

// TestHalfIsNotTold: coins of two kinds were weighed. A display that stands for a moment at less
// than the lightest, on a scale without a sign, is taken for one of them half put down; one that
// stands for as long as nobody holds a coin is told.
func TestHalfIsNotTold(t *testing.T) {
	p := scaleOf(t, hundredth, 20, 16, 1, 0)
	for range 3 {
		p.shows(3.11, 3).shows(0, 3).shows(2.5, 3).shows(0, 3)
	}
	before, number := len(p.all), p.est.Placement
	p.shows(1.2, 1.5).neverSettled(before)
	p.shows(2.5, 3).settled(2.5, number+1)
	p.shows(0, 3).shows(1.2, 3).settled(1.2, number+2)
}

// TestWeightThatTheDisplayLeaves: as the sign goes out, the display moves by two coarse steps.
// The new one isn't told as the weight that rested.
func TestWeightThatTheDisplayLeaves(t *testing.T) {
	p := scaleOf(t, tenth, 10, 1, 1, 5)
	p.shows(2.5, 3).shows(0, 3)
	p.sends(0.8, 1.7).sends(again(2.6, 6)...)
	before := len(p.all)
	p.sends(2.8).neverSettled(before)
}
