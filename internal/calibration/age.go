package calibration

import (
	"math"
	"strconv"

	"panside/internal/moment"
)

// When a check is called old, all common practice: after a month, at a place
// another than that of the check, and when the temperature has changed by more
// than five degrees. A scale's span shifts with temperature, and by being moved.
const (
	GoodFor        = 30 * 24 * moment.Hour
	maxTemperature = 5.0 // °C
)

// Age is how old a result is.
type Age struct {
	Days    int      `json:"days"` // full days; 0 if Taken isn't known
	Old     bool     `json:"old"`
	Reasons []string `json:"reasons"` // sentences that say why it is old; empty, never nil, if it isn't
}

// Age looks at a result's age: at the time now, with the temperature (NaN if not
// known) and the place now ("" if not known).
func (r Result) Age(now moment.Time, temperature float64, place string) Age {
	a := Age{Reasons: []string{}}
	since := now.Sub(r.Taken)
	switch {
	case r.Taken.IsZero():
		a.Reasons = append(a.Reasons, "The check has no date. Check the scale again.")
	case since < -24*moment.Hour:
		a.Reasons = append(a.Reasons, "The check is dated in the future. See that the clock is right, or check the scale again.")
	default:
		a.Days = int(max(0, since) / (24 * moment.Hour))
		if since > GoodFor {
			a.Reasons = append(a.Reasons, "The last check is "+strconv.Itoa(a.Days)+" days old. Check the scale again.")
		}
	}
	if change := temperature - r.Temperature; math.Abs(change) > maxTemperature {
		a.Reasons = append(a.Reasons, "It is "+written(math.Round(math.Abs(change)))+" °C "+warmer(change)+" than at the check. Check the scale again.")
	}
	if place != "" && r.Place != "" && place != r.Place {
		a.Reasons = append(a.Reasons, "The scale stands at another place than at the check (“"+r.Place+"”). Level it and check it again.")
	}
	a.Old = len(a.Reasons) > 0
	return a
}

func warmer(change float64) string {
	if change > 0 {
		return "warmer"
	}
	return "colder"
}
