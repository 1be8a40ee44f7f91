package settle_test

import (
	"fmt"
	"testing"

	"panside/internal/mass"
)

// neverSettled checks that no line from the n-th on told a weight.
func (p *tape) neverSettled(n int) {
	p.t.Helper()
	for i, e := range p.all[n:] {
		if e.Phase == mass.PhaseSettled {
			p.t.Fatalf("line %d: settled %.3f ± %.3f, which can't be told", n+i, e.Mean, e.U)
		}
	}
}

// TestTwoCoinsOrOneInTwoMovements: a coin that comes before the one below it has
// rested may as well be the rest of one that was put down in two movements. The
// sum is nobody's weight.
func TestTwoCoinsOrOneInTwoMovements(t *testing.T) {
	for _, scale := range []struct {
		step           mass.Decimal
		rate           float64
		average, lines int
		signs          int
		first          float64 // seconds for which the first lies alone
	}{
		{hundredth, 10, 8, 1, 8, 1.1},
		{hundredth, 5, 8, 1, 8, 2.5},
		{tenth, 30, 8, 3, 0, 1.2}, // two loads, by their quiet, and no sign
	} {
		t.Run(fmt.Sprintf("average of %d at %v a second, %v s", scale.average, scale.rate, scale.first), func(t *testing.T) {
			p := scaleOf(t, scale.step, scale.rate, scale.average, scale.lines, scale.signs)
			p.shows(0, 1).shows(3.1, 4).shows(0, 3).shows(5, 4).shows(0, 3)
			before := len(p.all)
			p.shows(2.5, scale.first).shows(5, 3).neverSettled(before)
			if p.est.Phase != withheld {
				t.Errorf("phase %s", p.est.Phase)
			}
			n := p.shows(0, 3).est.Placement
			if p.est.Phase != mass.PhaseEmpty {
				t.Errorf("phase %s once all is gone", p.est.Phase)
			}
			p.shows(3.1, 4).settled(3.1, n+1)
		})
	}
}

// TestFoundOnADriftedZero: the zero had drifted by steps when the lines stopped. A
// scale that was switched off meanwhile has set itself to zero, one that wasn't
// hasn't: what lies there is told from neither.
func TestFoundOnADriftedZero(t *testing.T) {
	for _, zero := range []float64{0.05, -0.06} {
		t.Run(fmt.Sprint(zero), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			p.acts(40, func(s float64) float64 { return zero * s / 40 }).shows(zero, 5).isEmpty(0)
			p.on(zero)
			before := len(p.all)
			p.away(6).shows(3.11+zero, 4).neverSettled(before)
			p.shows(zero, 3).isEmpty(0)
			p.shows(3.11+zero, 3).settled(3.11, 1)
		})
	}
}

// TestLessOfWhatIsWithheld: what came on unseen is withheld, and so is what is left
// when a part of it is taken, until the pan was seen empty.
func TestLessOfWhatIsWithheld(t *testing.T) {
	for _, average := range []int{1, 4, 8} {
		t.Run(fmt.Sprintf("average of %d", average), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, average, 1, 8)
			p.shows(2.5, 3).on(2.5)
			p.shows(5, 3).settled(2.5, 2)
			before := len(p.all)
			p.away(6).shows(7.5, 4).shows(5, 3).neverSettled(before)
			p.shows(0, 3).isEmpty(2)
			p.shows(3.11, 3).settled(3.11, 3)
		})
	}
}

// TestSwappedOrPutOnTop: the display falls a little and then rises far. A coin was
// swapped for a heavier one, or one was put on top by a hand that touched the first:
// neither weight is told.
func TestSwappedOrPutOnTop(t *testing.T) {
	for _, scale := range []struct {
		average      int
		low          float64
		lasts, heavy float64
	}{{4, 1.5, 0.3, 5}, {4, 1.9, 0.3, 5}, {8, 1.5, 0.3, 5}, {8, 0, 0.2, 5.6}} {
		t.Run(fmt.Sprintf("%v g for %v s, average of %d", scale.low, scale.lasts, scale.average), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, scale.average, 1, 8)
			p.shows(2.5, 3).settled(2.5, 1)
			before := len(p.all)
			p.shows(scale.low, scale.lasts).shows(scale.heavy, 3)
			for i, e := range p.all[before:] {
				if rests := i > 15; rests && e.Phase == mass.PhaseSettled {
					t.Fatalf("line %d: settled %.3f ± %.3f, which can't be told", before+i, e.Mean, e.U)
				}
			}
			p.shows(0, 3).isEmpty(1)
			p.shows(3.11, 3).settled(3.11, 2)
		})
	}
}

// TestAPileSwappedForALighterCoin: it is no coin taken off the pile.
func TestAPileSwappedForALighterCoin(t *testing.T) {
	for _, scale := range []struct{ rate, gap float64 }{{10, 0.5}, {5, 0.6}, {5, 0.8}} {
		t.Run(fmt.Sprintf("%v s, %v displays a second", scale.gap, scale.rate), func(t *testing.T) {
			p := scaleOf(t, hundredth, scale.rate, 8, 1, 8)
			p.shows(2.5, 3).on(2.5)
			p.shows(5, 3).settled(2.5, 2)
			p.shows(0, scale.gap).shows(3.11, 3)
			if p.est.Phase == mass.PhaseSettled && p.est.Mean < 0 {
				t.Errorf("settled %.3f ± %.3f", p.est.Mean, p.est.U)
			}
		})
	}
}

// TestLinesStopWhileACoinComesOn: one lay there at rest, another came on top, and the
// lines stopped before that had rested too. Their sum is no coin's weight.
func TestLinesStopWhileACoinComesOn(t *testing.T) {
	for _, average := range []int{4, 8} {
		t.Run(fmt.Sprintf("average of %d", average), func(t *testing.T) {
			p := scaleOf(t, hundredth, 10, average, 1, 8)
			p.shows(2.5, 3).on(2.5)
			p.shows(5, 0.9)
			before := len(p.all)
			p.away(5).shows(5, 3).neverSettled(before)
			p.shows(0, 3).isEmpty(2)
			p.shows(3.11, 3).settled(3.11, 3)
		})
	}
}

// TestLinesStopAfterACoinCame: it had lain there for long enough to be counted, and
// not for long enough to rest. The same display after the gap is the same coin, and
// another display is nobody's weight.
func TestLinesStopAfterACoinCame(t *testing.T) {
	p := scaleOf(t, hundredth, 10, 4, 1, 8)
	p.shows(2.5, 0.9).away(5).shows(2.5, 3).settled(2.5, 1)
	p.shows(0, 3).isEmpty(1)
	p = scaleOf(t, hundredth, 10, 4, 1, 8)
	p.shows(2.5, 0.9)
	before := len(p.all)
	p.away(5).shows(5, 3).neverSettled(before)
}
