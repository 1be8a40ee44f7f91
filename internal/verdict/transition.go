package verdict

import (
	"math"
	"strconv"

	"panside/internal/coin"
)

// transitions adds planchets of the denomination's other alloys in years and of
// mints whose coins weren't regularly struck of them: those left over when the
// alloy changed, and those of collector issues that got among the others.
//
// Within transitionReach of an alloy's years that is what a searcher calls the
// alloy of the year before or after. Left-over planchets have turned up much
// later too, so the years up to lateReach follow, each by lateShare less likely.
func (c *compiler) transitions() {
	done := map[int]bool{}
	for i := range c.issues {
		n := c.issues[i].blank
		if done[n] {
			continue
		}
		done[n] = true
		c.transition(n)
	}
}

func (c *compiler) transition(n int) {
	q := c.blanks[n]
	var regular, run, others yearSet
	var alike []int
	collector := true
	for k := range c.issues {
		own := &c.issues[k]
		p := &c.blanks[own.blank]
		if own.blank == n {
			run = run.or(own.years)
			collector = collector && !own.Circulating
		}
		// Coins of this metal and mass, by whatever law or name.
		if p.family == q.family && math.Abs(p.mu/q.mu-1) < 0.01 {
			alike = append(alike, k)
			if own.Circulating {
				regular = regular.or(own.years)
			}
		} else if c.fits(&q, own) {
			others = others.or(own.years)
		}
	}
	near := run.grown(transitionReach).and(others).minus(regular)
	late := run.after(lateReach).and(others).minus(regular).minus(near)
	metal := shortName(&q)
	name := "wrong-year " + metal + " planchet"
	if collector {
		name = metal + " planchet, made for collector coins"
	}
	add := func(years yearSet, rarer float64) {
		if years.empty() {
			return
		}
		c.add(alternative{
			kind: TransitionalAlloy, name: name, word: a(c.made(metal)), blank: n, alike: alike, rarer: rarer,
			known: c.known(q.ID),
			mu:    q.mu, sigma: q.sigma, rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: q.clean, years: years, weight: years.weight(),
			confirm: "Read the date again with a loupe and look for a digit that was cut, filed or added; that is the usual case. " +
				"Magnet, edge and color must be those of " + a(c.made(metal)) + ". Ask an expert.",
		})
	}
	add(near, 1)
	add(late, lateShare)
}

// known are the coins that have been proven on a planchet outside its run, as far as
// the book knows.
func (c *compiler) known(planchet string) coin.OffYear {
	q := c.book.Planchet(planchet)
	for _, o := range c.book.OffYears(c.denomination.Country) {
		p := c.book.Planchet(o.Planchet)
		if c.book.Alloy(p.Alloy).Family == c.book.Alloy(q.Alloy).Family && o.Denomination == c.denomination.ID && math.Abs(p.Mass.Value/q.Mass.Value-1) < 0.01 {
			return o
		}
	}
	return coin.OffYear{}
}

// regularly reports whether, by date and mark as read, coins on the alternative's
// planchet may be regular ones, so that nothing was left over.
func (w *weighing) regularly(s *alternative) bool {
	for _, k := range s.alike {
		if w.own[k].fits {
			return true
		}
	}
	return false
}

// ruledOut reports whether date and mint mark as read leave no room for an
// alternative: planchets that were regular then weren't left over, those that
// weren't couldn't split, and those struck for others lay in another mint.
func (w *weighing) ruledOut(s *alternative) bool {
	switch s.kind {
	case TransitionalAlloy:
		return w.regularly(s)
	case SplitPlanchet:
		return !w.regularly(s)
	}
	return w.elsewhere(s)
}

// knownNear is how many years around the date that was read known coins are named.
const knownNear = 15

// proven says which coins on a planchet outside its run are known, given the date
// that was read: one sentence, empty where the book knows of none at all. short is
// the same in a few words.
func (w *weighing) proven(s *alternative) (long, short string) {
	if len(s.known.Spans) == 0 || w.year == 0 {
		return "", ""
	}
	sure := ""
	if s.known.Grade == coin.Memory {
		sure = " (from memory)"
	}
	var all []string
	for _, k := range s.known.Spans {
		if k.Holds(w.year) && carries(&k, w.mint, w.unmarked) {
			of, mark := strconv.Itoa(w.year), w.mint
			which := ""
			if mark == "" && len(k.Mints) == 1 {
				mark = k.Mints[0]
			}
			if mark != "" && mark != coin.NoMark {
				of += "-" + mark
			}
			if of != w.dated() {
				which = " of " + of
			}
			return "A few of " + of + " are known" + sure + ". ", "a few" + which + " are known"
		}
		for y := max(k.First, w.year-knownNear); y <= min(k.Last, w.year+knownNear); y++ {
			for _, m := range k.Mints {
				one := strconv.Itoa(y)
				if m != coin.NoMark {
					one += "-" + m
				}
				all = append(all, one)
			}
		}
	}
	is := strconv.Itoa(w.year)
	long = "The book knows of none of " + is
	if len(all) > 0 {
		long += ", but of those of " + andList(all) + sure
	}
	return long + ". The weight speaks all the same. ", ""
}

// leftOver is the alternative of a family whose planchets were left over, given the
// date, −1 if there is none.
func (w *weighing) leftOver(family int) int {
	best, top := -1, 0.0
	for i := range w.alternatives {
		if s := &w.alternatives[i]; s.kind == TransitionalAlloy && w.blanks[s.blank].family == family && w.share[i]*w.other[i] > top {
			best, top = i, w.share[i]*w.other[i]
		}
	}
	return best
}
