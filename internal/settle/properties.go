package settle

import (
	"math"

	"panside/internal/mass"
)

// Properties is what is known of the scale before the first reading.
type Properties struct {
	// Scale holds the terms found by calibration. A Resolution of zero is taken
	// from the readings.
	Scale mass.Scale
	// Measured says that Scale was found by calibration. Without it the scale
	// counts as unproven: mass.UnprovenScale of the readings' own step and load, and
	// a span that errs as those of cheap scales do.
	Measured bool
	// At, if set, gives the terms found by calibration for a load in grams, and
	// Scale and Measured don't count.
	At func(load mass.Grams) mass.Scale
}

// SetProperties replaces what is known of the scale, from the next reading on.
func (t *Tracker) SetProperties(p Properties) { t.props = p }

// u is the scale's own standard uncertainty for a load, on a step of d.
func (p Properties) u(d, load float64) float64 {
	s := p.Scale
	switch {
	case p.At != nil:
		s = p.At(mass.Grams(load))
	case !p.Measured:
		s = mass.UnprovenScale(mass.Grams(d), mass.Grams(load))
		s.Calibration = mass.Grams(math.Hypot(float64(s.Calibration), unprovenSpan*load))
	}
	if d > 0 {
		s.Resolution = mass.Grams(d)
	}
	return float64(s.U())
}
