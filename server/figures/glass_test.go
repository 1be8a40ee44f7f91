package figures

import (
	"time"

	"panside/internal/verdict"
)

// After how long a second estimate confirms an answer about a load in motion, and
// how long an answer must hold before it replaces another. As in
// pwa/src/weigh/steady.ts.
const (
	confirms   = 50 * time.Millisecond
	holdChange = 300 * time.Millisecond
)

// answer is what a verdict says in short.
type answer struct {
	call  verdict.Call
	alloy string
}

// glass is what stands on the phone's screen of the load on the pan, by the
// rules of pwa/src/weigh/steady.ts and judging.ts.
type glass struct {
	load  uint64 // placement that it is about
	shown answer // the zero answer: nothing
	rest  bool   // the load has rested
	next  answer
	since time.Time // of next, zero if none waits
	doubt time.Time // since when the answers have been others than shown
}

// clear takes all off: there is no load.
func (g *glass) clear() { *g = glass{load: ^uint64(0)} }

// offer takes the newest answer about a load and gives what is shown.
func (g *glass) offer(load uint64, a answer, settled bool, now time.Time) answer {
	if load != g.load {
		*g = glass{load: load}
	}
	if !settled && (g.rest || a.call == verdict.CannotTell) {
		a = answer{}
	}
	first := settled && (!g.rest || g.shown == answer{})
	g.rest = g.rest || settled
	if first || a == g.shown {
		g.shown, g.since, g.doubt = a, time.Time{}, time.Time{}
		return g.shown
	}
	if g.doubt.IsZero() {
		g.doubt = now
	}
	if g.since.IsZero() || a != g.next {
		g.next, g.since = a, now
	}
	held := now.Sub(g.since)
	switch nothing := g.shown == (answer{}); {
	case nothing && held >= confirms, held >= holdChange:
		g.shown, g.since, g.doubt = a, time.Time{}, time.Time{}
	case now.Sub(g.doubt) >= holdChange:
		g.shown = answer{} // several others in turn: nothing is sure
	}
	return g.shown
}
