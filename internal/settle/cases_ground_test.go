package settle_test

import (
	"fmt"
	"math"
	"testing"

	"panside/internal/mass"
	"panside/internal/settle"
)

// TestOnAHalfWayStand: a coin put down in two movements stands half way for long
// enough that the scale's own sign comes on. The second half is no coin.
func TestOnAHalfWayStand(t *testing.T) {
	for _, scale := range []struct {
		step    mass.Decimal
		rate    float64
		average int
		signs   int
	}{{tenth, 5, 1, 4}, {hundredth, 10, 2, 5}, {hundredth, 20, 4, 4}} {
		for _, stands := range thin([]float64{1, 0.8}, 2) {
			t.Run(fmt.Sprintf("%v s, average of %d at %v a second", stands, scale.average, scale.rate), func(t *testing.T) {
				p := scaleOf(t, scale.step, scale.rate, scale.average, 1, scale.signs)
				p.shows(0, 3).shows(3.1, 4).shows(0, 3).shows(5, 4).shows(0, 3)
				before := len(p.all)
				p.on(1.3).shows(1.3, stands).shows(2.9, 4)
				for i, e := range p.all[before:] {
					if e.Phase == mass.PhaseSettled && math.Abs(float64(e.Mean)-1.6) < 0.15 {
						t.Fatalf("line %d: settled %.3f, the half that came last", i, e.Mean)
					}
				}
				if p.est.Phase == mass.PhaseSettled && math.Abs(float64(p.est.Mean)-2.9) > 0.15 {
					t.Errorf("ends with %+v", p.est)
				}
				n := p.shows(0, 3).est.Placement
				p.shows(3.1, 4).settled(3.1, n+1)
			})
		}
	}
}

// TestZeroOfAMoment: a scale is switched on again with the coin already coming down
// and takes a part of it for zero. That zero stood for a line or two, so nothing is
// weighed from it until the pan was seen bare.
func TestZeroOfAMoment(t *testing.T) {
	for _, lines := range []float64{1, 2, 3} {
		t.Run(fmt.Sprintf("%v lines of zero", lines), func(t *testing.T) {
			p := newTape(t, hundredth, 10)
			p.shows(2.5, 3).settled(2.5, 1)
			p.shows(0, 3).isEmpty(1)
			before := len(p.all)
			p.away(60).shows(0, lines/10).shows(1.9, 4).shows(-1.21, 3)
			p.neverSettled(before)
			n := p.est.Placement
			p.on(-1.21).shows(1.9, 4).settled(3.11, n+1)
			p.shows(-1.21, 3)
			if p.est.Phase != mass.PhaseEmpty {
				t.Errorf("the bare pan: %+v", p.est)
			}
		})
	}
}

// TestLitForAMoment: a sign that comes on after a few equal displays tells of no rest.
func TestLitForAMoment(t *testing.T) {
	for _, rate := range []float64{10, 20, 40} {
		for _, stands := range thin([]float64{0.3, 0.15, 0.2, 0.25}, 4) {
			t.Run(fmt.Sprintf("%v s at %v a second", stands, rate), func(t *testing.T) {
				p := scaleOf(t, hundredth, rate, 1, 1, 3)
				for range 3 {
					p.shows(0, 3).shows(3.1, 4)
				}
				p.shows(0, 3)
				before := len(p.all)
				p.shows(1.3, stands).shows(2.5, 4)
				for i, e := range p.all[before:] {
					if e.Phase == mass.PhaseSettled && math.Abs(float64(e.Mean)-2.5) > 0.02 {
						t.Fatalf("line %d: settled %.3f", i, e.Mean)
					}
				}
				p.settled(2.5, 4)
			})
		}
	}
}

// TestZeroStillOnItsWay: a coin comes while the display still creeps back to zero. It
// is weighed from the zero seen before, or not at all; it isn't left in motion for
// ever.
func TestZeroStillOnItsWay(t *testing.T) {
	l := newLag()
	l.tau = 0.6
	l.run(2, 0.1)
	for _, part := range []struct{ load, seconds, dt float64 }{{0.5, 0.25, 0.08}, {0, 1.375, 0.1}, {0.5, 7, 0.1}} {
		l.load = part.load
		l.run(part.seconds, part.dt)
	}
	e := last(feed(settle.New(settle.Properties{}), l.readings))
	if e.Phase != mass.PhaseSettled || math.Abs(float64(e.Mean)-0.5) > 0.011 {
		t.Errorf("0.50 g at rest: %+v", e)
	}
}
