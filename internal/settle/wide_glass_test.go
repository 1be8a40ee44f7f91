package settle_test

import (
	"time"

	"panside/internal/mass"
)

// wideGlass holds a name back as the phone does (pwa/src/weigh/steady.ts): for
// until another estimate confirms it a moment later, for 300 ms when it replaces another; at once when the load comes to
// rest; and a load that has rested and moves again is shown without.
type wideGlass struct {
	load  uint64
	shown string
	rest  bool
	next  string
	since time.Time
	doubt time.Time
}

// offer takes the newest estimate and gives the name that is shown.
func (g *wideGlass) offer(e mass.Estimate, now time.Time) string {
	if !e.HasLoad() {
		*g = wideGlass{load: ^uint64(0)}
		return ""
	}
	if e.Placement != g.load {
		*g = wideGlass{load: e.Placement}
	}
	settled, name := e.Phase == mass.PhaseSettled, alloy(e)
	if !settled && g.rest {
		name = ""
	}
	first := settled && (!g.rest || g.shown == "")
	g.rest = g.rest || settled
	if first || name == g.shown {
		g.shown, g.since, g.doubt = name, time.Time{}, time.Time{}
		return g.shown
	}
	if g.doubt.IsZero() {
		g.doubt = now
	}
	if g.since.IsZero() || name != g.next {
		g.next, g.since = name, now
	}
	held := now.Sub(g.since)
	switch {
	case g.shown == "" && held >= 50*time.Millisecond, held >= 300*time.Millisecond:
		g.shown, g.since, g.doubt = name, time.Time{}, time.Time{}
	case now.Sub(g.doubt) >= 300*time.Millisecond:
		g.shown = ""
	}
	return g.shown
}
