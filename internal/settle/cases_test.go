package settle_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/mass"
)

var (
	tenth      = mass.NewDecimal(1, 1)
	hundredth  = mass.NewDecimal(1, 2)
	thousandth = mass.NewDecimal(1, 3)
)

// TestSwapWithinAMoment: a coin goes, and another comes before the display has
// reached zero. The one that lies there is told, and it is another load.
func TestSwapWithinAMoment(t *testing.T) {
	for _, known := range []int{0, 3} {
		for _, gap := range thin([]float64{0.2, 0.3, 0.5}, 2) {
			for _, second := range []float64{3.18, 2.51, 5} {
				t.Run(fmt.Sprintf("%v g after %v s, %d coins before", second, gap, known), func(t *testing.T) {
					p := newTape(t, hundredth, 10)
					for range known {
						p.shows(3.11, 3).shows(0, 2)
					}
					p.shows(2.51, 1.2).shows(0, gap).shows(second, 2.5)
					p.settled(second, uint64(known)+2)
					p.shows(0, 2).isEmpty(uint64(known) + 2)
				})
			}
		}
	}
}

// TestFeeder: thirty coins a minute, long on the pan or short, behind filters
// of some displays. A coin that never came to rest is counted all the same.
func TestFeeder(t *testing.T) {
	for _, f := range []struct {
		on, off float64
		average int
	}{{1.8, 0.2, 4}, {1.7, 0.3, 4}, {1.7, 0.3, 6}, {0.8, 1.2, 4}, {0.8, 1.2, 6}, {0.8, 1.2, 8}} {
		t.Run(fmt.Sprintf("on %v s, off %v s, average of %d", f.on, f.off, f.average), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			p.average = f.average
			rests := float64(f.average)*p.dt < f.on-0.15
			for i := range 10 {
				grams := []float64{3.11, 2.5, 2.52, 3.09, 5}[i%5]
				p.shows(grams, f.on)
				if e := p.est; rests && !(e.HasLoad() && e.Placement == uint64(i+1) && math.Abs(float64(e.Mean)-grams) <= 0.02) {
					t.Errorf("coin %d of %v g: %s, number %d, %.3f ± %.3f", i+1, grams, e.Phase, e.Placement, e.Mean, e.U)
				}
				p.shows(0, f.off)
			}
			p.shows(0, 2).isEmpty(10)
		})
	}
}

// TestHearsAfterAShakyTable: on a scale of 0.1 g the table is leant on, harder
// and harder, while the pan is empty. Once it stands still, coins are heard.
func TestHearsAfterAShakyTable(t *testing.T) {
	p := newTape(t, tenth, 10)
	r := rand.New(rand.NewPCG(5, 6))
	p.acts(90, func(s float64) float64 { return s / 90 * 0.7 * (math.Sin(2*math.Pi*s/1.7) + 0.3*r.NormFloat64()) })
	p.shows(0, 4)
	before := p.est.Placement
	for i := range 30 {
		grams := []float64{2.5, 3.1, 5, 2.3}[i%4]
		p.acts(3, func(float64) float64 { return grams + 0.02*r.NormFloat64() })
		if e := p.est; e.Phase != mass.PhaseSettled || e.Placement != before+uint64(i)+1 || math.Abs(float64(e.Mean)-grams) > 0.15 {
			t.Fatalf("coin %d of %v g: %+v", i+1, grams, e)
		}
		p.acts(3, func(float64) float64 { return 0.02 * r.NormFloat64() })
		p.isEmpty(before + uint64(i) + 1)
	}
}

// TestZeroThatWandersOnCoarseSteps: 0.13 g a minute to and fro, as a scale of
// 0.1 g was seen to do after it was switched on: each coin is heard.
func TestZeroThatWandersOnCoarseSteps(t *testing.T) {
	p := newTape(t, tenth, 10)
	zero := func() float64 { return 0.16 * math.Sin(2*math.Pi*p.now/480) }
	p.acts(20, func(float64) float64 { return zero() })
	for i := range 60 {
		p.levels = []float64{zero(), zero() + 0.05, zero() - 0.05}
		p.acts(3, func(float64) float64 { return 2.5 + zero() })
		if e := p.est; e.Phase != mass.PhaseSettled || e.Placement != uint64(i)+1 || math.Abs(float64(e.Mean)-2.5) > 0.15 {
			t.Fatalf("coin %d: %+v", i+1, e)
		}
		p.acts(5, func(float64) float64 { return zero() })
	}
}

// TestExchangedWithoutLines: what lies there after five seconds without lines
// may be anything, and is withheld until the pan was seen empty.
func TestExchangedWithoutLines(t *testing.T) {
	for _, display := range []float64{5, 3.11, 1.2} {
		t.Run(fmt.Sprint(display), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			p.shows(2.5, 3)
			p.settled(2.5, 1)
			before := len(p.all)
			p.away(5).shows(display, 4)
			for _, e := range p.all[before:] {
				if e.Phase == mass.PhaseSettled {
					t.Fatalf("settled %.3f ± %.3f while it isn't known what was put on", e.Mean, e.U)
				}
			}
			if p.est.Phase != withheld {
				t.Errorf("phase %s", p.est.Phase)
			}
			n := p.shows(0, 2).est.Placement
			p.isEmpty(n)
			p.shows(3.11, 3).settled(3.11, n+1)
		})
	}
}

// TestUntouchedWithoutLines: the same display after the gap is the same coin.
func TestUntouchedWithoutLines(t *testing.T) {
	p := newTape(t, hundredth, 10)
	p.shows(2.5, 3).away(5).shows(2.5, 3).settled(2.5, 1)
	p.shows(0, 2).isEmpty(1)
}

// TestPeakOfALeaningHand: a finger leans steadily on the coin and lets go,
// before the scale calls that stable. Its peak is no level: neither the coin nor
// what is taken off again.
func TestPeakOfALeaningHand(t *testing.T) {
	for _, average := range []int{1, 4, 8} {
		for _, coins := range []int{1, 4} {
			for _, lean := range thin([]float64{0.3, 3.3, 12}, 2) {
				for _, leans := range thin([]float64{0.2, 0.4, 0.7, 1}, 3) {
					if leans < 0.75 || average > 1 {
						t.Run(fmt.Sprintf("average of %d, coin %d, %v g for %v s", average, coins, lean, leans), func(t *testing.T) {
							leanOn(newTape(t, hundredth, 10), average, coins, lean, leans)
						})
					}
				}
			}
		}
	}
}

func leanOn(p *tape, average, coins int, lean, leans float64) {
	p.average = average
	pile := 0.0
	for i := range coins - 1 {
		pile += 2.5
		p.shows(pile, 3).settled(2.5, uint64(i+1))
		p.on(pile)
	}
	p.shows(pile+3.11+lean, leans).shows(pile+3.11, 3)
	p.settled(3.11, uint64(coins))
	for i, e := range p.all {
		if e.Phase == mass.PhaseSettled && e.Mean < 0 {
			p.t.Fatalf("line %d: settled %.3f", i, e.Mean)
		}
	}
}

// TestAHandThatLeftIsNoCoin: a finger leans on a coin by many times its weight and lets
// go, which a slow filter shows as a rise and a long fall. It is one coin. The courses
// are the first world's, since it takes a hand's tremble and what was learnt of a scale.
func TestAHandThatLeftIsNoCoin(t *testing.T) {
	for _, which := range []struct {
		seed  uint64
		index int
	}{{70016, 7}, {70199, 6}} {
		t.Run(fmt.Sprintf("%d:%d", which.seed, which.index), func(t *testing.T) {
			w := newWideTable(which.seed)
			for i := range which.index {
				w.play(i)
			}
			if c := w.play(which.index); c.got != len(c.coins) {
				t.Errorf("%s: %d numbers for %d coins", c.style, c.got, len(c.coins))
			}
		})
	}
}

// TestHalfPutDown: a coin stands still at a part of its weight for as long as a hand
// may hold it, before the scale's sign comes on. Nothing is told of it by then
// that would name another coin.
func TestHalfPutDown(t *testing.T) {
	for _, rate := range []float64{5, 20} {
		for _, known := range []int{0, 4} {
			for _, stands := range thin([]float64{0.4, 0.7, 1}, 2) {
				t.Run(fmt.Sprintf("%v s at %v a second, %d coins before", stands, rate, known), func(t *testing.T) {
					p := scaleOf(t, hundredth, rate, 1, 1, int(2*rate))
					for range known {
						p.shows(0, 3).shows(5, 4)
					}
					p.shows(0, 3)
					before := len(p.all)
					p.shows(2.5, stands)
					for i, e := range p.all[before:] {
						if e.HasLoad() && math.Abs(float64(e.Mean)-2.5) < 0.2 && e.U < 0.2 {
							t.Fatalf("line %d of the half that is down: %.3f ± %.3f", i, e.Mean, e.U)
						}
					}
					p.shows(5, 4).settled(5, uint64(known+1))
				})
			}
		}
	}
}
