package verdict

import (
	"math"
	"slices"
	"strings"

	"panside/internal/coin"
)

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
func (c *contest) answers(results int, prob func(*traits, int) float64, words []string) (float64, func() string) {
	t := c.table(results)
	for _, x := range c.all {
		for r := range results {
			t.p[x.group*results+r] += x.weight * prob(x.traits, r)
		}
	}
	gain := t.gain()
	if gain < worthwhile {
		return 0, nil
	}
	return gain, func() string { return c.tell(t, results, words) }
}

func (c *contest) yesNo(yes func(*traits) float64, words ...string) (float64, func() string) {
	return c.answers(2, func(t *traits, r int) float64 {
		if r == 0 {
			return yes(t)
		}
		return 1 - yes(t)
	}, words)
}

// measured weighs a test with a number as its result, in bins. All groups get
// the widest spread, so that only different means count as information.
func (c *contest) measured(of func(*traits) gauge, unit string, digits int) (float64, func() string) {
	const bins = 16
	lo, hi, sd := math.Inf(1), math.Inf(-1), 0.0
	for _, x := range c.all {
		if g := of(x.traits); g.mean > 0 {
			lo, hi, sd = math.Min(lo, g.mean), math.Max(hi, g.mean), math.Max(sd, g.sd)
		}
	}
	if !(hi-lo > sd/2) {
		return 0, nil // nothing known, or all alike
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
		return 0, nil
	}
	return gain, func() string { return c.tellMeans(of, unit, digits) }
}

// tellMeans says what each group measures.
func (c *contest) tellMeans(of func(*traits) gauge, unit string, digits int) string {
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
	return sentenceOf(parts)
}

// date weighs reading the date, or reading it again.
func (c *contest) date() (float64, func() string) {
	if c.year != 0 {
		if c.misses < 0 {
			return 0, nil
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
		return t.gain(), func() string { return "If it isn’t what was read, this is an ordinary coin." }
	}
	if len(c.own) == 0 {
		return 0, nil
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
	return t.gain(), c.tellYears
}

// tellYears says which years speak for which alloy.
func (c *contest) tellYears() string {
	var parts []string
	for _, name := range c.groups {
		for f := range c.families {
			if fam := &c.families[f]; fam.name == name && len(fam.years) > 0 {
				parts = append(parts, joined(fam.years)+": "+name)
			}
		}
	}
	return sentenceOf(parts)
}

// mint weighs looking for the mint mark when the year is known.
func (c *contest) mint() (float64, func() string) {
	if c.year == 0 || c.misses >= 0 {
		return 0, nil
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
		return 0, nil
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
	return t.gain(), func() string { return c.tell(t, len(marks), words) }
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
