package settle_test

import (
	"fmt"
	"math"
	"testing"

	"panside/internal/mass"
)

// TestAfterAWithheldCoin: of two coins that came too fast the weight is
// withheld; the level that they rest at is known, so the next coin is weighed.
func TestAfterAWithheldCoin(t *testing.T) {
	p := newTape(t, hundredth, 10)
	p.average, p.signs = 8, 6
	p.shows(0, 3).shows(5, 3).on(5).shows(7.5, 1.2).shows(10.61, 3)
	if p.est.Phase != mass.PhaseWithheld {
		t.Fatalf("two at once: %+v", p.est)
	}
	number := p.est.Placement
	p.on(10.61).shows(13.11, 3)
	p.settled(2.5, number+1)
	p.on(13.11).shows(16.22, 3)
	p.settled(3.11, number+2)
}

// TestPileUnderASlowSign: the sign comes on 3 s after the display stands; coins
// that come every 3 s are told apart though it never does.
func TestPileUnderASlowSign(t *testing.T) {
	p := newTape(t, hundredth, 10)
	p.average, p.signs = 4, 30
	p.shows(0, 5).shows(5, 6).shows(0, 6).shows(2.5, 6)
	number, level := p.est.Placement, 2.5
	for range 6 {
		p.on(level)
		level += 3.1
		p.shows(level, 3)
		number++
		if p.est.Placement != number || math.Abs(float64(p.est.Mean)-3.1) > 0.02 {
			t.Fatalf("at %.2f: number %d, %.3f g; want %d, 3.10 g", level, p.est.Placement, p.est.Mean, number)
		}
	}
}

// TestSwapAtTheBottomOfAnAverage: an average over 0.8 to 1.6 s shows a swap of
// 0.1 to 0.5 s as a display that stands still for a while at a part of the coin.
// Nothing but the two coins is ever told as settled.
func TestSwapAtTheBottomOfAnAverage(t *testing.T) {
	for _, samples := range thin([]int{8, 12, 16}, 3) {
		for _, empty := range thin([]float64{0.2, 0.1, 0.3, 0.4, 0.5}, 3) {
			for _, next := range []float64{2.5, 3.11} {
				t.Run(fmt.Sprintf("average of %d, %v s empty, %v g", samples, empty, next), func(t *testing.T) {
					p := newTape(t, hundredth, 10)
					p.average, p.signs = samples, 4
					p.shows(0, 4).shows(3.11, 5).shows(0, 4).shows(3.11, 5)
					before := len(p.all)
					p.shows(0, empty).shows(next, 5)
					for i, e := range p.all[before:] {
						if g := float64(e.Mean); e.Phase == mass.PhaseSettled && math.Abs(g-next) > 0.02 && math.Abs(g-3.11) > 0.02 {
							t.Fatalf("line %d: settled %.3f", i, g)
						}
					}
				})
			}
		}
	}
}

// TestPileExchanged: a pile is taken and another coin put down 0.3 s later, which
// a slow filter shows as a dip. It isn't a coin less, whatever the difference.
func TestPileExchanged(t *testing.T) {
	for _, samples := range []int{4, 8} {
		p := newTape(t, hundredth, 10)
		p.average, p.signs = samples, 6
		p.shows(0, 3).shows(2.5, 3).on(2.5).shows(5, 3).shows(0, 0.3).shows(3.11, 5)
		if p.est.Phase == mass.PhaseSettled && p.est.Mean < 0 {
			t.Errorf("average of %d: settled %.3f", samples, p.est.Mean)
		}
	}
}

// TestSwapUnderAFinger: a finger presses before it lifts a coin, and a heavier one comes
// before a slow filter has fallen below the first. The display rose, fell and
// rose; the second is not told as one on top of the first.
func TestSwapUnderAFinger(t *testing.T) {
	for _, rate := range []float64{2.5, 5, 10} {
		for _, presses := range []float64{3, 6} {
			t.Run(fmt.Sprintf("%v g at %v a second", presses, rate), func(t *testing.T) {
				p := scaleOf(t, hundredth, rate, int(math.Round(rate)), 1, 8)
				p.shows(2.5, 5).shows(0, 4).shows(2.5, 5)
				p.shows(2.5+presses, 0.4).shows(0, 0.4).shows(5, 6)
				for _, e := range p.all[len(p.all)-2:] {
					if e.Phase == mass.PhaseSettled && math.Abs(float64(e.Mean)-5) > 0.02 {
						t.Fatalf("settled %.3f", e.Mean)
					}
				}
				n := p.shows(0, 4).est.Placement
				p.shows(2.5, 5).settled(2.5, n+1)
				p.on(2.5).shows(5, 5).settled(2.5, n+2)
			})
		}
	}
}

// TestExchangedBetweenTwoLines: lines come so seldom that one coin may be exchanged for
// a heavier one between two of them. That the display only rose tells nothing. With
// more of them it is one on top.
func TestExchangedBetweenTwoLines(t *testing.T) {
	for _, rate := range []float64{1, 2} {
		p := scaleOf(t, hundredth, rate, 1, 1, 3)
		p.shows(0, 6).shows(2.5, 6).settled(2.5, 1)
		before := len(p.all)
		p.shows(5, 6).neverSettled(before + 1)
		p.shows(0, 6).shows(5, 6).settled(5, p.est.Placement)
	}
	p := scaleOf(t, hundredth, 5, 1, 1, 4)
	p.shows(0, 6).shows(2.5, 6).settled(2.5, 1)
	p.on(2.5).shows(5, 6).settled(2.5, 2)
}

// TestPileAtTheStart: a sitting begins with a pile, so nothing is known of its coins. The second
// may be the rest of the first; a third tells of a pile, and all are counted.
func TestPileAtTheStart(t *testing.T) {
	for _, seconds := range []float64{1.3, 1.6, 2, 3} {
		t.Run(fmt.Sprintf("every %v s", seconds), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, 3, 1, 40)
			level := 0.0
			for _, grams := range []float64{2.5, 2.52, 3.11, 2.49, 3.09} {
				level += grams
				p.shows(level, seconds).on(level)
			}
			p.shows(level, 3)
			if n := p.est.Placement; n != 5 {
				t.Errorf("%d of 5 coins counted", n)
			}
		})
	}
}
