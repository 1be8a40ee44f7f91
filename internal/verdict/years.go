package verdict

import (
	"math"
	"math/bits"

	"panside/internal/coin"
)

// yearSet is a set of years from firstYear on, one bit each.
type yearSet [6]uint64

const (
	firstYear = 1700
	yearCount = 6 * 64
)

func (s *yearSet) add(year int) {
	if i := year - firstYear; i >= 0 && i < yearCount {
		s[i/64] |= 1 << (i % 64)
	}
}

func (s *yearSet) has(year int) bool {
	i := year - firstYear
	return i >= 0 && i < yearCount && s[i/64]>>(i%64)&1 == 1
}

func (s yearSet) and(o yearSet) yearSet {
	for i := range s {
		s[i] &= o[i]
	}
	return s
}

func (s yearSet) or(o yearSet) yearSet {
	for i := range s {
		s[i] |= o[i]
	}
	return s
}

func (s yearSet) minus(o yearSet) yearSet {
	for i := range s {
		s[i] &^= o[i]
	}
	return s
}

func (s *yearSet) empty() bool { return *s == yearSet{} }

// grown adds n years before and after each run.
func (s yearSet) grown(n int) yearSet {
	out := s
	for y := range s.all() {
		for d := -n; d <= n; d++ {
			out.add(y + d)
		}
	}
	return out
}

// after is the n years after the last.
func (s yearSet) after(n int) yearSet {
	last := 0
	for y := range s.all() {
		last = y
	}
	var out yearSet
	for y := last + 1; last > 0 && y <= last+n; y++ {
		out.add(y)
	}
	return out
}

// all yields the years in order.
func (s *yearSet) all() func(func(int) bool) {
	return func(yield func(int) bool) {
		for i, word := range s {
			for ; word != 0; word &= word - 1 {
				if !yield(firstYear + 64*i + bits.TrailingZeros64(word)) {
					return
				}
			}
		}
	}
}

// between counts the years from lo to hi, both included.
func (s *yearSet) between(lo, hi int) int {
	lo, hi = max(lo-firstYear, 0), min(hi-firstYear, yearCount-1)
	n := 0
	for i := lo / 64; i <= hi/64 && lo <= hi; i++ {
		n += onesBetween(s[i], lo-64*i, hi-64*i)
	}
	return n
}

// turnUp is how likely a coin of a year is to turn up, relative to one of this
// year:
//
//	2^(−age/halfLife) · 2^(−(age − hoardedAfter)/hoardedLife)
//
// the second factor for ages above hoardedAfter only.
var turnUp = func() (w [yearCount]float64) {
	for i := range w {
		age := math.Max(0, float64(asOf-firstYear-i))
		w[i] = math.Exp2(-age/halfLife - math.Max(0, age-hoardedAfter)/hoardedLife)
	}
	return w
}()

// turnsUp is turnUp of a year, that of the nearest one outside its range.
func turnsUp(year int) float64 { return turnUp[min(max(year-firstYear, 0), yearCount-1)] }

// weight is the sum of turnUp over the set.
func (s *yearSet) weight() float64 {
	sum := 0.0
	for y := range s.all() {
		sum += turnUp[y-firstYear]
	}
	return sum
}

// yearsOf are the years of an issue that is struck with the mark (any for "").
// unmarked is the letter of the mint whose coins long had none.
func yearsOf(i *coin.Issue, mark, unmarked string) yearSet {
	var set yearSet
	for _, s := range i.Spans {
		if !carries(&s, mark, unmarked) {
			continue
		}
		last := s.Last
		if s.Open {
			last = max(last, asOf)
		}
		for y := s.First; y <= last; y++ {
			set.add(y)
		}
	}
	return set
}

// carries reports whether coins of the span can show the mark; the rule is that
// of coin.Book.Find.
func carries(s *coin.Span, mark, unmarked string) bool {
	if mark == "" || s.Mints == nil {
		return true
	}
	for _, m := range s.Mints {
		if m == mark || m == coin.NoMark && mark == unmarked {
			return true
		}
	}
	return mark == coin.NoMark && s.MarkLost
}

// era is all years in which the same issues were struck.
type era struct {
	first  int
	weight float64 // how likely coins of these years are to turn up
}

// sortYears finds the eras. There are at most as many as turns of issues, some
// dozens.
func (c *compiler) sortYears() {
	for y := firstYear; y < firstYear+yearCount; y++ {
		struck := false
		for i := range c.issues {
			struck = struck || c.issues[i].years.has(y)
		}
		if !struck {
			continue
		}
		n := 0
		for n < len(c.eras) && !c.alike(c.eras[n].first, y) {
			n++
		}
		if n == len(c.eras) {
			c.eras = append(c.eras, era{first: y})
		}
		c.eras[n].weight += turnUp[y-firstYear]
		c.eraOf[y-firstYear] = uint8(n + 1)
	}
}

func (c *compiler) alike(x, y int) bool {
	for i := range c.issues {
		if s := &c.issues[i].years; s.has(x) != s.has(y) {
			return false
		}
	}
	return true
}

// onesBetween counts the bits from lo to hi, both included, of a word.
func onesBetween(word uint64, lo, hi int) int {
	if lo > 0 {
		word &= ^uint64(0) << lo
	}
	if hi < 63 {
		word &= 1<<(hi+1) - 1
	}
	return bits.OnesCount64(word)
}
