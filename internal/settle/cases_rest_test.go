package settle_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/mass"
)

// knocked adds a swing of some grams at 3 Hz that dies within half a second.
func (p *tape) knocked(load, height float64) *tape {
	return p.acts(0.5, func(s float64) float64 {
		return load + height*math.Exp(-s/0.12)*math.Cos(2*math.Pi*3*s)
	})
}

// TestKnockIsNoCoin: neither on a coin at rest nor on the empty pan.
func TestKnockIsNoCoin(t *testing.T) {
	for _, scale := range []struct {
		average int
		rate    float64
	}{{4, 10}, {8, 10}, {8, 5}} {
		for _, height := range thin([]float64{0.3, 2, 8, -8, 30}, 3) {
			t.Run(fmt.Sprintf("%v g, average of %d at %v a second", height, scale.average, scale.rate), func(t *testing.T) {
				p := newTape(t, hundredth, scale.rate)
				p.average = scale.average
				for i, after := range []float64{3, 4, 6} { // at rest by then
					n := uint64(i) + 1
					p.shows(3.11, after).knocked(3.11, height).shows(3.11, 4).settled(3.11, n)
					p.shows(0, 4).isEmpty(n)
					p.knocked(0, height).shows(0, 4).isEmpty(n)
				}
			})
		}
	}
}

// TestDriftedZeroIsNoCoin: the zero drifts by 3 mg a minute while a coin lies on
// the pan, by far more than a step, and the pan is empty once it is taken.
func TestDriftedZeroIsNoCoin(t *testing.T) {
	for _, per := range []float64{0.003, -0.003} {
		for _, lies := range thin([]float64{4, 60, 120, 200}, 2) {
			t.Run(fmt.Sprintf("%v g a minute, %v s", per, lies), func(t *testing.T) {
				p := newTape(t, thousandth, 10)
				drift := func(load, seconds float64) *tape {
					began := p.now
					return p.acts(seconds, func(s float64) float64 { return load + (began+s)*per/60 })
				}
				drift(0, 60)
				for i := range 3 {
					p.levels = []float64{p.now * per / 60}
					drift(2.5, 4).settled(2.5, uint64(i)+1)
					for s := 0.0; s < lies; s += 10 { // a weight at rest may follow the drift or not
						p.on((p.now + s) * per / 60)
					}
					drift(2.5, lies)
					drift(0, 3).isEmpty(uint64(i) + 1)
					p.knocked(p.now*per/60, 2)
					drift(0, 20).isEmpty(uint64(i) + 1)
				}
			})
		}
	}
}

// TestTakenBeforeItRested leaves an empty pan.
func TestTakenBeforeItRested(t *testing.T) {
	p := newTape(t, hundredth, 10)
	for _, stays := range []float64{0.2, 0.3, 0.4, 0.5, 0.6} {
		p.shows(3.19, stays).shows(0, 2)
		if p.est.Phase != mass.PhaseEmpty {
			t.Fatalf("after %v s of a coin: %+v", stays, p.est)
		}
	}
}

// TestCoverageOnFineSteps: scales of 0.001 g without a check, whose spans err by
// 0.04 % (standard deviation) and whose zeros drift by up to 3 mg a minute: the
// 95 % interval of a settled weight holds it. Four standard deviations of the
// count are allowed.
func TestCoverageOnFineSteps(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	n, in := 0, 0
	scales := 20
	if long {
		scales = 60
	} // fewer, whose coins share one span each, would say nothing
	for range scales {
		p := newTape(t, thousandth, 10)
		gain, drift := 1+4e-4*r.NormFloat64(), (2*r.Float64()-1)*0.003/60
		for _, grams := range []float64{2.5, 3.11, 5, 11.34} {
			p.levels = []float64{p.now * drift}
			p.acts(4, func(float64) float64 { return grams*gain + p.now*drift })
			if p.est.Phase == mass.PhaseSettled {
				n++
				if math.Abs(float64(p.est.Mean)-grams) <= 1.96*float64(p.est.U) {
					in++
				}
			}
			p.acts(6, func(float64) float64 { return p.now * drift })
		}
	}
	share := float64(in) / float64(n)
	t.Logf("%d of %d settled intervals held the weight", in, n)
	if n < 4*scales-scales/6 || share < 0.95-4*math.Sqrt(0.95*0.05/float64(n)) {
		t.Errorf("%.3f of %d", share, n)
	}
}

// TestWeightSoonAfterAKnock: once the display stands flat again, three lines
// are enough to tell the weight.
func TestWeightSoonAfterAKnock(t *testing.T) {
	for _, after := range []float64{0.5, 1, 3} {
		for _, height := range []float64{1, 5, 20} {
			t.Run(fmt.Sprintf("%v g %v s after landing", height, after), func(t *testing.T) {
				p := newTape(t, hundredth, 10)
				p.shows(2.5, 3).shows(0, 3)
				p.shows(3.11, after).knocked(3.11, height)
				for range 20 {
					if p.shows(3.11, 0.1).equal() >= 3 {
						break
					}
				}
				p.shows(3.11, 0.1)
				if e := p.est; !e.HasLoad() || math.Abs(float64(e.Mean)-3.11) > 0.02 || e.U > 0.05 {
					t.Errorf("0.3 s flat: %s %.3f ± %.3f", e.Phase, e.Mean, e.U)
				}
				p.shows(3.11, 1.5).settled(3.11, 2)
			})
		}
	}
}

// TestRestHalfWay is a recorded course of a real scale of 0.1 g, as far as it
// was written down: one item in two movements, each display three lines, resting
// for twelve lines at 55 % of the load, all marked unstable. The numbers of
// displays between are assumed.
func TestRestHalfWay(t *testing.T) {
	for _, rate := range []float64{12, 16, 20, 25, 30, 40} {
		t.Run(fmt.Sprintf("%v lines a second", rate), func(t *testing.T) {
			p := newTape(t, tenth, rate)
			p.repeat, p.average, p.signs = 3, 1, 11
			p.shows(0, 5).shows(50.2, 6).on(50.2).shows(85.5, 6).on(85.5)
			n := p.est.Placement
			before := len(p.all)
			for _, x := range []float64{88.7, 92.8, 96.9, 96.9, 96.9, 96.9, 97.7, 102.9, 106.8} {
				p.display(x)
			}
			for range 16 {
				p.display(106.2)
			}
			p.settled(20.7, n+1)
			for i, e := range p.all[before:] {
				if e.Phase == mass.PhaseSettled && math.Abs(float64(e.Mean)-20.7) > 0.2 && i >= 3 {
					t.Fatalf("line %d: settled %.2f ± %.3f", i, e.Mean, e.U)
				}
			}
		})
	}
}

// TestNotSettledAgainstTheSign: the tail of an averaging filter, 0.04 g by steps
// of 0.005 g over 36 displays, each three lines and all marked unstable, as a
// recorded stream has it: nothing is settled while the scale says that it moves
// and its display still does.
func TestNotSettledAgainstTheSign(t *testing.T) {
	for _, rate := range []float64{12, 20, 36} {
		t.Run(fmt.Sprintf("%v lines a second", rate), func(t *testing.T) {
			p := newTape(t, mass.NewDecimal(5, 3), rate)
			p.repeat, p.average, p.signs = 3, 1, 11
			p.shows(0, 5).shows(2.5, 6).shows(0, 6).isEmpty(1)
			before := len(p.all)
			for _, x := range []float64{-0.6, -1.1, -1.25} {
				p.display(x)
			}
			for k := range 37 {
				p.display(-1.30 - 0.04*(1-math.Exp(-float64(k)/12)))
			}
			for i, e := range p.all[before:] {
				if e.Phase == mass.PhaseSettled && !e.ScaleStable && i < 3*30 {
					t.Fatalf("line %d: settled %.4f ± %.4f at an unstable sign", i, e.Mean, e.U)
				}
			}
			for range 20 {
				p.display(-1.34)
			}
			p.isEmpty(1)
		})
	}
}

// TestZeroAfterPowerOff: the empty pan has drifted to 0.02 g, the scale switches
// itself off, and zeroes itself when it is woken, with the pan seen empty for a
// moment. The coins are weighed from the new zero.
func TestZeroAfterPowerOff(t *testing.T) {
	for _, seen := range []float64{0.5, 1, 3} {
		t.Run(fmt.Sprintf("empty for %v s", seen), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			p.shows(2.5, 3).shows(0, 10)
			p.acts(60, func(s float64) float64 { return 0.02 * s / 60 })
			p.shows(0.02, 20).isEmpty(1)
			p.away(12).shows(0, seen)
			p.isEmpty(1)
			for i := range 5 {
				p.shows(3.1, 3)
				if p.settled(3.1, uint64(i)+2); math.Abs(float64(p.est.Mean)-3.1) > 0.005 {
					t.Errorf("coin %d: settled %.4f from a display of 3.10 and a zero of 0.00", i+1, p.est.Mean)
				}
				p.shows(0, 2)
			}
		})
	}
}

// TestWokenWithACoinOn: a scale that is switched on with a cent on it shows
// −2.50 once it is lifted. The next cents are weighed from there, and the bare
// pan is empty; only the first to come back to zero may be the tared cup.
func TestWokenWithACoinOn(t *testing.T) {
	p := newTape(t, hundredth, 10)
	p.shows(0, 3).isEmpty(0)
	p.on(-2.5).shows(-2.5, 3)
	p.shows(0, 3)
	if p.est.Phase != mass.PhaseWithheld {
		t.Fatalf("back at zero: %+v", p.est)
	}
	p.on(-2.5).shows(-2.5, 3)
	if p.est.Phase != mass.PhaseEmpty {
		t.Fatalf("the bare pan: %+v", p.est)
	}
	number := p.est.Placement
	for _, display := range []float64{0.61, 0, 0.02} {
		p.shows(display, 3)
		number++
		p.settled(display+2.5, number)
		p.shows(-2.5, 2)
		p.isEmpty(number)
	}
}

// TestSwitchedOnAgainAfterACup: what came back after it was lifted means nothing
// any more once the scale was switched off and on with the pan empty, and what is
// put on what came back is weighed.
func TestSwitchedOnAgainAfterACup(t *testing.T) {
	p := newTape(t, hundredth, 10)
	p.shows(0, 3).on(-3.11).shows(-3.11, 3).shows(0, 3)
	if p.est.Phase != mass.PhaseWithheld {
		t.Fatalf("back at zero: %+v", p.est)
	}
	number := p.est.Placement
	p.on(0).shows(2.5, 3).settled(2.5, number+1)
	p.away(60).shows(0, 3).isEmpty(number + 1)
	p.shows(2.5, 3).settled(2.5, number+2)
}
