package verdict

import (
	"math"
	"slices"
	"strconv"

	"panside/internal/coin"
	"panside/internal/say"
	"panside/internal/stable"
)

// table holds P(group, result), results in columns.
type table struct {
	p      []float64
	groups int
}

// mutualInformation is what a result tells of the group, in bits, as the entropies
// H(G) + H(R) − H(G, R). Rows that don't add up to all (alternatives have no
// say in a test of the date) are scaled.
func (t table) mutualInformation() float64 {
	cols := len(t.p) / t.groups
	var room [mostGroups]float64
	rows := room[:t.groups]
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
	// With cells x that sum to T, Σ −(x/T)·log(x/T) is log T + (Σ −x·log x)/T.
	for _, x := range rows {
		h += entropy(x)
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
		h += entropy(col)
		for g := range rows {
			h -= entropy(t.p[g*cols+r])
		}
	}
	return math.Max((h/total+math.Log(total))/math.Ln2, 0)
}

// entropy is −p·log p.
func entropy(p float64) float64 {
	if p <= 0 {
		return 0
	}
	return -p * math.Log(p)
}

func (c *discrimination) table(results int) table {
	return table{make([]float64, len(c.groups)*results), len(c.groups)}
}

// results say what each result of a test is. They are asked for the few tests only that are
// proposed.
type results func(*discrimination) []say.Line

// answers weighs a test with a few possible answers.
func (c *discrimination) answers(results int, prob func(*observables, int) float64, words results) (float64, func() say.Line) {
	t := c.table(results)
	for _, x := range c.all {
		for r := range results {
			t.p[x.group*results+r] += x.weight * prob(x.observables, r)
		}
	}
	bits := t.mutualInformation()
	if bits < worthwhile {
		return 0, nil
	}
	return bits, func() say.Line { return c.tell(t, results, words) }
}

func (c *discrimination) yesNo(yes func(*observables) float64, words results) (float64, func() say.Line) {
	return c.answers(2, func(t *observables, r int) float64 {
		if r == 0 {
			return yes(t)
		}
		return 1 - yes(t)
	}, words)
}

// measured weighs a test with a number as its result, in bins. All groups get
// the widest spread, so that only different means count as information.
func (c *discrimination) measured(of func(*observables) measurement, unit string, digits int) (float64, func() say.Line) {
	const bins = measuredBins
	lo, hi, sd := math.Inf(1), math.Inf(-1), 0.0
	for _, x := range c.all {
		if g := of(x.observables); g.mean > 0 {
			lo, hi, sd = min(lo, g.mean), max(hi, g.mean), max(sd, g.sd)
		}
	}
	if !(hi-lo > sd/2) {
		return 0, nil // nothing known, or all alike
	}
	lo, hi = lo-3*sd, hi+3*sd
	t := c.table(bins)
	var unknown []candidate
	var pooled [bins]float64
	known := 0.0
	for _, x := range c.all {
		g := of(x.observables)
		row := t.p[x.group*bins:][:bins]
		if g.mean == 0 {
			unknown = append(unknown, x)
			continue
		}
		part, sum := bell((g.mean-lo)/(hi-lo)*measuredBins-0.5, measuredBins*sd/(hi-lo))
		for r := range row {
			p := (1-blunder)*part[r]/sum + blunder/bins
			row[r] += x.weight * p
			pooled[r] += x.weight * p
			known += x.weight
		}
	}
	// A candidate of unknown size gets the average of the others, so that a test
	// isn't proposed because our book lacks a figure.
	for _, x := range unknown {
		row := t.p[x.group*bins:][:bins]
		for r := range row {
			row[r] += x.weight * pooled[r] * bins / known
		}
	}
	bits := t.mutualInformation()
	if bits < worthwhile {
		return 0, nil
	}
	return bits, func() say.Line { return c.tellMeans(of, unit, digits) }
}

// measuredBins is into how many bins a measured value is sorted.
const measuredBins = 12

// bell is a normal density over bins 0, 1, …, up to a factor, and its sum; mean
// and sd are in bins, sd at least one. From the bin nearest the mean outwards
// each value is the last one times a factor that shrinks evenly, which spares
// an exponential a bin.
func bell(mean, sd float64) (part [measuredBins]float64, sum float64) {
	sd = math.Max(sd, 1)
	top := min(max(int(math.Round(mean)), 0), measuredBins-1)
	z := (float64(top) - mean) / sd
	peak := math.Exp(-z * z / 2)
	shrink := math.Exp(-1 / (sd * sd))
	part[top] = peak
	for _, step := range [2]int{1, -1} {
		x := peak
		f := math.Exp(-(1 + 2*float64(step)*(float64(top)-mean)) / (2 * sd * sd))
		for r := top + step; r >= 0 && r < measuredBins; r += step {
			x *= f
			f *= shrink
			part[r] = x
			sum += x
		}
	}
	return part, sum + peak
}

// tellMeans says what each group measures.
func (c *discrimination) tellMeans(of func(*observables) measurement, unit string, digits int) say.Line {
	var means, sums [mostGroups]float64
	for _, x := range c.all {
		if g := of(x.observables); g.mean > 0 {
			means[x.group] += x.weight * g.mean
			sums[x.group] += x.weight
		}
	}
	parts := make([]say.Arg, 0, mostGroups)
	for g, name := range c.groups {
		if sums[g] > 0 {
			parts = append(parts, say.Of("", say.New("about-is", say.Decimal("x", means[g]/sums[g], digits), say.Text("unit", unit), say.Of("what", name))))
		}
	}
	return clauses(parts)
}

// date weighs reading the date, or reading it again.
func (c *discrimination) date() (float64, func() say.Line) {
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
		return t.mutualInformation(), func() say.Line { return say.New("if-misread") }
	}
	if len(c.own) == 0 {
		return 0, nil
	}
	// Years in which the same issues were struck tell the same.
	t := c.table(len(c.eras))
	for _, x := range c.own {
		k := &c.issues[x.issue]
		each := x.weight / k.years.weight()
		row := t.p[x.group*len(c.eras):][:len(c.eras)]
		for e := range c.eras {
			if era := &c.eras[e]; k.years.has(era.first) {
				row[e] += each * era.weight
			}
		}
	}
	return t.mutualInformation(), func() say.Line { return c.tellYears(t) }
}

// tellYears says which years speak for which alloy, given the weight: “To 1964:
// 90% silver; from 1965 on: clad”. A year that leaves two open says so.
func (c *discrimination) tellYears(t table) say.Line {
	const sure = 0.9
	type run struct {
		first, last int
		group       int // −1 where a year leaves more than one
	}
	var runs []run
	total := 0.0
	for _, x := range t.p {
		total += x
	}
	sums, bests := make([]float64, len(c.eras)), make([]int, len(c.eras))
	for e := range sums {
		top := 0.0
		bests[e] = -1
		for g := range c.groups {
			x := t.p[g*len(c.eras)+e]
			sums[e] += x
			if x > top {
				top, bests[e] = x, g
			}
		}
		if top < sure*sums[e] {
			bests[e] = -1
		}
	}
	for y, e := range c.eraOf {
		if e == 0 {
			continue // nothing was struck
		}
		sum, best := sums[e-1], bests[e-1]
		// A year of which nobody meets a coin of that weight begins no run, but may
		// carry one on.
		n := len(runs)
		carried := n > 0 && runs[n-1].group == best
		switch {
		case sum < 1e-4*total && !(carried && best >= 0):
		case carried:
			runs[n-1].last = firstYear + y
		default:
			runs = append(runs, run{firstYear + y, firstYear + y, best})
		}
	}
	const most = 6
	if n := len(runs); n < 2 || n > most {
		return say.Line{}
	}
	parts := make([]say.Arg, 0, most)
	for i, r := range runs {
		what := say.New("either")
		if r.group >= 0 {
			what = c.groups[r.group]
		}
		first, last := strconv.Itoa(r.first), strconv.Itoa(r.last)
		part := say.Line{}
		switch {
		case i == 0:
			part = say.New("to-year", say.Text("year", last), say.Of("what", what))
		case i == len(runs)-1:
			part = say.New("from-year", say.Text("year", first), say.Of("what", what))
		case r.first == r.last:
			part = say.New("in-year", say.Text("year", first), say.Of("what", what))
		default:
			part = say.New("in-years", say.Text("first", first), say.Text("last", last), say.Of("what", what))
		}
		parts = append(parts, say.Of("", part))
	}
	return clauses(parts)
}

// marks are the mint marks of the year in the issues that remain, in order.
func (c *discrimination) marks() []string {
	var marks []string
	for _, x := range c.own {
		for _, m := range c.issues[x.issue].Mints(c.year) {
			if !slices.Contains(marks, m) {
				marks = append(marks, m)
			}
		}
	}
	stable.Words(marks)
	return marks
}

// mintMark weighs looking for the mint mark when the year is known.
func (c *discrimination) mintMark() (float64, func() say.Line) {
	if c.year == 0 || c.misses >= 0 {
		return 0, nil
	}
	marks := c.marks()
	if len(marks) < 2 {
		return 0, nil
	}
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
	return t.mutualInformation(), func() say.Line {
		return c.tell(t, len(marks), func(*discrimination) []say.Line { return ifMarks(marks) })
	}
}

func ifMarks(marks []string) []say.Line {
	words := make([]say.Line, len(marks))
	for i, m := range marks {
		words[i] = say.New("if-mark", say.Text("mark", m))
		if m == coin.NoMark {
			words[i] = say.New("if-no-mark")
		}
	}
	return words
}

// tell says which result speaks for what: for each result the few groups that
// give it oftener than chance.
func (c *discrimination) tell(t table, results int, words results) say.Line {
	var rows [mostGroups]float64
	for g := range c.groups {
		for r := range results {
			rows[g] += t.p[g*results+r]
		}
	}
	seen := words(c)
	parts := make([]say.Arg, 0, 8)
	for r := range results {
		var speaks [2]say.Line
		n := 0
		for g, name := range c.groups {
			if rows[g] > 0 && t.p[g*results+r]/rows[g] > math.Max(0.3, 1/float64(results)) {
				if n < len(speaks) {
					speaks[n] = name
				}
				n++
			}
		}
		// More than two names would tell the person nothing.
		if n == 0 || n > len(speaks) || n == len(c.groups) {
			continue
		}
		what := speaks[0]
		if n == 2 {
			what = say.New("this-or", say.Of("this", speaks[0]), say.Of("other", speaks[1]))
		}
		parts = append(parts, say.Of("", say.New("if-is", say.Of("seen", seen[r]), say.Of("what", what))))
	}
	return clauses(parts)
}

// clauses joins lines into a sentence of the form “If red: x; if white: y.”
func clauses(parts []say.Arg) say.Line {
	if len(parts) == 0 {
		return say.Line{}
	}
	return say.New("clauses", say.List("list", say.Semicolon, parts...))
}
