package verdict

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"panside/internal/coin"
)

// The tests a person can make at the table; between tests worth as much, the
// earlier is taken.
const (
	testDesign    = "design"
	testDate      = "date"
	testMint      = "mint"
	testColour    = "colour"
	testStripe    = "stripe"
	testEdge      = "edge"
	testMagnet    = "magnet"
	testDiameter  = "diameter"
	testThickness = "thickness"
	testDensity   = "density"
)

// effort discounts the information of a test by how long it takes and how often
// it goes wrong at a table. Assumed.
var effort = map[string]float64{
	testDesign: 1, testDate: 1, testMint: 1, testColour: 1, testStripe: 1, testEdge: 1,
	testMagnet: 0.95, testDiameter: 0.9, testThickness: 0.8, testDensity: 0.5,
}

// how tells how to make each test, and what to mind.
var how = map[string][2]string{
	testDesign:    {"Make sure which coin it is: read the denomination on it.", ""},
	testDate:      {"Read the date with a loupe.", ""},
	testMint:      {"Look for the mint mark, its letter and its place.", ""},
	testColour:    {"Look at the colour of the bare metal in daylight.", "Don’t clean or scratch the coin to see it."},
	testStripe:    {"Look along the edge for a line of another colour.", ""},
	testEdge:      {"Look how the edge is made.", ""},
	testMagnet:    {"Hang a small, weak magnet beside the coin and see whether it is drawn.", "Keep magnets from pacemakers, cards and children: two swallowed magnets are an emergency."},
	testDiameter:  {"Measure the diameter with calipers.", "Close the jaws without pressing; metal jaws scratch."},
	testThickness: {"Measure the thickness at the rim with calipers.", "Close the jaws without pressing; metal jaws scratch."},
	testDensity:   {"Weigh it in air, then hanging in water, for its density.", "Plain water only, pat dry; not for a coin whose surface matters. Solvents and acids don’t belong at the table."},
}

var testOrder = []string{testDesign, testDate, testMint, testColour, testStripe, testEdge, testMagnet, testDiameter, testThickness, testDensity}

// worthwhile is the least expected information, in bits, for a test to be
// proposed.
const worthwhile = 0.05

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

// tests proposes what to try next: the tests by the information each is
// expected to give about the question that is open, less what it costs,
//
//	I(G; R) = Σ P(g, r)·log₂( P(g, r) / (P(g)·P(r)) )
//
// over the groups g that remain and the results r that people would report,
// misreadings included. If explanations make the person look, the groups are
// those and the ordinary coin, all alike; else the alloys with their
// probabilities.
func (w *weighing) tests(v *Verdict, best int, p *posterior, found []candidate) {
	var c contest
	switch {
	case v.Call == Look:
		c = w.contestOfFinds(found)
	case !v.Decisive:
		c = w.contestOfAlloys(p)
	default:
		return
	}
	if len(c.groups) < 2 || w.y < w.blanks[w.issues[best].blank].mu/2 && w.likelyOther() < 0 && !slices.ContainsFunc(found, func(f candidate) bool { return f.strange >= 0 }) {
		return // or a crumb, with nothing to test
	}
	e := &w.q.Evidence
	var out []Test
	for _, name := range testOrder {
		var gain float64
		var tells string
		switch name {
		case testDesign:
			if e.Design == "" {
				gain, tells = c.yesNo(func(t *traits) float64 { return t.design }, "that of a "+w.noun, "another")
			}
		case testDate:
			if e.Date != Sure {
				gain, tells = c.date()
			}
		case testMint:
			if w.mint == "" {
				gain, tells = c.mint()
			}
		case testColour:
			if e.Colour == "" {
				gain, tells = c.answers(colourAnswers, func(t *traits, r int) float64 { return t.colour[r] },
					[]string{"copper-red", "golden", "silvery", "grey", "two colours"})
			}
		case testStripe:
			if e.Stripe == "" {
				gain, tells = c.yesNo(func(t *traits) float64 { return t.stripe }, "a stripe", "none")
			}
		case testEdge:
			if e.Edge == "" {
				gain, tells = c.answers(edgeAnswers, func(t *traits, r int) float64 { return t.edge[r] },
					[]string{"plain", "reeded", "lettered", "other"})
			}
		case testMagnet:
			if e.Magnetic == "" {
				gain, tells = c.answers(magnetAnswers, func(t *traits, r int) float64 { return t.magnet[r] },
					[]string{"not drawn", "weakly drawn", "drawn"})
			}
		case testDiameter:
			if e.Diameter == 0 {
				gain, tells = c.measured(func(t *traits) gauge { return t.diameter }, "mm", 1)
			}
		case testThickness:
			if e.Thickness == 0 {
				gain, tells = c.measured(func(t *traits) gauge { return t.thickness }, "mm", 2)
			}
		case testDensity:
			if e.Density == 0 {
				gain, tells = c.measured(func(t *traits) gauge { return t.density }, "g/cm³", 2)
			}
		}
		if gain >= worthwhile {
			sentence := how[name][0]
			if tells != "" {
				sentence += " " + tells
			}
			out = append(out, Test{Test: name, Sentence: sentence, Caution: how[name][1], Gain: math.Round(1000*gain) / 1000})
		}
	}
	slices.SortStableFunc(out, func(a, b Test) int {
		return cmp.Compare(b.Gain*effort[b.Test], a.Gain*effort[a.Test])
	})
	if len(out) > 0 {
		v.NextTest = &out[0]
		v.OtherTests = out[1:min(len(out), 4)]
	}
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
		c.groups = append(c.groups, w.families[f].name)
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
		if !f.looks() || definite && f.strange < 0 {
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

// table holds P(group, result), results in columns.
type table struct {
	p      []float64
	groups int
}

// gain is the mutual information of the table, in bits, as the entropies
// H(G) + H(R) − H(G, R). Rows that don't add up to all (strange coins have no
// say in a test of the date) are scaled.
func (t table) gain() float64 {
	cols := len(t.p) / t.groups
	rows := make([]float64, t.groups)
	total, h := 0.0, 0.0
	for g := range rows {
		for _, x := range t.p[g*cols:][:cols] {
			rows[g] += x
		}
		total += rows[g]
	}
	if !(total > 0) {
		return 0
	}
	for _, x := range rows {
		h += entropy(x / total)
	}
	for r := range cols {
		col, in := 0.0, 0
		for g := range rows {
			if x := t.p[g*cols+r]; x > 0 {
				col += x
				in++
			}
		}
		if in < 2 {
			continue // one cell is its column: they cancel
		}
		h += entropy(col / total)
		for g := range rows {
			h -= entropy(t.p[g*cols+r] / total)
		}
	}
	return math.Max(h, 0)
}

// entropy is −p·log₂ p.
func entropy(p float64) float64 {
	if p <= 0 {
		return 0
	}
	return -p * math.Log2(p)
}

func (c *contest) table(results int) table {
	return table{make([]float64, len(c.groups)*results), len(c.groups)}
}

// answers weighs a test with a few possible answers.
func (c *contest) answers(results int, prob func(*traits, int) float64, words []string) (float64, string) {
	t := c.table(results)
	for _, x := range c.all {
		for r := range results {
			t.p[x.group*results+r] += x.weight * prob(x.traits, r)
		}
	}
	gain := t.gain()
	if gain < worthwhile {
		return 0, ""
	}
	return gain, c.tell(t, results, words)
}

func (c *contest) yesNo(yes func(*traits) float64, words ...string) (float64, string) {
	return c.answers(2, func(t *traits, r int) float64 {
		if r == 0 {
			return yes(t)
		}
		return 1 - yes(t)
	}, words)
}

// measured weighs a test with a number as its result, in bins. All groups get
// the widest spread, so that only different means count as information.
func (c *contest) measured(of func(*traits) gauge, unit string, digits int) (float64, string) {
	const bins = 16
	lo, hi, sd := math.Inf(1), math.Inf(-1), 0.0
	for _, x := range c.all {
		if g := of(x.traits); g.mean > 0 {
			lo, hi, sd = math.Min(lo, g.mean), math.Max(hi, g.mean), math.Max(sd, g.sd)
		}
	}
	if !(hi-lo > sd/2) {
		return 0, "" // nothing known, or all alike
	}
	lo, hi = lo-3*sd, hi+3*sd
	t := c.table(bins)
	var unknown []contender
	var pooled [bins]float64
	known := 0.0
	for _, x := range c.all {
		g := of(x.traits)
		row := t.p[x.group*bins:][:bins]
		if g.mean == 0 {
			unknown = append(unknown, x)
			continue
		}
		var part [bins]float64
		sum := 0.0
		for r := range part {
			z := (lo + (hi-lo)*(float64(r)+0.5)/bins - g.mean) / math.Max(sd, (hi-lo)/bins)
			part[r] = math.Exp(-z * z / 2)
			sum += part[r]
		}
		for r := range row {
			p := (1-blunder)*part[r]/sum + blunder/bins
			row[r] += x.weight * p
			pooled[r] += x.weight * p
			known += x.weight
		}
	}
	// What isn't known measures like the rest, so it tells nothing.
	for _, x := range unknown {
		row := t.p[x.group*bins:][:bins]
		for r := range row {
			row[r] += x.weight * pooled[r] * bins / known
		}
	}
	gain := t.gain()
	if gain < worthwhile {
		return 0, ""
	}
	// Tell each group's mean.
	means := make([]float64, len(c.groups))
	sums := make([]float64, len(c.groups))
	for _, x := range c.all {
		if g := of(x.traits); g.mean > 0 {
			means[x.group] += x.weight * g.mean
			sums[x.group] += x.weight
		}
	}
	var parts []string
	for g, name := range c.groups {
		if sums[g] > 0 {
			parts = append(parts, "about "+decimal(means[g]/sums[g], digits)+" "+unit+": "+name)
		}
	}
	return gain, sentenceOf(parts)
}

// date weighs reading the date, or reading it again.
func (c *contest) date() (float64, string) {
	if c.year != 0 {
		if c.misses < 0 {
			return 0, ""
		}
		// A second look confirms a true date and corrects most misread ones.
		t := c.table(2)
		for _, x := range c.all {
			confirmed := 0.99
			if x.group == c.misses {
				confirmed = 0.05
			}
			t.p[x.group*2] += x.weight * confirmed
			t.p[x.group*2+1] += x.weight * (1 - confirmed)
		}
		return t.gain(), "If it isn’t what was read, this is an ordinary coin."
	}
	if len(c.own) == 0 {
		return 0, ""
	}
	t := c.table(yearCount)
	for _, x := range c.own {
		k := &c.issues[x.issue]
		each := x.weight * k.factor / k.weight
		row := t.p[x.group*yearCount:][:yearCount]
		for y := range k.years.all() {
			row[y-firstYear] += each * turnUp[y-firstYear]
		}
	}
	gain := t.gain()
	var parts []string
	for _, name := range c.groups {
		for f := range c.families {
			fam := &c.families[f]
			if fam.name == name && len(fam.years) > 0 {
				parts = append(parts, joined(fam.years)+": "+name)
			}
		}
	}
	return gain, sentenceOf(parts)
}

// mint weighs looking for the mint mark when the year is known.
func (c *contest) mint() (float64, string) {
	if c.year == 0 || c.misses >= 0 {
		return 0, ""
	}
	var marks []string
	for _, x := range c.own {
		for _, m := range c.issues[x.issue].Mints(c.year) {
			if !slices.Contains(marks, m) {
				marks = append(marks, m)
			}
		}
	}
	if len(marks) < 2 {
		return 0, ""
	}
	slices.Sort(marks)
	t := c.table(len(marks))
	for _, x := range c.own {
		of := c.issues[x.issue].Mints(c.year)
		for r, m := range marks {
			p := misreadMint / float64(len(marks))
			if slices.Contains(of, m) {
				p += (1 - misreadMint) / float64(len(of))
			}
			t.p[x.group*len(marks)+r] += x.weight * p
		}
	}
	words := make([]string, len(marks))
	for i, m := range marks {
		words[i] = m
		if m == coin.NoMark {
			words[i] = "no mark"
		}
	}
	return t.gain(), c.tell(t, len(marks), words)
}

// tell says which result speaks for what: for each result the few groups that
// give it oftener than chance.
func (c *contest) tell(t table, results int, words []string) string {
	rows := make([]float64, len(c.groups))
	for g := range rows {
		for r := range results {
			rows[g] += t.p[g*results+r]
		}
	}
	var parts []string
	for r := range results {
		var for_ []string
		for g, name := range c.groups {
			if rows[g] > 0 && t.p[g*results+r]/rows[g] > math.Max(0.3, 1/float64(results)) {
				for_ = append(for_, name)
			}
		}
		// More than two names would tell the person nothing.
		if n := len(for_); n > 0 && n <= 2 && n < len(c.groups) {
			parts = append(parts, words[r]+": "+strings.Join(for_, " or "))
		}
	}
	return sentenceOf(parts)
}

// sentenceOf joins parts into a sentence of the form “Red: x; white: y.”
func sentenceOf(parts []string) string {
	if len(parts) == 0 {
		return ""
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// joined shortens a list of years to what can be read at a glance.
func joined(years []string) string {
	if n := len(years); n > 3 {
		first, _, _ := strings.Cut(years[0], "–")
		last := years[n-1]
		if _, to, ok := strings.Cut(last, "–"); ok {
			last = to
		}
		return first + "–" + last + " with gaps"
	}
	return strings.Join(years, ", ")
}
