package verdict

import (
	"math"

	"panside/internal/coin"
)

// struckForOthers adds the planchets that lay in the mint for other countries' coins.
func (c *compiler) struckForOthers(country string) {
	for _, g := range c.book.ForeignStrikes(country) {
		n := c.blankOf(g.Planchet)
		q := &c.blanks[n]
		at := yearsOf(&coin.Issue{Spans: g.Spans}, "", "")
		at = at.grown(1)
		var years yearSet
		for k := range c.issues {
			if own := &c.issues[k]; c.fits(q, own) {
				years = years.or(own.years.and(at))
			}
		}
		t := q.clean
		t.edge = mix(c.edgeOf(years), edgeReads[0])
		t.diameter.sd = math.Hypot(diameterU, 0.03*q.Diameter.Value)
		name := "planchet of the " + g.Name + ", which this mint struck"
		confirm := "First make sure the design is a " + c.noun + "’s." + about(" Then measure: the ", g.Name, q.Diameter.Value)
		if g.Grade == coin.Memory {
			name += " (from memory)"
			confirm += " That the mint struck it, and when, is from memory."
		}
		c.add(alternative{
			kind: WrongPlanchet, name: name, word: "a planchet of the " + g.Name, blank: n, forOthers: true,
			mu: q.mu, sigma: q.sigma, rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: t, years: years, weight: years.weight(),
			confirm: confirm + " Don’t clean it; ask an expert.",
		})
	}
}
