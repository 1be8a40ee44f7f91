package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/say"
)

// struckForOthers adds the planchets that lay in a mint for other countries' coins.
func (c *compiler) struckForOthers(country string) {
	for _, g := range c.book.ForeignStrikes(country) {
		n := c.blankOf(g.Planchet)
		q := &c.blanks[n]
		struck := yearsOf(&coin.Issue{Spans: g.Spans}, "", "")
		struck = struck.grown(1)
		var years yearSet
		for k := range c.issues {
			if own := &c.issues[k]; c.fits(q, own) {
				years = years.or(own.years.and(struck))
			}
		}
		t := q.clean
		t.edge = mix(c.edgeOf(years), edgeReads[0])
		t.diameter.sd = math.Hypot(diameterU, 0.03*q.Diameter.Value)
		at := say.New("at-some-mint")
		if g.Where != "" {
			at = say.New("at-mint", say.Text("where", g.Where))
		}
		name := say.New("struck-for", say.Text("coin", g.Name), say.Of("where", at))
		confirm := say.New("design-and-mark-first", say.Noun("own", c.coin), say.Of("where", at))
		if mm := q.Diameter.Value; mm > 0 {
			confirm = then(confirm, say.New("then-measure-foreign", say.Text("coin", g.Name), say.Decimal("mm", mm, 1)))
		}
		if g.Grade == coin.Memory {
			name = say.New("struck-for-memory", say.Text("coin", g.Name), say.Of("where", at))
			confirm = then(confirm, say.New("struck-there-memory"))
		}
		c.add(alternative{
			kind: WrongPlanchet, name: c.write(name), word: say.New("a-planchet-of", say.Text("coin", g.Name)), blank: n, forOthers: true, struck: g.Spans,
			mu: q.mu, sigma: q.sigma, rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: t, years: years, weight: years.weight(),
			confirm: then(confirm, say.New("dont-clean")),
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
