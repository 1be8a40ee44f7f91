package verdict

import (
	"math"
	"strconv"

	"panside/internal/coin"
	"panside/internal/say"
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
	of := metalOf(&q.alloy)
	name := c.write(say.New("wrong-year-planchet", say.Noun("metal", of.forms)))
	if collector {
		name = c.write(say.New("collector-planchet", say.Noun("metal", of.forms)))
	}
	add := func(years yearSet, rarer float64) {
		if years.empty() {
			return
		}
		c.add(alternative{
			kind: TransitionalAlloy, name: name, word: c.aMade(q.family, of), blank: n, alike: alike, rarer: rarer,
			known: c.known(q.ID),
			mu:    q.mu, sigma: q.sigma, rate: q.alloy.WearRate, until: handledUntil(q.alloy), observables: q.clean, years: years, weight: years.weight(),
			confirm: say.New("confirm-transition", say.Of("coin", c.aMade(q.family, of))),
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
// that was read: one sentence, nothing where the book knows of none at all. short is
// the same in a few words.
func (w *weighing) proven(s *alternative) (long, short say.Line) {
	if len(s.known.Spans) == 0 || w.year == 0 {
		return long, short
	}
	sure := "sourced"
	if s.known.Grade == coin.Memory {
		sure = "memory"
	}
	var all []string
	for _, k := range s.known.Spans {
		if k.Holds(w.year) && carries(&k, w.mint, w.unmarked) {
			of, mark := strconv.Itoa(w.year), w.mint
			if mark == "" && len(k.Mints) == 1 {
				mark = k.Mints[0]
			}
			if mark != "" && mark != coin.NoMark {
				of += "-" + mark
			}
			short = say.New("few-known")
			if of != w.dated() {
				short = say.New("few-known-of", say.Text("date", of))
			}
			return say.New("few-of-known", say.Text("date", of), say.Text("sure", sure)), short
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
	if len(all) > 0 {
		return say.New("none-known-but", say.Text("year", is), say.List("dates", say.And, texts(all)...), say.Text("sure", sure)), short
	}
	return say.New("none-known", say.Text("year", is)), short
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
