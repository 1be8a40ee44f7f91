package settle_test

import (
	"math"
	"testing"
	"time"

	"panside/internal/mass"
	"panside/internal/settle"
)

// tape is a scale made by plain arithmetic: the mean of the last loads, rounded
// to a step, with the stable sign after so many equal displays. Its lines go to
// a tracker as they are made, and every settled weight is held against the
// display.
type tape struct {
	t       *testing.T
	step    mass.Decimal
	dt      float64 // s between lines
	repeat  int     // lines of a display
	average int     // displays in the mean
	signs   int     // equal displays for the stable sign; 0: the scale has none

	tracker *settle.Tracker
	now     float64
	loads   []float64
	steps   []int64 // displays so far
	levels  []float64
	est     mass.Estimate
	all     []mass.Estimate
}

// newTape is an empty pan, seen for two seconds.
func newTape(t *testing.T, step mass.Decimal, perSecond float64) *tape {
	p := &tape{t: t, step: step, dt: 1 / perSecond, repeat: 1, average: 4, signs: 8, tracker: settle.New(settle.Properties{}), levels: []float64{0}}
	p.shows(0, 2)
	return p
}

// shows lets a load act for some seconds.
func (p *tape) shows(load, seconds float64) *tape {
	return p.acts(seconds, func(float64) float64 { return load })
}

// acts lets a load that changes act for some seconds.
func (p *tape) acts(seconds float64, load func(s float64) float64) *tape {
	displays := int(math.Round(seconds / p.dt / float64(p.repeat)))
	for i := range displays {
		// A converter takes the mean over the time of a display.
		sum, parts := 0.0, 20
		for k := range parts {
			sum += load((float64(i) + float64(k)/float64(parts)) * p.dt * float64(p.repeat))
		}
		p.loads = append(p.loads, sum/float64(parts))
		mean, n := 0.0, min(p.average, len(p.loads))
		for _, x := range p.loads[len(p.loads)-n:] {
			mean += x / float64(n)
		}
		p.display(mean)
	}
	return p
}

// display sends one display.
func (p *tape) display(grams float64) {
	d := p.step.Float64()
	steps := int64(math.Round(grams / d))
	p.steps = append(p.steps, steps)
	status := mass.StatusMoving
	switch equal := p.equal(); {
	case p.signs == 0:
		status = mass.StatusUnknown
	case equal >= p.signs && steps == 0:
		status = mass.StatusZero
	case equal >= p.signs:
		status = mass.StatusStable
	}
	units := int64(math.Round(d * math.Pow10(p.step.Places())))
	for range p.repeat {
		p.now += p.dt
		p.est = p.tracker.Feed(mass.Reading{
			At:       epoch.Add(time.Duration(p.now * 1e9)),
			Quantity: mass.Quantity{Value: mass.NewDecimal(steps*units, uint8(p.step.Places())), Unit: mass.Gram},
			HasValue: true, Resolution: p.step, Status: status,
		})
		p.all = append(p.all, p.est)
		p.invariant(float64(steps) * d)
	}
}

// equal is how many of the last displays were the same.
func (p *tape) equal() int {
	n := 0
	for i := len(p.steps) - 1; i >= 0 && p.steps[i] == p.steps[len(p.steps)-1]; i-- {
		n++
	}
	return n
}

// invariant: what is settled is the display less a level that rested, to a step
// and its rounding.
func (p *tape) invariant(display float64) {
	p.t.Helper()
	if p.est.Phase != mass.PhaseSettled {
		return
	}
	for _, l := range p.levels {
		if math.Abs(float64(p.est.Mean)-(display-l)) <= 1.5*p.step.Float64()+1e-9 {
			return
		}
	}
	p.t.Errorf("at %.2f s the display is %.3f, and settled is %.4f ± %.4f", p.now, display, p.est.Mean, p.est.U)
	p.levels = append(p.levels, display-float64(p.est.Mean)) // said once
}

// away lets seconds pass without a line; the filter forgets.
func (p *tape) away(seconds float64) *tape {
	p.now += seconds
	p.loads, p.steps = nil, nil
	return p
}

// on adds a level at rest that a further coin is put on.
func (p *tape) on(level float64) *tape {
	p.levels = append(p.levels, level)
	return p
}

// settled checks the newest load.
func (p *tape) settled(grams float64, number uint64) {
	p.t.Helper()
	e := p.est
	if e.Phase != mass.PhaseSettled || e.Placement != number || math.Abs(float64(e.Mean)-grams) > 1.1*p.step.Float64() {
		p.t.Errorf("at %.2f s: %s, number %d, %.4f ± %.4f g; want settled, number %d, %.3f g", p.now, e.Phase, e.Placement, e.Mean, e.U, number, grams)
	}
}

// isEmpty checks that the pan is known to be empty, after so many loads.
func (p *tape) isEmpty(number uint64) {
	p.t.Helper()
	if e := p.est; e.Phase != mass.PhaseEmpty || e.Placement != number {
		p.t.Errorf("at %.2f s: %s, number %d, %.4f g; want empty, number %d", p.now, e.Phase, e.Placement, e.Mean, number)
	}
}
