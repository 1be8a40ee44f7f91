package settle_test

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"panside/internal/simscale"
)

// tally is one row of the board.
type tally struct {
	placements, coins, counted                             int
	broken, wrong, missed, doubled, withheld, vague, named int
	atRest                                                 int // of broken: not only as a hand came
	sure                                                   int // weights told far too surely
	ratios                                                 []float64
	seconds                                                float64
}

// cover counts intervals by age: moving ones by tenths of a second, and rest.
type cover struct {
	moving           [21]share
	first, last, all share
}

type share struct{ n, in int }

func (s *share) add(h held) {
	if h.seen {
		s.n++
		if h.in {
			s.in++
		}
	}
}

func (s share) String() string {
	if s.n == 0 {
		return "   -"
	}
	return fmt.Sprintf("%4.2f", float64(s.in)/float64(s.n))
}

// wideScore is the board of the wide world.
type wideScore struct {
	rows     map[string]*tally
	covers   map[string]*cover
	failures map[string][]string // the first of each kind, or all with PANSIDE_SHOW
}

func newWideScore() *wideScore {
	return &wideScore{map[string]*tally{}, map[string]*cover{}, map[string][]string{}}
}

func (s *wideScore) add(seed uint64, cfg simscale.Config, c *wideCourse) {
	rows := append(kinds(cfg), "all", "style "+c.style, "person "+[]string{"lets go", "mixed", "leans"}[person(seed)])
	switch {
	case c.clean:
		rows = append(rows, "hand clean")
	case c.handed:
		rows = append(rows, "hand on it")
	}
	for _, name := range rows {
		if s.rows[name] == nil {
			s.rows[name] = &tally{}
		}
		s.rows[name].add(c)
	}
	for what, text := range map[string]string{
		"broken as a hand came": c.broken, "wrong": c.wrong, "too sure": c.sure,
		"missed": number(c.missed()), "doubled": number(c.doubled()), "withheld": number(c.kept), "vague": number(c.vague),
	} {
		if c.atRest && text == c.broken {
			what = "broken at rest"
		}
		if text != "" && (len(s.failures[what]) < 6 || os.Getenv("PANSIDE_SHOW") != "") {
			s.failures[what] = append(s.failures[what], fmt.Sprintf("%d:%d %s, %s", seed, c.index, c.style, text))
		}
	}
	for _, step := range []string{"all", kinds(cfg)[0]} {
		if s.covers[step] == nil {
			s.covers[step] = &cover{}
		}
		if len(c.coins) == 1 && c.got == 1 {
			s.covers[step].add(c.coins[0])
		}
	}
}

func number(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

func (r *tally) add(c *wideCourse) {
	one := func(text string) int { return min(1, len(text)) }
	r.placements++
	r.coins += len(c.coins)
	r.counted += c.got
	r.broken += one(c.broken)
	if c.atRest {
		r.atRest++
	}
	r.wrong += one(c.wrong)
	r.sure += one(c.sure)
	r.missed += c.missed()
	r.doubled += c.doubled()
	r.withheld += c.kept
	r.vague += c.vague
	r.seconds += c.seconds
	for _, n := range c.coins {
		if n.named == 0 {
			continue
		}
		r.named++
		if n.stable > n.moved {
			r.ratios = append(r.ratios, (n.named-n.moved)/(n.stable-n.moved))
		}
	}
}

func (k *cover) add(n *coinCourse) {
	for i, h := range n.moving {
		k.moving[i].add(h)
		k.all.add(h)
	}
	k.first.add(n.settledFirst)
	k.last.add(n.settledLast)
}

// String prints the board.
func (s *wideScore) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n%-24s %6s %6s %6s %6s %6s %6s %6s %6s %6s %6s %6s %6s  %5s %5s %6s\n", "", "placed", "coins", "number",
		"broken", "rest", "wrong", "sure", "missed", "double", "withh.", "vague", "named", "ratio", "p90", "a min")
	for _, name := range sorted(s.rows) {
		r := s.rows[name]
		fmt.Fprintf(&b, "%-24s %6d %6d %6d %6d %6d %6d %6d %6d %6d %6d %6d %6d  %5.2f %5.2f %6.1f\n", name, r.placements, r.coins, r.counted,
			r.broken, r.atRest, r.wrong, r.sure, r.missed, r.doubled, r.withheld, r.vague, r.named,
			quantile(r.ratios, 0.5), quantile(r.ratios, 0.9), 60*float64(r.named)/r.seconds)
	}
	fmt.Fprintf(&b, "\nThe interval held the weight, by s since the first estimate:\n%-12s", "")
	for k := range 21 {
		fmt.Fprintf(&b, " %4.1f", float64(k)/10)
	}
	fmt.Fprintf(&b, "  moving settled first, last\n")
	for _, step := range sorted(s.covers) {
		k := s.covers[step]
		fmt.Fprintf(&b, "%-12s", step)
		for _, m := range k.moving {
			fmt.Fprintf(&b, " %v", m)
		}
		fmt.Fprintf(&b, "  %v          %v   %v of %d\n", k.all, k.first, k.last, k.last.n)
	}
	for _, what := range sorted(s.failures) {
		fmt.Fprintf(&b, "\n%s:\n  %s\n", what, strings.Join(s.failures[what], "\n  "))
	}
	return b.String()
}

func quantile(xs []float64, q float64) float64 {
	if len(xs) == 0 {
		return 0
	}
	return slices.Sorted(slices.Values(xs))[int(q*float64(len(xs)-1))]
}

func sorted[V any](m map[string]V) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
