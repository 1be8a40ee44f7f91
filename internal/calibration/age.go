package calibration

import (
	"math"

	"panside/internal/moment"
	"panside/internal/say"
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
// known) and the place now ("" if not known). The reasons are written by the tongue.
func (r Result) Age(t *say.Tongue, now moment.Time, temperature float64, place string) Age {
	a := Age{Reasons: []string{}}
	because := func(l say.Line) { a.Reasons = append(a.Reasons, t.Write(l)) }
	since := now.Sub(r.Taken)
	switch {
	case r.Taken.IsZero():
		because(say.New("old-undated"))
	case since < -24*moment.Hour:
		because(say.New("old-future"))
	default:
		a.Days = int(max(0, since) / (24 * moment.Hour))
		if since > GoodFor {
			because(say.New("old-days", say.Count("days", a.Days)))
		}
	}
	if change := temperature - r.Temperature; math.Abs(change) > maxTemperature {
		because(say.New("old-temperature", say.Figure("change", written(math.Round(math.Abs(change)))), say.Text("way", way(change))))
	}
	if place != "" && r.Place != "" && place != r.Place {
		because(say.New("old-place", say.Text("place", r.Place)))
	}
	a.Old = len(a.Reasons) > 0
	return a
}

func way(change float64) string {
	if change > 0 {
		return "warmer"
	}
	return "colder"
}
