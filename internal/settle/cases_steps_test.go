package settle_test

import (
	"fmt"
	"testing"

	"panside/internal/mass"
)

// TestPileThatHardlyRests: coins of the kinds of this sitting come on a pile every second or
// so, each as the display has stood still for four to eight lines. Every one is counted, and
// none is told together with another.
func TestPileThatHardlyRests(t *testing.T) {
	for _, stands := range []int{4, 6, 8} {
		t.Run(fmt.Sprintf("%d lines", stands), func(t *testing.T) {
			p := scaleOf(t, hundredth, 7, 1, 1, 12)
			for range 4 {
				p.shows(3.11, 4).shows(0, 4).shows(2.5, 4).shows(0, 4)
			}
			number, level := p.est.Placement, 0.0
			before := len(p.all)
			for _, grams := range []float64{3.11, 2.5, 2.5, 3.11, 2.5, 3.11, 3.11} {
				p.sends(level + 0.7*grams)
				level += grams
				p.sends(again(level, stands)...)
			}
			p.sends(again(level, 30)...)
			if got := p.est.Placement - number; got != 7 && !(got == 6 && p.est.Phase == mass.PhaseWithheld) {
				t.Errorf("%d of 7 coins counted", got)
			}
			p.neverSettled(before)
		})
	}
}

// TestTwoMovementsAreOne: who holds every other coin half put down for a while puts down one
// coin each time, though the display stands still in between.
func TestTwoMovementsAreOne(t *testing.T) {
	for _, stands := range []int{4, 6} {
		t.Run(fmt.Sprintf("%d lines", stands), func(t *testing.T) {
			p := scaleOf(t, hundredth, 7, 1, 1, 12)
			for i := range 8 {
				number := p.est.Placement
				grams := []float64{3.11, 2.5}[i%2]
				if i > 2 {
					p.sends(0.4 * grams).sends(again(0.55*grams, stands)...)
				}
				p.sends(0.9*grams).shows(grams, 4).shows(0, 4)
				if got := p.est.Placement - number; got != 1 {
					t.Errorf("coin %d counted %d times", i, got)
				}
			}
		})
	}
}

// TestTwoMovementsFarApart: a coin that lies half put down for so long that it is told, and then
// comes on whole, is the one coin that it weighs like. Parts that weigh like coins of this sitting
// are two coins.
func TestTwoMovementsFarApart(t *testing.T) {
	for _, rate := range []float64{3, 7, 14} {
		for _, seconds := range []float64{1.3, 2, 5} {
			t.Run(fmt.Sprintf("%v s at %v a second", seconds, rate), func(t *testing.T) {
				p := scaleOf(t, hundredth, rate, 2, 1, max(4, int(rate)))
				for range 3 {
					p.shows(3.11, 4).shows(0, 4).shows(2.5, 4).shows(0, 4)
				}
				number := p.est.Placement
				p.shows(0.55*3.11, seconds).shows(3.11, 4)
				if seconds > 1.3 || p.est.Phase != mass.PhaseWithheld {
					p.settled(3.11, number+1)
				}
				p.shows(0, 4).isEmpty(number + 1)
				p.shows(2.5, seconds).on(2.5).shows(5.61, 4).shows(0, 4).isEmpty(number + 3)
			})
		}
	}
}

// TestWithheldOnAPile: a coin of a pile that can't be told is counted all the same; its number
// is free again once it is lifted, to be put on once more.
func TestWithheldOnAPile(t *testing.T) {
	p := scaleOf(t, hundredth, 2, 1, 1, 4)
	for range 3 {
		p.sends(again(2.5, 8)...).sends(again(0, 6)...)
	}
	withheld := func(number uint64) {
		t.Helper()
		if p.est.Phase != mass.PhaseWithheld || p.est.Placement != number {
			t.Fatalf("%+v, want withheld, number %d", p.est, number)
		}
	}
	p.sends(again(2.5, 8)...).settled(2.5, 4)
	p.sends(again(5.61, 8)...)
	withheld(5)
	p.on(5.61).sends(again(8.11, 8)...).settled(2.5, 6)
	p.sends(again(0, 6)...).isEmpty(6)

	p.sends(again(2.5, 8)...).settled(2.5, 7)
	p.sends(again(5.61, 8)...)
	withheld(8)
	p.sends(again(2.5, 8)...)
	p.sends(again(0, 6)...).isEmpty(7)
}

// TestExchangedInADip: one coin is exchanged for another in a moment that the display shows as a
// dip, not even to half of the coin behind a slow filter. Another weight is another coin; the
// same weight is one where the display fell for as long as that takes, and rose no higher.
func TestExchangedInADip(t *testing.T) {
	for name, c := range map[string]struct {
		step  mass.Decimal
		rate  float64
		shown []float64
	}{
		"two displays each":    {tenth, 2, []float64{1.0, 4.2, 5.7, 5.7, 4.3, 2.3, 4.5, 5.7, 5.7, 5.7, 5.7, 5.7, 5.7}},
		"down to a third":      {thousandth, 5.3, []float64{0.929, 2.482, 2.482, 2.482, 2.482, 2.482, 0.881, 0.860, 2.510, 2.488, 2.479, 2.479, 2.479, 2.479, 2.479}},
		"down to next to none": {hundredth, 5.7, []float64{2.10, 2.54, 2.53, 2.52, 2.52, 2.52, 0.10, 2.10, 2.35, 2.26, 2.26, 2.26, 2.26, 2.25, 2.25}},
		"another weight":       {hundredth, 5, []float64{2.1, 2.5, 2.5, 2.5, 2.5, 1.7, 2.6, 3.11, 3.11, 3.11, 3.11, 3.11, 3.11}},
	} {
		t.Run(name, func(t *testing.T) {
			p := newTape(t, c.step, c.rate)
			p.sends(again(0, int(5*c.rate))...).sends(c.shown...)
			last := c.shown[len(c.shown)-1]
			p.sends(again(last, int(4*c.rate))...)
			if p.est.Placement != 2 {
				t.Errorf("%d coins counted: %+v", p.est.Placement, p.est)
			}
			p.sends(again(0, int(5*c.rate))...).isEmpty(2)
		})
	}
}
