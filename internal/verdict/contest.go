package verdict

import (
	"slices"
)

// contender is one thing the coin may still be, in a group that the person
// wants told from the others.
type contender struct {
	group  int
	weight float64
	traits *traits
}

// contest is what the next test shall decide.
type contest struct {
	*weighing
	groups []string // what each group is called
	all    []contender
	misses int // group of regular coins whose date or mark was misread, −1 if none
	// own are the regular issues of a contest of alloys, for tests of the date.
	own []struct {
		group, issue int
		weight       float64
	}
}

// add takes a contender in; those that no test tells apart become one.
func (c *contest) add(group int, weight float64, t *traits) {
	for i := range c.all {
		if x := &c.all[i]; x.group == group && x.traits == t {
			x.weight += weight
			return
		}
	}
	c.all = append(c.all, contender{group, weight, t})
}

// contestOfAlloys groups what the coin can be by alloy.
func (w *weighing) contestOfAlloys(p *posterior) contest {
	c := contest{weighing: w, misses: -1}
	group := map[int]int{}
	for i, f := range p.order {
		if i > 5 || p.chance[f] < shown {
			break
		}
		group[f] = len(c.groups)
		name, _ := w.metal(f)
		metal, _ := metalOf(name)
		c.groups = append(c.groups, metal)
	}
	for i := range w.own {
		g, ok := group[w.blanks[w.issues[i].blank].family]
		if x := w.own[i].weight / w.ownTotal * w.own[i].ordinary; ok && x > 0 {
			c.add(g, x, &w.blanks[w.issues[i].blank].clean)
			c.own = append(c.own, struct {
				group, issue int
				weight       float64
			}{g, i, x})
		}
	}
	for i := range w.strange {
		s := &w.strange[i]
		g, ok := group[w.blanks[s.blank].family]
		if x := s.kind.prior() * w.share[i] * w.other[i]; ok && x > 0.01*w.ordinary {
			c.add(g, x, &s.traits)
		}
	}
	c.normalise(false)
	return c
}

// contestOfFinds sets the explanations and the ordinary coin side by side.
func (w *weighing) contestOfFinds(found []candidate) contest {
	c := contest{weighing: w, groups: []string{"an ordinary coin, damaged or worn"}, misses: -1}
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
				c.groups = append(c.groups, "an ordinary coin of another date")
			}
			c.add(c.misses, x, &b.clean)
		}
	}
	if i := w.likelyOther(); i >= 0 {
		s := &w.strange[i]
		c.add(len(c.groups), 1, &s.traits)
		c.groups = append(c.groups, a(s.name)+" under the wrong key")
	}
	// The general kinds look like anything, so no test is chosen for their
	// sake if there is something definite to decide on.
	definite := slices.ContainsFunc(found, func(f candidate) bool { return f.looks() && f.strange >= 0 })
	for _, f := range found {
		if !f.looks() || definite && f.strange < 0 || f.kind == TwoCoins {
			continue
		}
		t := &w.anything
		if f.strange >= 0 {
			t = &w.strange[f.strange].traits
		}
		c.add(len(c.groups), 1, t)
		c.groups = append(c.groups, w.explanation(f, 0, Regular).Name)
	}
	c.normalise(true)
	return c
}

// normalise makes the weights sum to one; alike gives every group the same.
// Groups that nothing stands for are dropped.
func (c *contest) normalise(alike bool) {
	sums := make([]float64, len(c.groups))
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
