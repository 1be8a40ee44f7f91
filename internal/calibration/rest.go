package calibration

import (
	"math"

	"panside/internal/mass"
	"panside/internal/stats"
)

// ZeroAge is how long ago, in seconds, the empty pan was seen at most when a
// load is weighed; assumed. The program looks at the zero whenever the pan is
// empty.
const ZeroAge = 60

// minWatch is how long, in seconds, a scale must be watched for its drift to be
// called measured: within less, a step of the display would pass for a drift that
// matters within ZeroAge.
const minWatch = 2 * ZeroAge

// Drift is how what an untouched scale shows wanders.
type Drift struct {
	// Measured: it was watched long enough. The rest, but for InU, counts even
	// without, if Seconds is above zero.
	Measured bool       `json:"measured"`
	Seconds  float64    `json:"seconds"` // how long it was watched
	PerHour  mass.Grams `json:"g_per_hour"`
	U        mass.Grams `json:"u_g_per_hour"` // standard uncertainty of PerHour
	InU      mass.Grams `json:"in_u_g"`       // what stands in u
}

// drift fits a line to the untouched pan. u of the rate is
//
//	u² = (t(0.975; n−2)/1.96)²·s²/Σ(t − t̄)² + (d/T)²/3
//
// the first term with three readings or more, s the scatter about the line; the
// second says that with steps of d a change of less than a step over the time T
// can't be seen.
func (r *Record) drift() Drift {
	n := len(r.Untouched)
	if n < 2 {
		return Drift{}
	}
	var t, z, tt, tz float64
	for _, m := range r.Untouched {
		t += m.After / float64(n)
		z += float64(m.Shown) / float64(n)
	}
	for _, m := range r.Untouched {
		tt += (m.After - t) * (m.After - t)
		tz += (m.After - t) * (float64(m.Shown) - z)
	}
	rate := tz / tt
	seconds := r.Untouched[n-1].After - r.Untouched[0].After
	u := float64(r.Resolution) / seconds / math.Sqrt(3)
	if n > 2 {
		var left float64
		for _, m := range r.Untouched {
			off := float64(m.Shown) - z - rate*(m.After-t)
			left += off * off
		}
		u = math.Hypot(u, stats.StudentQuantile(0.975, n-2)/k95*math.Sqrt(left/float64(n-2)/tt))
	}
	all := Drift{Seconds: seconds, PerHour: mass.Grams(rate * 3600), U: mass.Grams(u * 3600)}
	if seconds >= minWatch {
		all.Measured, all.InU = true, mass.Grams(math.Hypot(rate, u)*ZeroAge/math.Sqrt(3))
	}
	return all
}
