package settle

import "math"

// What tells that a scale has set its zero anew: lines that stayed away for
// breakPeriods periods and breakSeconds, and then a display near nothing.
const (
	breakPeriods = 2.5
	breakSeconds = 0.25
)

// woken reports whether an empty scale was switched off and on in a break too
// short for a gap: its zero was elsewhere, and now it shows none.
func (t *Tracker) woken(s sample) bool {
	away := t.clock.dt > math.Max(breakSeconds, breakPeriods*t.clock.period)
	none := math.Abs(s.z) < wokenSteps*t.d && math.Abs(s.z-t.rest.level) > t.d/2 && math.Abs(s.z) < math.Abs(t.rest.level)
	return away && none && t.move == nil && t.newest == nil
}

// wokenZero is the zero of an empty pan first seen, at z, after lines stayed
// away. A scale that was off meanwhile has set itself to zero, and a step beside
// it may be the next coin already; one that was on shows what it showed before.
func (t *Tracker) wokenZero(z float64) ground {
	if t.rest.known && math.Abs(z) < wokenSteps*t.d && math.Abs(z-t.zero) > t.d/2 {
		return onDisplay(0, 0)
	}
	return ground{level: z, shown: z, lines: 1}
}

// emptyAt takes a display of nothing that stands still on an empty pan as the
// zero, where that can't be a coin's rest on its way down: the zero seen last
// lies above it, or is worth little since lines stayed away.
func (t *Tracker) emptyAt(level float64) {
	if math.Abs(level) < t.d/2 && (t.doubt || level < t.zero-t.d/2) {
		t.zero, t.bare = level, onDisplay(level, t.nearest(level))
	}
}

// passes looks at a pan that was emptied and doesn't come to rest by the model before
// the next coin. Where a display lasts as long as a rest, two that stand still are the
// zero that the next is weighed from, unless more than half a step may be left of
// their way there. After lines stayed away they tell of a new one.
func (t *Tracker) passes() {
	still := t.stands.seconds
	rare := t.displays() >= bareDisplays && still >= restsFor*(t.displays()-1)
	if t.emptied && rare && residual(1.1*t.d, still, t.known.slowness()) < t.d/2 {
		t.bare.level, t.bare.shown = t.stands.level, t.flat.at[t.flat.n-1].z
	}
	if t.doubt && t.emptied && still >= flatTells && t.displays() >= flatDisplays {
		t.emptyAt(t.stands.level)
	}
}
