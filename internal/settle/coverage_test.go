package settle_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestCoverage proves that Mean ± 1.96·U holds the mass at least 90 % of the
// time at every age of the estimate, and 94 to 99 % at all ages together (a forecast is kept wide, since
// a wrong call is worse than a late one): over varied scales, coin masses and ways of
// putting coins down, bumps, slow hands, double placements and swaps included.
//
// The weight to be held is the coin's true mass. The simulated scales err by as
// much as the tracker is told they do, so that the scale's part of U is tried
// together with the settling part. Each coin counts once at each age. The first
// coins on each scale, of which nothing is known yet, are in it.
//
// PANSIDE_LONG runs 10 000 placements; the short run allows for its own scatter.
func TestCoverage(t *testing.T) {
	trackers, each := 24, 25
	if long {
		trackers = 400
	} else if slow {
		trackers = 5
	}
	ages := []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4}
	type bin struct {
		n, held   int
		logU, err float64
	}
	bins := make([]bin, len(ages))
	placements, misnumbered := 0, 0
	for seed := range trackers {
		b := newTable(variety(uint64(10_000 + seed)))
		for range each {
			p := b.play(b.draw())
			placements++
			if !p.rightNumbers() {
				misnumbered++
			}
			for _, c := range p.coins {
				k := 0
				for _, g := range c.seen {
					for k < len(ages) && g.age >= ages[k]-1e-9 {
						if off := math.Abs(float64(g.Mean) - c.grams); k+1 == len(ages) || g.age < ages[k+1] {
							bins[k].n++
							bins[k].err += off
							bins[k].logU += math.Log(float64(g.U))
							if off <= 1.96*float64(g.U) {
								bins[k].held++
							}
						}
						k++
					}
				}
			}
		}
	}
	var table strings.Builder
	fmt.Fprintf(&table, "%d placements on %d scales, %d of them misnumbered\n  age s  coins  held %%   U g (geometric mean)   |error| g (mean)\n", placements, trackers, misnumbered)
	for k, q := range bins {
		if q.n == 0 {
			continue
		}
		n := float64(q.n)
		fmt.Fprintf(&table, "  %5.2f  %5d  %6.2f   %20.4f   %16.4f\n", ages[k], q.n, 100*float64(q.held)/n, math.Exp(q.logU/n), q.err/n)
	}
	t.Log(table.String())
	n, held := 0, 0
	for k, q := range bins {
		n, held = n+q.n, held+q.held
		if q.n < 100 {
			continue
		}
		slack := 0.0
		if !long {
			slack = 4 * math.Sqrt(0.9*0.1/float64(q.n)) // standard deviations of a share of 90 %
		}
		if share := float64(q.held) / float64(q.n); share < 0.9-slack {
			t.Errorf("at %.2f s the interval holds the weight %.2f %% of the time", ages[k], 100*share)
		}
	}
	if share := float64(held) / float64(n); share < 0.94 || share > 0.99 {
		t.Errorf("at all ages together the interval holds the weight %.2f %% of the time", 100*share)
	}
	if float64(misnumbered) > 0.02*float64(placements) {
		t.Errorf("%d of %d placements have a wrong number of numbers", misnumbered, placements)
	}
}
