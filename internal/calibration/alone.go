package calibration

import (
	"slices"
	"strconv"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/plain"
	"panside/internal/say"
)

// watch is an untouched scale.
type watch struct {
	On        bool    `json:"on"`
	Since     int64   `json:"since"` // ms
	Seconds   float64 `json:"seconds"`
	Placement uint64  `json:"placement"`
}

// alone watches the scale while nobody touches it.
func (g *Guide) alone(e Event, rests bool) {
	m, d := &g.Moment, &g.Draft
	w := &m.Watch
	if !w.On {
		if !rests || e.Phase != mass.PhaseSettled {
			return
		}
		if other := g.other(e); other != "" {
			m.Said = &Said{Is: other}
			return
		}
		*w = watch{On: true, Since: e.At, Placement: e.Placement}
		m.Do = DoWatch
		if m.Said != nil && m.Said.Is != SaidDisturbed { // that it begins anew stays said
			m.Said = nil
		}
		d.Untouched = []SheetMoment{{After: "0", Shown: plain.Text(e.Shown)}}
		return
	}
	moved := e.Placement != 0 && w.Placement != 0 && e.Placement != w.Placement
	if e.Problem != "" || e.Phase == mass.PhaseEmpty || moved || e.Shown != "" && g.other(e) != "" {
		g.disturbed(say.Line{})
		return
	}
	if e.Shown == "" {
		return
	}
	w.Seconds = float64(e.At-w.Since) / 1000
	last := 0.0
	if n := len(d.Untouched); n > 0 {
		last, _ = strconv.ParseFloat(string(d.Untouched[n-1].After), 64)
	}
	if w.Seconds-last < g.pace.Watch.Seconds()/looks {
		return
	}
	longer := *d
	longer.Untouched = append(slices.Clone(d.Untouched), SheetMoment{
		After: plain.Text(strconv.FormatFloat(w.Seconds, 'f', -1, 64)), Shown: plain.Text(e.Shown),
	})
	if _, err := longer.Check().Evaluate(); err != nil {
		g.disturbed(fault.Of(err).Reason())
		return
	}
	*d = longer
	if w.Seconds >= g.pace.Watch.Seconds() {
		d.At = Further
		g.calm()
		m.Do = DoLift
	}
}

// disturbed begins to watch anew.
func (g *Guide) disturbed(why say.Line) {
	g.Draft.Untouched = nil
	g.calm()
	g.Moment.Said = said(SaidDisturbed, why)
}
