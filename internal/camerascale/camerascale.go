// Package camerascale makes readings of what a phone's camera reads off a scale's display, and
// holds a weight back until a person has confirmed it: a camera may misread, and a display that is
// read isn't a line that a scale sent.
package camerascale

import (
	"math"
	"slices"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/say"
)

// Dialect is the name that such readings carry.
const Dialect = "camera"

// passing are the reasons, as words of package segments, why there is no number while all is well:
// digits that change, and a number that can't be told yet.
var passing = []string{"moving", "doubt"}

var (
	garbled = fault.New(fault.Garbled, say.New("camera-garbled"))
	unread  = fault.New(fault.ScaleFault, say.New("camera-unread"))
)

// Read makes a reading of a display in grams, as "12.34". Its step is one of the last digit, since
// a display shows no less. Problem: fault.Garbled.
func Read(shown string, at moment.Time) mass.Reading {
	r := mass.Reading{Raw: []byte(shown), At: at, Dialect: Dialect}
	d, err := mass.ParseDecimal(shown)
	if err != nil {
		r.Status, r.Problem = mass.StatusError, garbled
		return r
	}
	r.Status, r.HasValue = mass.StatusUnknown, true
	r.Quantity = mass.Quantity{Value: d, Unit: mass.Gram}
	r.Resolution = d.Step()
	return r
}

// Unread is a picture without a number, with the reason as package segments words it. Problem:
// fault.ScaleFault, none while the digits only change.
func Unread(why string, at moment.Time) mass.Reading {
	r := mass.Reading{At: at, Dialect: Dialect, Status: mass.StatusMoving}
	if !slices.Contains(passing, why) {
		r.Status, r.Problem = mass.StatusError, unread
	}
	return r
}

// Gate knows which load a person has confirmed. The zero value has none.
type Gate struct {
	placement uint64
	shown     mass.Decimal
	confirmed bool
}

// Confirm takes a person's word that the display shows a number for a load. It counts only if that
// is what was read last, and the load rests alone on the pan.
func (g *Gate) Confirm(e mass.Estimate, r mass.Reading, placement uint64, shown string) bool {
	if e.Phase != mass.PhaseSettled || OnPile(e) || e.Placement != placement || !r.HasValue || r.Quantity.Value.String() != shown {
		return false
	}
	*g = Gate{placement, r.Quantity.Value, true}
	return true
}

// Passes reports whether a weight may be used: its load was confirmed, and the display has stayed
// within a step of what it showed then. A moving display has no weight yet.
func (g *Gate) Passes(e mass.Estimate, r mass.Reading) bool {
	if !g.confirmed || e.Placement != g.placement || !r.HasValue {
		return false
	}
	off, step := r.Quantity.Value.Float64()-g.shown.Float64(), r.Resolution.Float64()
	return math.Abs(off) < 1.5*step
}

// OnPile reports whether a load lies on others. Its weight is then the difference of two displays,
// of which a person confirms but one, so it is withheld.
func OnPile(e mass.Estimate) bool {
	return e.HasLoad() && math.Abs(float64(e.Pile-e.Mean)) > 1.5*float64(e.Resolution)
}
