package calibration

import (
	"slices"
	"strconv"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/plain"
)

// rest is a display that may come to rest; times in ms.
type rest struct {
	Scale ScaleName  `json:"scale"`
	Phase mass.Phase `json:"phase"`
	Shown string     `json:"shown"`
	Unit  string     `json:"unit"`
	From  int64      `json:"from"`  // since when it has this phase
	Since int64      `json:"since"` // since when it shows this, without a sign of motion
}

// refuse says why something can't be. A check speaks of a whole computation; here
// one value is refused.
func (g *Guide) refuse(err error) {
	g.Moment.Said = said(SaidRefused, fault.Of(err).Reason())
}

// show takes in what the scale shows.
func (g *Guide) show(e Event) {
	m := &g.Moment
	if e.Problem != "" || e.Shown != "" {
		m.Trouble = e.Problem
	}
	if m.ByHand {
		return
	}
	rests := g.rests(e)
	switch g.Draft.At {
	case Middle, Edges:
		switch {
		case e.Problem != "":
			m.Do = DoEmpty
		case e.Phase == mass.PhaseWithheld && m.Do == DoPut:
			m.Do, m.Said = DoLift, &Said{Is: SaidWithheld}
		case rests:
			g.rested(e)
		}
	case Further:
		if rests && e.Phase == mass.PhaseEmpty && m.Do == DoLift {
			m.Do = DoChoose
		}
	case Alone:
		g.alone(e, rests)
	}
}

// rests reports whether the display has come to rest, so that nobody has to press a
// key with a weight in hand.
func (g *Guide) rests(e Event) bool {
	r := &g.Moment.Rest
	if e.Problem != "" || e.Shown == "" || e.Phase != mass.PhaseEmpty && e.Phase != mass.PhaseSettled {
		*r = rest{}
		return false
	}
	seen := rest{Scale: e.Scale, Phase: e.Phase, Shown: e.Shown, Unit: e.Unit, From: r.From, Since: r.Since}
	if seen.Scale != r.Scale || seen.Phase != r.Phase {
		seen.From, seen.Since = e.At, e.At
	}
	if seen.Shown != r.Shown || seen.Unit != r.Unit || e.Status == mass.StatusMoving {
		seen.Since = e.At
	}
	*r = seen
	need := g.pace.Rests.Milliseconds()
	return e.At-r.Since >= need || e.At-r.From >= readAnyway*need
}

// rested takes a display at rest.
func (g *Guide) rested(e Event) {
	m := &g.Moment
	switch {
	case e.Phase == mass.PhaseEmpty:
		// A refused reading stays explained until the weight is on again.
		m.Zero, m.Unit, m.Do = e.Shown, e.Unit, DoPut
	case m.Do == DoPut:
		if other := g.other(e); other != "" {
			m.Do, m.Said = DoLift, &Said{Is: other}
			return
		}
		g.place(SheetShown{Shown: plain.Text(e.Shown), Zero: plain.Text(m.Zero)}, &e)
	}
}

// other says what isn't as at the first reading, and at the zero before this one.
func (g *Guide) other(e Event) string {
	d := &g.Draft
	if d.Scale != (ScaleName{}) && e.Scale != d.Scale {
		return SaidScale
	}
	if d.Unit != "" && e.Unit != string(d.Unit) || d.At != Alone && e.Unit != g.Moment.Unit {
		return SaidUnit
	}
	if d.Scale != (ScaleName{}) && len(d.Readings) > 0 && decimals(e.Shown) != decimals(string(d.Readings[0].Shown)) {
		return SaidStep
	}
	return ""
}

// decimals is how many a display has, -1 for what is no number.
func decimals(shown string) int {
	x, err := mass.ParseDecimal(shown)
	if err != nil {
		return -1
	}
	return x.Places()
}

// place takes one placement, if it can be right beside the earlier ones. from is the
// live display, nil for a typed one.
func (g *Guide) place(p SheetShown, from *Event) {
	n, _ := g.Draft.next()
	p.Weight = plain.Text(strconv.Itoa(n.weight))
	d := g.Draft
	if n.edge == "" {
		d.Readings = append(slices.Clone(d.Readings), p)
	} else {
		d.OffCentre = append(slices.Clone(d.OffCentre), p)
	}
	if from != nil && d.Unit == "" {
		d.Unit, d.Scale = plain.Text(from.Unit), from.Scale
		d.Resolution = stepOf(*from)
	}
	m := &g.Moment
	m.Do = DoLift
	if from == nil {
		m.Do = DoPut
	}
	if _, err := d.Check().Evaluate(); err != nil {
		g.refuse(err)
		return
	}
	g.Draft = d
	unit := string(d.Unit)
	if unit == "" {
		unit = string(mass.Gram)
	}
	m.Said = &Said{Is: SaidTaken, Shown: string(p.Shown), Unit: unit}
	if _, more := g.Draft.next(); !more {
		g.Draft.At = Further
		if from == nil {
			m.Do = DoChoose
		}
	}
}

// stepOf is the scale's step in the display's unit: that of its digits, or a coarser
// one that the scale is known to have. "" leaves it to the digits.
func stepOf(e Event) plain.Text {
	f, err := mass.Unit(e.Unit).Factor()
	shown, wrong := mass.ParseDecimal(e.Shown)
	if err != nil || wrong != nil || !(e.Resolution > 0) {
		return ""
	}
	step := float64(e.Resolution) / f.Float64()
	if step < 1.5*shown.Step().Float64() {
		return plain.Text(shown.Step().String())
	}
	return plain.Text(written(step))
}
