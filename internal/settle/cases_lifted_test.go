package settle_test

import (
	"fmt"
	"testing"

	"panside/internal/mass"
)

// TestSwapBesideALiftedCup: a tared cup stands beside the scale, which shows less
// than nothing for its empty pan. A coin there that is swapped for another within
// a moment is told from that pan, not from the coin before.
func TestSwapBesideALiftedCup(t *testing.T) {
	for _, average := range []int{1, 4} {
		for _, gap := range []float64{0.2, 0.3, 0.4} {
			for _, second := range []float64{5.61, 2.51} {
				t.Run(fmt.Sprintf("%v g after %v s, average of %d", second, gap, average), func(t *testing.T) {
					p := newTape(t, hundredth, 10)
					p.average = average
					p.shows(-25, 3).on(-25)
					p.shows(-22.5, 3).settled(2.5, 1)
					p.shows(-25, gap).shows(-25+second, 3).settled(second, 2)
					p.shows(-25, 3).isEmpty(2)
				})
			}
		}
	}
}

// TestKnockBesideALiftedCup: the pan is empty, whatever it shows, and stays so.
func TestKnockBesideALiftedCup(t *testing.T) {
	for _, average := range []int{1, 4, 8} {
		t.Run(fmt.Sprintf("average of %d", average), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			p.average = average
			p.shows(-25, 3).on(-25)
			before := len(p.all)
			p.knocked(-25, 3).shows(-25, 3).isEmpty(0)
			for i, e := range p.all[before:] {
				if e.Phase == mass.PhaseMoving && e.Mean < -1 {
					t.Fatalf("line %d: %.2f g lie there, which is the cup once more", i, e.Mean)
				}
			}
			p.shows(-21.89, 3).settled(3.11, 1)
		})
	}
}
