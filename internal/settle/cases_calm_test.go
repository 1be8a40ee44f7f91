package settle_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"panside/internal/mass"
)

// TestLightCoinAfterAShakyTable: the table shakes more and more under an empty pan,
// then all stands still. What was learnt of the shaking hides no light coin.
func TestLightCoinAfterAShakyTable(t *testing.T) {
	for _, tc := range []struct {
		step         mass.Decimal
		shakes, coin float64
	}{{hundredth, 0.1, 0.2}, {tenth, 0.5, 1}} {
		t.Run(fmt.Sprintf("%v g, shaken by %v g", tc.step.Float64(), tc.shakes), func(t *testing.T) {
			p := newTape(t, tc.step, 10)
			r := rand.New(rand.NewPCG(5, 6))
			for range 600 { // display by display, so that no filter smooths it
				p.display(tc.shakes * p.now / 60 * r.NormFloat64())
			}
			p.shows(0, 4)
			before := p.est.Placement
			for i := range 3 {
				p.shows(tc.coin, 3).settled(tc.coin, before+uint64(i)+1)
				p.shows(0, 3).isEmpty(before + uint64(i) + 1)
			}
		})
	}
}

// TestASignThatIsLate: the scale's stable sign is known to work, and this time takes
// many seconds. A display that stood still for that long is at rest all the same.
func TestASignThatIsLate(t *testing.T) {
	p := newTape(t, hundredth, 10)
	p.shows(2.5, 3).settled(2.5, 1)
	p.shows(0, 3).isEmpty(1)
	p.signs = 1000
	p.shows(3.11, 8).settled(3.11, 2)
	p.shows(0, 3).isEmpty(2)
}

// TestASignThatIsAlwaysOn: a scale that calls everything stable, whatever happens,
// tells nothing by it: a coin held half put down for a moment is not at rest.
func TestASignThatIsAlwaysOn(t *testing.T) {
	p := scaleOf(t, hundredth, 10, 1, 1, 1)
	for i := range 3 {
		before := len(p.all)
		p.shows(1.7, 0.7)
		for _, e := range p.all[before:] {
			if e.Phase == mass.PhaseSettled {
				t.Fatalf("settled %.3f ± %.3f half way", e.Mean, e.U)
			}
		}
		p.shows(3.11, 3).settled(3.11, uint64(i)+1)
		p.shows(0, 3).isEmpty(uint64(i) + 1)
	}
}
