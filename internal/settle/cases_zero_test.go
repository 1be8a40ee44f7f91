package settle_test

import (
	"fmt"
	"testing"

	"panside/internal/mass"
)

// TestZeroSetAnew: the empty pan has crept to a few hundredths when the scale is
// off for a moment or long. It wakes at zero, and the coins that follow are
// weighed from there, in whatever pace.
func TestZeroSetAnew(t *testing.T) {
	for _, crept := range []float64{0.02, 0.03, -0.02} {
		for _, off := range []float64{0.4, 1.2, 2, 100} {
			for _, first := range []float64{0.1, 0.3, 1} {
				for _, empty := range []float64{0.8, 2} {
					t.Run(fmt.Sprintf("crept to %v, off %v s, first seen %v s, then %v s between coins", crept, off, first, empty), func(t *testing.T) {
						p := newTape(t, hundredth, 10)
						creep(p, crept)
						p.away(off).shows(0, first)
						before := p.est.Placement
						for i := range 5 {
							p.shows(3.1, 3).settled(3.1, before+uint64(i)+1)
							p.near(3.1, 0.006)
							p.shows(0, empty)
						}
					})
				}
			}
		}
	}
}

// TestZeroSetAnewUnderACoin: the same, but the coin lay there before the first
// line. Its own weight can't be told; those after it can, once the pan was seen
// empty.
func TestZeroSetAnewUnderACoin(t *testing.T) {
	for _, crept := range []float64{0.02, 0.03, -0.02} {
		t.Run(fmt.Sprint(crept), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			creep(p, crept)
			p.away(100).shows(3.1, 3)
			if p.est.Phase != mass.PhaseWithheld {
				t.Errorf("phase %s", p.est.Phase)
			}
			for range 4 {
				p.shows(0, 0.8).shows(3.1, 3).near(3.1, 0.006)
			}
		})
	}
}

// TestZeroThatFell: a zero that a working scale sets anew without going off is
// taken over where the empty pan stands still below the one before, at none.
func TestZeroThatFell(t *testing.T) {
	p := newTape(t, hundredth, 10)
	creep(p, 0.03)
	p.levels = append(p.levels, 0, 0.03)
	p.shows(3.13, 3).near(3.1, 0.01)
	for range 4 {
		p.shows(0, 1.2).shows(3.1, 3).near(3.1, 0.006)
	}
}

// creep takes the empty pan's display to grams, slowly.
func creep(p *tape, grams float64) {
	p.acts(20, func(s float64) float64 { return grams * s / 20 })
	p.shows(grams, 5)
	p.on(grams)
	p.isEmpty(0)
}

// near checks that a load rests and weighs so much, within less than a step.
func (p *tape) near(grams, within float64) *tape {
	p.t.Helper()
	if e := p.est; e.Phase != mass.PhaseSettled || float64(e.Mean) < grams-within || float64(e.Mean) > grams+within {
		p.t.Errorf("at %.2f s: %s %.4f ± %.4f g; want %.3f within %v", p.now, e.Phase, e.Mean, e.U, grams, within)
	}
	return p
}

// TestZeroAfterASwing: the empty pan swings, rests for a moment beside its zero, under a lit
// sign, and comes back to it. None of this is a load, and the next coin is weighed from what
// the display shows then.
func TestZeroAfterASwing(t *testing.T) {
	for _, beside := range []float64{-0.11, -0.06, 0.06, 0.1} {
		for _, rate := range []float64{4, 12} {
			t.Run(fmt.Sprintf("%v g at %v a second", beside, rate), func(t *testing.T) {
				p := scaleOf(t, hundredth, rate, 1, 1, 4)
				p.shows(2.5, 3).shows(0, 3)
				p.shows(beside, 1.5).shows(-beside/2, 0.4).shows(0, 2).isEmpty(1)
				p.shows(3.11, 3).settled(3.11, 2)
				p.shows(0, 2).isEmpty(2)
			})
		}
	}
}

// TestSwitchedOnUnderACoin: a scale is switched on while a coin comes down. It shows none for a
// line or two and has set its zero under a part of the coin, so the weight isn't told; on a pan
// that was seen empty for long enough it is.
func TestSwitchedOnUnderACoin(t *testing.T) {
	for _, lines := range []int{1, 2} {
		p := scaleOf(t, hundredth, 8, 1, 1, 4)
		p.shows(3.11, 3).settled(3.11, 1)
		p.away(6)
		before := len(p.all)
		p.sends(0.07).sends(again(0, lines)...).sends(again(2.33, 16)...)
		p.neverSettled(before)
	}
	p := scaleOf(t, hundredth, 8, 1, 1, 4)
	p.shows(3.11, 3).away(6)
	p.sends(0.07).shows(0, 1).shows(2.5, 3).settled(2.5, 2)
}
