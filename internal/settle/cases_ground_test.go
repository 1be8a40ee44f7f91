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

// TestFirstCoinAtOnce: the pan counts as empty once it was seen so for three tenths of
// a second, and by five lines where a busy computer hands them over at once. A coin
// put down then is weighed; one that came sooner is put on again.
func TestFirstCoinAtOnce(t *testing.T) {
	for _, tc := range []struct {
		name        string
		rate, bare  float64
		first, last mass.Phase
	}{
		{"a line", 10, 0.1, mass.PhaseNone, mass.PhaseWithheld},
		{"three tenths", 10, 0.4, mass.PhaseEmpty, mass.PhaseSettled},
		{"one line a second", 1, 2, mass.PhaseEmpty, mass.PhaseSettled},
		{"lines that came at once", 1000, 0.005, mass.PhaseEmpty, mass.PhaseSettled},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := &tape{t: t, step: hundredth, dt: 1 / tc.rate, repeat: 1, average: 1, signs: 8, tracker: settle.New(settle.Properties{}), levels: []float64{0}}
			if p.shows(0, tc.bare); p.est.Phase != tc.first {
				t.Errorf("the pan is %s, want %s", p.est.Phase, tc.first)
			}
			p.dt = math.Max(p.dt, 0.1)
			if p.shows(3.11, 12*p.dt); p.est.Phase != tc.last {
				t.Errorf("the coin is %s, want %s", p.est.Phase, tc.last)
			}
			n := p.shows(0, 8*p.dt).est.Placement
			p.shows(3.11, 12*p.dt).settled(3.11, n+1)
		})
	}
}

// TestStreamJoinedLate: a fine scale's zero had drifted before anybody listened. It is
// an empty pan, not a coin of 9 mg.
func TestStreamJoinedLate(t *testing.T) {
	p := &tape{t: t, step: thousandth, dt: 0.1, repeat: 1, average: 4, signs: 8, tracker: settle.New(settle.Properties{}), levels: []float64{0.009}}
	p.shows(0.009, 2).isEmpty(0)
	p.shows(3.119, 4).settled(3.11, 1)
	p.shows(0.009, 3).isEmpty(1)
}

// TestZeroOfTheLastMoments: rare lines show an empty pan elsewhere than before, for so
// short that nothing rests by the model. The next coin is weighed from there.
func TestZeroOfTheLastMoments(t *testing.T) {
	p := scaleOf(t, hundredth, 1, 1, 1, 3)
	p.shows(0, 6).shows(2.5, 6).settled(2.5, 1)
	p.on(0.04).shows(0.05, 1).shows(0.04, 2).shows(2.54, 6).settled(2.5, 2)
	if off := math.Abs(float64(p.est.Mean) - 2.5); off > 0.0105 {
		t.Errorf("%.4f g, more than a step from the display less the zero that it showed", p.est.Mean)
	}
}

// TestGroundThatWalks: a display below a coin walks up slowly. What the coin is
// weighed from is what it showed last, not where it stood for long.
func TestGroundThatWalks(t *testing.T) {
	p := scaleOf(t, tenth, 9, 1, 1, 4)
	p.shows(0, 3).shows(18.1, 3)
	for _, x := range []float64{18.2, 18.2, 18.2, 18.3, 18.3, 18.4, 18.4, 18.4, 18.4, 18.4} {
		p.display(x)
	}
	before := len(p.all)
	p.on(18.4).shows(20.9, 4)
	for i, e := range p.all[before:] {
		if e.Phase == mass.PhaseSettled && math.Abs(float64(e.Mean)-2.5) > 0.1 {
			t.Fatalf("line %d: settled %.3f, want 2.5 by the displays", i, e.Mean)
		}
	}
}
