package verdict

import (
	"math"

	"panside/internal/coin"
)

// struckForOthers adds the planchets that lay in a mint for other countries' coins.
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
		where := "a mint of this country"
		if g.Where != "" {
			where = g.Where
		}
		name := "planchet of the " + g.Name + ", struck in " + where
		confirm := "First make sure the design is a " + c.noun + "’s, and its mint mark that of " + where + "." + about(" Then measure: the ", g.Name, q.Diameter.Value)
		if g.Grade == coin.Memory {
			name += " (from memory)"
			confirm += " That it was struck there, and when, is from memory."
		}
		c.add(alternative{
			kind: WrongPlanchet, name: name, word: "a planchet of the " + g.Name, blank: n, forOthers: true, struck: g.Spans,
			mu: q.mu, sigma: q.sigma, rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: t, years: years, weight: years.weight(),
			confirm: confirm + " Don’t clean it; ask an expert.",
		})
	}
}

// elsewhere reports whether the alternative's planchet lay in another mint than
// the one whose mark was read, or in another year: planchets of a year may be fed
// to a press of the same mint a year later. Without a date nothing says that the
// mint had them.
func (w *weighing) elsewhere(s *alternative) bool {
	if !s.forOthers {
		return false
	}
	for i := range s.struck {
		k := &s.struck[i]
		if w.year >= k.First-1 && w.year <= k.Last+1 && carries(k, w.mint, w.unmarked) {
			return false
		}
	}
	return true
}
