package verdict

import (
	"slices"

	"panside/internal/say"
)

// candidate is one thing the coin may still be, in a group that the person
// wants told from the others.
type candidate struct {
	group       int
	weight      float64
	observables *observables
}

// mostGroups is more than there can be: six metals, or the ordinary coin, one of another
// date, one of another denomination, and the explanations.
const mostGroups = 3 + mostOfAll + 1

// discrimination is what the next test shall decide.
type discrimination struct {
	*weighing
	groups []say.Line // what each group is called
	all    []candidate
	misses int // group of regular coins whose date or mark was misread, −1 if none
	// own are the regular issues of a discrimination of alloys, for tests of the date.
	own []struct {
		group, issue int
		weight       float64
	}
}

// add takes a candidate in; those that no test tells apart become one.
func (c *discrimination) add(group int, weight float64, t *observables) {
	for i := range c.all {
		if x := &c.all[i]; x.group == group && x.observables == t {
			x.weight += weight
			return
		}
	}
	c.all = append(c.all, candidate{group, weight, t})
}

// discriminationOfAlloys groups what the coin can be by alloy.
func (w *weighing) discriminationOfAlloys(p *posterior) discrimination {
	c := discrimination{weighing: w, misses: -1}
	for i, f := range p.order {
		if i > 5 || p.chance[f] < shown {
			break
		}
		c.groups = append(c.groups, say.New("metal", say.Noun("metal", w.metal(f).forms)))
	}
	families := p.order[:len(c.groups)]
	for i := range w.own {
		g := slices.Index(families, w.blanks[w.issues[i].blank].family)
		if x := w.own[i].weight / w.ownTotal * w.own[i].ordinary; g >= 0 && x > 0 {
			c.add(g, x, &w.blanks[w.issues[i].blank].clean)
			c.own = append(c.own, struct {
				group, issue int
				weight       float64
			}{g, i, x})
		}
	}
	for i := range w.alternatives {
		s := &w.alternatives[i]
		x := w.odds.prior(s.kind) * w.share[i] * w.other[i]
		if !(x > 0.01*w.ordinary) {
			continue
		}
		if g := slices.Index(families, w.blanks[s.blank].family); g >= 0 {
			c.add(g, x, &s.observables)
		}
	}
	c.normalise(false)
	return c
}

// discriminationOfFinds sets the explanations and the ordinary coin side by side. Where a
// find makes the person look, the verdict has an explanation of each.
func (w *weighing) discriminationOfFinds(v *Verdict, found []draft) discrimination {
	c := discrimination{weighing: w, groups: []say.Line{say.New("worn-coin")}, misses: -1}
	var fits, misses float64
	for i := range w.own {
		if x := w.own[i].weight / w.ownTotal * w.own[i].ordinary; w.own[i].fits {
			fits += x
		} else {
			misses += x
		}
	}
	for i := range w.own {
		f := &w.own[i]
		b := &w.blanks[w.issues[i].blank]
		x := f.weight / w.ownTotal * f.ordinary
		switch {
		case x <= 0:
		case f.fits:
			c.add(0, x, &b.damaged)
		case misses > fits:
			if c.misses < 0 {
				c.misses = len(c.groups)
				c.groups = append(c.groups, say.New("coin-of-another-date"))
			}
			c.add(c.misses, x, &b.clean)
		}
	}
	if i := w.likelyOther(); i >= 0 {
		s := &w.alternatives[i]
		c.add(len(c.groups), 1, &s.observables)
		c.groups = append(c.groups, say.New("wrong-denomination", say.Of("coin", s.word)))
	}
	// An altered or false piece may give any result, so it would make every test
	// look useless; it stands aside where there is a definite explanation.
	definite := slices.ContainsFunc(found, func(f draft) bool { return f.looks() && f.alternative >= 0 })
	for n, f := range found {
		if !f.looks() || definite && f.alternative < 0 || f.kind == TwoCoins {
			continue
		}
		t := &w.anything
		if f.alternative >= 0 {
			t = &w.alternatives[f.alternative].observables
		}
		c.add(len(c.groups), 1, t)
		c.groups = append(c.groups, say.New("explained", say.Text("name", v.Explanations[n].Name)))
	}
	c.normalise(true)
	return c
}

// normalise makes the weights sum to one; alike gives every group the same.
// Groups that nothing stands for are dropped.
func (c *discrimination) normalise(alike bool) {
	var sums [mostGroups]float64
	total := 0.0
	for _, x := range c.all {
		sums[x.group] += x.weight
		total += x.weight
	}
	live := 0.0
	for _, s := range sums {
		if s > 0 {
			live++
		}
	}
	for i := range c.all {
		if x := &c.all[i]; alike {
			x.weight /= sums[x.group] * live
		} else {
			x.weight /= total
		}
	}
	for i := range c.own {
		c.own[i].weight /= total
	}
}
