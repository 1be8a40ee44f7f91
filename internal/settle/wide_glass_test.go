package settle_test

import (
	"time"

	"panside/internal/mass"
	"panside/internal/shown"
)

// wideGlass is what stands on the phone's glass, by the phone's own rule: a
// wrong name counts once a person could read it.
type wideGlass struct {
	shown.Glass
	names  map[int]string
	number int
}

// offer takes the newest estimate and gives the name that is shown, empty for
// none and for a load that could be of either alloy.
func (g *wideGlass) offer(e mass.Estimate, now time.Time) string {
	if !e.HasLoad() {
		g.Clear()
		return ""
	}
	of, name := shown.Subject{Load: e.Placement}, alloy(e)
	if !g.Laid || g.Of != of {
		g.names = map[int]string{}
	}
	g.number++
	g.names[g.number] = name
	g.Lay(of)
	u := e.U
	if e.Half > 0 {
		u = e.WholeU
	}
	g.Offer(of, shown.Answer{
		Number: g.number, Claim: "alloy " + name, Open: name == "", Decisive: name != "",
		Settled: e.Phase == mass.PhaseSettled, Mean: e.Mean, U: u,
	}, time.Duration(now.UnixNano()))
	return g.names[g.View().Now]
}
