package settle_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"panside/internal/mass"
)

// sends lets a scale send displays as they are.
func (p *tape) sends(displays ...float64) *tape {
	for _, x := range displays {
		p.display(x)
	}
	return p
}

// again repeats a display.
func again(display float64, n int) []float64 {
	all := make([]float64, n)
	for i := range all {
		all[i] = display
	}
	return all
}

// TestPileNeverLit: a pile's coins lie for a little less than the sign takes, so it never
// comes on. Each is told apart, since nobody holds one half put down for so long.
func TestPileNeverLit(t *testing.T) {
	for _, average := range []int{1, 4} {
		t.Run(fmt.Sprintf("average of %d", average), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, average, 1, 24)
			p.shows(2.5, 4).shows(0, 4)
			level, number := 0.0, p.est.Placement
			for i, grams := range []float64{2.5, 3.11, 5, 2.5, 3.11} {
				if level > 0 {
					p.on(level)
				}
				level += grams
				number++
				p.shows(level, 2.2+float64(average)/10)
				if e := p.est; e.Placement != number || math.Abs(float64(e.Mean)-grams) > 0.02 {
					t.Errorf("coin %d of %v g: %s, number %d, %.3f ± %.3f g", i, grams, e.Phase, e.Placement, e.Mean, e.U)
				}
			}
		})
	}
}

// TestFingerOnAnEmptyPan: a trembling finger presses for a moment and goes. The display
// never stands still, and what it shows is no coin of the sitting.
func TestFingerOnAnEmptyPan(t *testing.T) {
	for _, rate := range []float64{3.5, 6, 12} {
		for _, presses := range []float64{0.7, 1.2} {
			t.Run(fmt.Sprintf("%v s at %v a second", presses, rate), func(t *testing.T) {
				p := scaleOf(t, hundredth, rate, max(2, int(rate/3)), 1, 8)
				for range 4 {
					p.shows(3.11, 4).shows(0, 4)
				}
				before := p.est.Placement
				p.acts(presses, func(s float64) float64 { return 8 + 0.8*math.Sin(2*math.Pi*4.3*s) + 0.5*math.Sin(2*math.Pi*3.1*s) })
				p.shows(0, 5).isEmpty(before)
			})
		}
	}
}

// TestOneThatNeverSank: a coin comes, and the table is bumped; or a finger leaves it. The
// display never shows less than the coin for long, so there is no second one.
func TestOneThatNeverSank(t *testing.T) {
	for name, displays := range map[string][]float64{
		"bumped":           {0.41, 2.32, 2.55, 2.43, 2.64, 2.56, 2.55},
		"bumped from over": {0.02, 2.06, 3.10, 3.24, 2.91, 3.12, 3.10, 3.09},
		"a finger leaves":  {16.42, 16.50, 2.27, 2.30},
	} {
		t.Run(name, func(t *testing.T) {
			for _, rate := range []float64{2.4, 3.3} {
				p := scaleOf(t, hundredth, rate, 1, 1, 8)
				for range 3 {
					p.sends(again(2.5, 12)...).sends(again(0, 12)...)
				}
				before := p.est.Placement
				p.sends(displays...).sends(again(displays[len(displays)-1], 12)...)
				p.settled(displays[len(displays)-1], before+1)
				p.sends(again(0, 12)...).isEmpty(before + 1)
			}
		})
	}
}

// TestExchangedWhileTheDisplayWaits: a feeder exchanges coins between two displays,
// 0.37 s apart. What differs from the coin before is another coin of the sitting, and
// not that coin and 0.77 g.
func TestExchangedWhileTheDisplayWaits(t *testing.T) {
	p := scaleOf(t, hundredth, 2.7, 1, 1, 3)
	for _, grams := range []float64{2.3, 3.07, 2.5, 3.09, 2.3} {
		p.sends(again(grams, 6)...).sends(again(0, 4)...)
	}
	for _, grams := range []float64{2.5, 3.07, 2.3, 3.09} {
		p.sends(again(grams, 6)...)
		if e := p.est; e.Phase == mass.PhaseSettled && math.Abs(float64(e.Mean)-grams) > 0.02 {
			t.Errorf("settled %.3f ± %.3f of a coin of %v g", e.Mean, e.U, grams)
		}
	}
}

// TestPileOfKnownCoins: lines every half second can't tell a coin on top from one put in
// its place. The second of a pile is withheld; by the third, it is a pile.
func TestPileOfKnownCoins(t *testing.T) {
	p := scaleOf(t, hundredth, 2, 1, 1, 4)
	for range 3 {
		p.sends(again(2.5, 8)...).sends(again(0, 6)...)
		p.sends(again(3.11, 8)...).sends(again(0, 6)...)
	}
	p.sends(again(2.5, 8)...).settled(2.5, 7)
	p.sends(again(5.61, 8)...)
	if p.est.Phase != mass.PhaseWithheld {
		t.Errorf("the second: %+v", p.est)
	}
	number := p.est.Placement
	p.on(5.61).sends(again(8.11, 8)...).settled(2.5, number+1)
	p.on(8.11).sends(again(11.22, 8)...).settled(3.11, number+2)
}

// TestKnockedBeforeItIsTold: a coin rests under a slow sign, not called settled yet, and
// the table is knocked. It isn't taken for nothing meanwhile.
func TestKnockedBeforeItIsTold(t *testing.T) {
	p := scaleOf(t, hundredth, 4, 1, 1, 14)
	for range 3 {
		p.shows(3.11, 6).shows(0, 5)
	}
	p.shows(3.11, 2.5)
	before := len(p.all)
	p.sends(3.07, 3.15, 3.11, 3.11, 3.11)
	for i, e := range p.all[before:] {
		if e.Phase == mass.PhaseMoving && math.Abs(float64(e.Mean)-3.11) > 1.96*float64(e.U)+0.05 {
			t.Errorf("line %d: %.3f ± %.3f g of a coin of 3.11 g", i, e.Mean, e.U)
		}
	}
}

// TestRareLines: a scale talks every two and a half seconds. That is no gap, and every coin
// is counted and weighed.
func TestRareLines(t *testing.T) {
	p := scaleOf(t, hundredth, 0.4, 1, 1, 1)
	p.sends(0, 0, 0, 0, 0, 0)
	for i, grams := range []float64{3.11, 2.5, 3.08, 5} {
		p.sends(again(grams, 5)...).settled(grams, uint64(i)+1)
		p.sends(again(0, 5)...).isEmpty(uint64(i) + 1)
	}
}

// TestMovingWithoutAWeight: a scale says that its load moves and no weight with it, as one
// does that shows its unit at rest only and whose unit can't be relied on any more. What
// rested is no longer told.
func TestMovingWithoutAWeight(t *testing.T) {
	p := scaleOf(t, hundredth, 5, 1, 1, 3)
	p.shows(2.5, 4).settled(2.5, 1)
	if e := p.tracker.Feed(mass.Reading{At: epoch.Add(time.Duration((p.now + p.dt) * 1e9)), Status: mass.StatusMoving}); e.Phase != mass.PhaseNone {
		t.Errorf("%+v", e)
	}
}

// TestALoadThatCreepsIsCounted: a coin is pressed as it lands, then lies for more than a second on
// a fine scale that creeps by a step or two a line, and is taken before it rests. No finger
// stands so calmly.
func TestALoadThatCreepsIsCounted(t *testing.T) {
	p := scaleOf(t, thousandth, 4, 1, 1, 8)
	p.sends(0.4, 1.93, 3.44, 4.91, 5.65, 5.04, 4.05, 3.08, 2.387, 2.382, 2.379, 2.378, 2.377, 2.376, 2.375)
	p.sends(2.29, 1.79, 1.26, 0.73, 0.21).shows(0, 4).isEmpty(1)
}
