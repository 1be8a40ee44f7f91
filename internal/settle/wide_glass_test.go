package settle_test

import (
	"time"

	"panside/internal/mass"
)

// wideGlass holds a name back as the phone does (pwa/src/store/steady.ts): for
// 150 ms, for 300 ms when it replaces another; at once when the load comes to
// rest; and a load that has rested and moves again is shown without.
type wideGlass struct {
	load  uint64
	shown string
	rest  bool
	next  string
	since time.Time
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
	hold := 150 * time.Millisecond
	if g.shown != "" {
		hold = 300 * time.Millisecond
	}
	switch {
	case first, name == g.shown:
		g.shown, g.since = name, time.Time{}
	case g.since.IsZero() || name != g.next:
		g.next, g.since = name, now
	case now.Sub(g.since) >= hold:
		g.shown, g.since = name, time.Time{}
	}
	return g.shown
}
