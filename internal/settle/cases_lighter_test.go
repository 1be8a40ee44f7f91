package settle_test

import (
	"fmt"
	"testing"

	"panside/internal/mass"
	"panside/internal/settle"
)

// scaleOf is an empty pan of a scale that differs from newTape's from its first
// line on, seen for two seconds.
func scaleOf(t *testing.T, step mass.Decimal, perSecond float64, average, lines, signs int) *tape {
	p := &tape{t: t, step: step, dt: 1 / perSecond, repeat: lines, average: average, signs: signs, tracker: settle.New(settle.Properties{}), levels: []float64{0}}
	return p.shows(0, 2)
}

// TestAHandLeavesTheLoad: a hand rests on a coin for so long that all stands still,
// and goes. Nothing gets lighter by itself: the coin is the same, by what is left.
func TestAHandLeavesTheLoad(t *testing.T) {
	for _, average := range []int{1, 4, 8} {
		t.Run(fmt.Sprintf("alone, average of %d", average), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, average, 1, 8)
			p.shows(3.3, 3).shows(3.11, 3).settled(3.11, 1)
			p.shows(0, 3).isEmpty(1)
		})
	}
	for _, average := range []int{1, 4} {
		t.Run(fmt.Sprintf("on a pile, average of %d", average), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, average, 1, 8)
			p.shows(2.5, 3).on(2.5)
			p.shows(5.8, 1.3).shows(5.61, 3).settled(3.11, 2)
		})
	}
}

// TestTooShortForASwap: nobody takes a coin and puts down the next within a tenth of
// a second. The pan was knocked, and the coin is the same.
func TestTooShortForASwap(t *testing.T) {
	for _, average := range []int{1, 4} {
		for _, then := range []float64{2.5, 2.52} {
			t.Run(fmt.Sprintf("%v g, average of %d", then, average), func(t *testing.T) {
				p := scaleOf(t, hundredth, 10, average, 1, 8)
				p.shows(2.5, 3).shows(0, 0.1).shows(then, 3).settled(then, 1)
			})
		}
	}
}

// TestAKnockSwingsToBothSides: however deep the display falls for a moment, it rises
// as high before or after, which a swap for a like coin doesn't.
func TestAKnockSwingsToBothSides(t *testing.T) {
	for _, height := range []float64{20, 30, 40} {
		t.Run(fmt.Sprint(height), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, 1, 1, 0)
			p.shows(3.11, 3).knocked(3.11, height).shows(3.11, 3).settled(3.11, 1)
		})
	}
}

// TestSwapBehindASlowFilter: the mean of eight displays at five a second hardly shows
// that the pan was empty. The heavier coin that lies there then lies there alone.
func TestSwapBehindASlowFilter(t *testing.T) {
	p := scaleOf(t, hundredth, 5, 8, 1, 8)
	p.shows(2.5, 3).settled(2.5, 1)
	p.shows(0, 0.4).shows(5.6, 3).settled(5.6, 2)
	p.shows(0, 3).isEmpty(2)
}

// TestNextAfterOneThatNeverRested: a coin is taken before a slow scale came to rest
// on it, and the next put down before it came back to zero.
func TestNextAfterOneThatNeverRested(t *testing.T) {
	p := scaleOf(t, hundredth, 5, 8, 1, 8)
	p.shows(2.5, 1.2).shows(0, 0.6).shows(2.5, 3).settled(2.5, 2)
	p.shows(0, 3).isEmpty(2)
}
