package figures

import (
	"math"
	"time"

	"panside/internal/mass"
)

// patient knows no physics: a display that has not changed by more than a step
// for a second, with the scale's own sign where that has ever come and gone, is
// a level, and a load is the difference of two. It is slow, and shows whether
// the faults that this world counts can be avoided at all.
type patient struct {
	trail       []patientSee
	on, off     bool // the sign was seen so
	zero, level float64
	low         float64 // display since the last level
	doubt       bool    // the load may have changed unseen
	moved       bool
	e           mass.Estimate
}

type patientSee struct {
	at time.Time
	g  float64
}

func (p *patient) Feed(r mass.Reading) mass.Estimate {
	if !r.HasValue {
		return p.e
	}
	g, d := r.Quantity.Value.Float64(), r.Resolution.Float64()
	p.e.Resolution = mass.Grams(d)
	stable := r.Status == mass.StatusStable
	p.on, p.off = p.on || stable, p.off || r.Status == mass.StatusMoving
	if n := len(p.trail); n > 0 && r.At.Sub(p.trail[n-1].at) > 1900*time.Millisecond {
		p.doubt, p.moved, p.trail = true, true, nil
	}
	p.trail = append(p.trail, patientSee{r.At, g})
	for len(p.trail) > 3 && r.At.Sub(p.trail[1].at) >= time.Second {
		p.trail = p.trail[1:]
	}
	lo, hi, sum := g, g, 0.0
	for _, s := range p.trail {
		lo, hi, sum = math.Min(lo, s.g), math.Max(hi, s.g), sum+s.g
	}
	flat := len(p.trail) >= 3 && r.At.Sub(p.trail[0].at) >= time.Second && hi-lo < 1.5*d
	p.low = math.Min(p.low, g)
	p.moved = p.moved || math.Abs(g-p.level) > 2.5*d
	if !flat || p.on && p.off && !stable {
		if p.moved {
			p.e.Phase, p.e.Mean, p.e.U = mass.PhaseMoving, mass.Grams(math.Max(g-p.zero, 0)), mass.Grams(math.Abs(g)+1)
		}
		return p.e
	}
	p.rest(sum/float64(len(p.trail)), d)
	return p.e
}

// rest takes a level.
func (p *patient) rest(level, d float64) {
	settle := func(mean float64, isNew bool) {
		if isNew {
			p.e.Placement++
		}
		p.e.Phase, p.e.Mean = mass.PhaseSettled, mass.Grams(mean)
		p.e.U = mass.UnprovenScale(p.e.Resolution, p.e.Mean).U()
	}
	near := 6 * d
	switch {
	case math.Abs(level-p.zero) < near:
		p.zero, p.doubt, p.e.Phase = level, false, mass.PhaseEmpty
	case !p.moved:
	case p.doubt:
		p.e.Phase = phaseWithheld
	case p.low < p.zero+near: // the pan was seen empty
		settle(level-p.zero, true)
	case p.low < math.Min(p.level, level)-near:
		p.e.Phase = phaseWithheld // one coin for another, or a hand
		p.doubt = true
	case math.Abs(level-p.level) < near:
		if p.e.Phase == mass.PhaseMoving {
			p.e.Phase = phaseWithheld
			p.doubt = true
		}
	default:
		settle(level-p.level, true)
	}
	if p.e.Phase != phaseWithheld || p.moved {
		p.level, p.low = level, level
	}
	p.moved = false
}
