package settle_test

import (
	"fmt"
	"math"
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

// TestAHandThatLetsGo: a hand leans on a coin of zinc, and the display falls from there past one of
// bronze. While it moves away from a forecast, that is worth little.
func TestAHandThatLetsGo(t *testing.T) {
	p := scaleOf(t, hundredth, 20, 1, 1, 7)
	p.sends(0.01, 0.09, 0.36, 0.88, 1.68, 2.70, 3.84, 4.93, 5.90, 6.73, 7.42, 7.98, 8.43, 8.78, 9.07, 9.31, 9.54, 9.78, 9.99,
		10.14, 10.24, 10.25, 10.03, 9.54, 8.86, 8.03, 7.12, 6.31, 5.68, 5.19, 4.79, 4.47, 4.21, 4.01, 3.84, 3.71, 3.61,
		3.52, 3.45, 3.40, 3.36, 3.32, 3.29, 3.27, 3.25, 3.24, 3.23, 3.22, 3.21, 3.20, 3.20, 3.19, 3.19, 3.19, 3.19)
	p.sends(again(3.18, 18)...)
	p.sends(3.17, 3.09, 2.91, 2.62, 2.26, 1.86, 1.48, 1.17, 0.94, 0.75, 0.60, 0.48, 0.39, 0.31, 0.25, 0.20, 0.16, 0.13, 0.10,
		0.08, 0.06, 0.05, 0.04, 0.03, 0.03, 0.02, 0.02)
	p.sends(again(0.01, 7)...).sends(again(0, 21)...)
	for _, z := range []float64{0.04, 0.24, 0.62, 1.16, 1.79, 2.47, 3.06, 3.48, 3.79, 4.01, 4.16, 4.27, 4.37, 4.46, 4.57, 4.66,
		4.76, 4.83, 4.88, 4.92, 4.94, 4.95, 4.90, 4.77, 4.55, 4.28, 3.97, 3.68, 3.44, 3.26, 3.11, 2.99, 2.90, 2.82, 2.76,
		2.71, 2.67, 2.64, 2.62, 2.60, 2.58, 2.57, 2.56, 2.55, 2.54} {
		p.sends(z)
		if e := p.est; math.Abs(float64(e.Mean)-3.11) < 0.2 && e.U < 0.06*e.Mean {
			t.Errorf("%.3f ± %.3f g at a display of %v", e.Mean, e.U, z)
		}
	}
}
