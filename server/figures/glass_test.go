package figures

import (
	"time"

	"panside/internal/book/data"
	"panside/internal/bridge"
	"panside/internal/mass"
	"panside/internal/shown"
	"panside/internal/verdict"
)

// answer is what a verdict says in short; the zero answer is none.
type answer struct {
	call  verdict.Call
	alloy string
	shown shown.Answer
}

// ask judges an estimate; the zero answer if it can't, for nothing weighs zero or
// less.
func ask(denomination string, year int, e mass.Estimate, resolution mass.Grams) answer {
	q := verdict.Question{
		Country: "US", Denomination: denomination, Year: year,
		Mean: e.Mean, U: e.U, Half: e.Half, WholeU: e.WholeU, Resolution: resolution,
	}
	v, err := verdict.Judge(data.Coins(), q)
	if err != nil {
		return answer{}
	}
	a := answer{call: v.Call, shown: bridge.Answered(&v, &q)}
	if len(v.Alloys) > 0 {
		a.alloy = v.Alloys[0].Name
	}
	return a
}

// glass is what stands on the phone's screen of the load on the pan, by the
// phone's own rule.
type glass struct {
	shown.Glass
	said   map[int]answer // by number, as long as the rule may still show it
	number int
}

// offer takes the newest estimate and what was answered to it, and gives what is
// shown.
func (g *glass) offer(e mass.Estimate, a answer, now time.Time) answer {
	if !e.HasLoad() || a == (answer{}) {
		g.Clear()
		return answer{}
	}
	of := shown.Subject{Load: e.Placement}
	if !g.Laid || g.Of != of {
		g.said = map[int]answer{}
	}
	g.number++
	a.shown.Number, a.shown.Settled = g.number, e.Phase == mass.PhaseSettled
	g.said[g.number] = a
	g.Lay(of)
	g.Offer(of, a.shown, time.Duration(now.UnixNano()))
	return g.said[g.View().Now]
}
