package figures

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"panside/internal/otherscale"
)

// row is the score of one kind of happening or scale.
type row struct {
	coins, wrong, broken, stays, missed, doubled, withheld, flat int
	apart                                                        int
	loose                                                        int          // settled off the display by more than a step
	class                                                        [classes]int // of broken
	stayed                                                       [classes]int // of stays
	ratios                                                       []float64
}

// otherScore is over all sessions.
type otherScore struct {
	rows        map[string]*row
	clean       []float64 // ratios without hands and slow filters
	hands       []float64
	apart       map[string]int
	held, asked [4][9]int // coverage by places and age; the last age is at rest
	feeders     map[string][2]int
	pacing      bool              // whether readers who know more are timed beside the tracker
	paces       map[string][]pace // by group
	tell        func(string)      // a case that went wrong, nil to keep quiet
}

func newOtherScore() *otherScore {
	return &otherScore{rows: map[string]*row{}, apart: map[string]int{}, feeders: map[string][2]int{}, paces: map[string][]pace{}}
}

func (s *otherScore) row(name string) *row {
	if s.rows[name] == nil {
		s.rows[name] = &row{}
	}
	return s.rows[name]
}

func (s *otherScore) covered(places, age int, in bool) {
	s.asked[places][age]++
	if in {
		s.held[places][age]++
	}
}

// trace tells of a case, for whoever works on this world.
func (s *otherScore) trace(t *table, what string, l otherscale.Line, shows, holds bool) {
	if s.tell == nil {
		return
	}
	about := what
	if c := t.newest(); c != nil {
		about += fmt.Sprint(c.touch)
	}
	if t.told == about {
		return // once a coin
	}
	t.told = about
	var b strings.Builder
	fmt.Fprintf(&b, "%s in %s at %.2f: display %d shows %v true %v, told %s %.4f ± %.4f number %d; step %g rate %g filter %v sign %v; coins",
		what, t.kind, l.At, l.Steps, shows, holds, t.last.Phase, t.last.Mean, t.last.U, t.last.Placement, t.d, t.cfg.DisplayRate, t.cfg.Filter, t.cfg.Sign)
	for _, c := range t.coins {
		fmt.Fprintf(&b, " [%.3f %.2f-%.2f lift %.2f]", c.coin.Grams, c.touch, c.free, c.lift)
	}
	s.tell(b.String())
}

// add takes over a happening.
func (s *otherScore) add(t *table, strays int) {
	names := append(label(t.cfg), t.kind)
	all := s.row("ordinary")
	apart := s.row("apart")
	each := func(f func(*row)) {
		for _, n := range names {
			f(s.row(n))
		}
	}
	if strays > 0 || t.ghosts.wrong || t.ghosts.broken {
		ghost := func(r *row) {
			r.doubled += strays
			r.wrong += count(t.ghosts.wrong)
			r.broken += count(t.ghosts.broken)
			if t.ghosts.broken {
				r.class[t.ghosts.class]++
			}
		}
		ghost(all)
		each(ghost)
	}
	for _, c := range t.coins {
		if t.fed != "" && c.apart == "" {
			f := s.feeders[t.fed]
			right := c.numbers == 1 && !c.broken && !c.wrong && math.Abs(c.mean-c.coin.Grams) <= 3*t.d+0.001*c.coin.Grams+t.slack
			s.feeders[t.fed] = [2]int{f[0] + count(right), f[1] + 1}
		}
		sum := all
		if c.apart != "" {
			sum = apart
			s.apart[c.apart]++
		}
		put := func(r *row) {
			r.coins++
			r.wrong += count(c.wrong)
			r.broken += count(c.broken)
			r.stays += count(c.stays)
			r.loose += count(c.loose)
			if c.broken {
				r.class[c.class]++
				r.stayed[c.class] += count(c.stays)
			}
			r.flat += count(c.flat)
			r.withheld += count(c.withheld)
			if c.apart != "" {
				r.apart++
				return
			}
			r.doubled += max(0, c.numbers-1)
			r.missed += count(c.numbers == 0 && !c.withheld)
		}
		put(sum)
		each(put)
		if p, ok := s.pace(t, c); ok {
			for _, n := range t.pacesOf(c) {
				s.paces[n] = append(s.paces[n], p)
			}
		}
		if ratio, ok := c.ratio(); ok {
			all.ratios = append(all.ratios, ratio)
			each(func(r *row) { r.ratios = append(r.ratios, ratio) })
			if c.clean && !slow(t.cfg) {
				s.clean = append(s.clean, ratio)
			} else {
				s.hands = append(s.hands, ratio)
			}
		}
	}
}

// ratio is the time to the right alloy over that to the stable sign, both from
// the first line that shows the coin; infinite if it never came. Only where a
// single coin has a sign and an alloy that its weight can tell.
func (c *laid) ratio() (r float64, ok bool) {
	if c.apart != "" || !c.single || c.alloy == "" || c.settled <= c.changed || c.changed == 0 {
		return 0, false
	}
	if c.decided == 0 {
		return math.Inf(1), true
	}
	return (c.decided - c.changed) / (c.settled - c.changed), true
}

// slow reports whether a scale's display takes more than 1.2 s to come to rest.
func slow(c otherscale.Config) bool { return c.Response() > 1.2 }

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// coverage is the share of intervals that held, by places and age.
func (s *otherScore) coverage(places, age int) float64 {
	return float64(s.held[places][age]) / float64(max(1, s.asked[places][age]))
}

// held95 is the coverage over all steps and the ages that count.
func (s *otherScore) held95(counts func(age int) bool) float64 {
	in, of := 0, 0
	for places := range s.asked {
		for age := range s.asked[places] {
			if counts(age) {
				in, of = in+s.held[places][age], of+s.asked[places][age]
			}
		}
	}
	return share(in, of)
}

// fedMinute is how many coins a minute hold at the quickest feeder.
func (s *otherScore) fedMinute() float64 {
	q := feeders[len(feeders)-1]
	f := s.feeders[q.name]
	return share(f[0], f[1]) * 60 / (q.gap + q.lie)
}

// coins is how many were laid that can be known.
func (s *otherScore) coins() int { return s.row("ordinary").coins }

// String is the compact table.
func (s *otherScore) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-20s %6s %6s %6s %6s %7s %7s %6s %5s %8s %6s %6s\n", "simulated", "coins", "broken", "stays", "wrong", "missed", "doubled", "ratio", "late", "withheld", "flat", "apart")
	names := slices.Sorted(maps.Keys(s.rows))
	slices.SortStableFunc(names, func(a, b string) int { return rank(a) - rank(b) })
	for _, n := range names {
		r := s.rows[n]
		fmt.Fprintf(&b, "%-20s %6d %6d %6d %6d %7d %7d %6.2f %5.2f %8d %6d %6d\n", n, r.coins, r.broken, r.stays, r.wrong, r.missed, r.doubled, median(r.ratios), late(r.ratios), r.withheld, r.flat, r.apart)
	}
	b.WriteString(s.classTable(names))
	fmt.Fprintf(&b, "ratio: clean %.3f (of %d), with hands or slow filters %.3f (of %d)\n", median(s.clean), len(s.clean), median(s.hands), len(s.hands))
	fmt.Fprintf(&b, "apart:")
	for _, k := range slices.Sorted(maps.Keys(s.apart)) {
		fmt.Fprintf(&b, " %s %d;", k, s.apart[k])
	}
	fmt.Fprintf(&b, "\ncoverage of ±1.96 u")
	for i := range ages[1:] {
		fmt.Fprintf(&b, " %g-%gs", ages[i], ages[i+1])
	}
	fmt.Fprintf(&b, " settled\n")
	for places := 1; places <= 3; places++ {
		fmt.Fprintf(&b, "  step %g:", math.Pow10(-places))
		for age := range len(ages) {
			if age == len(ages)-1 {
				continue
			}
			fmt.Fprintf(&b, " %.3f", s.coverage(places, age))
		}
		fmt.Fprintf(&b, " %.3f (of %d)\n", s.coverage(places, len(ages)), s.asked[places][len(ages)])
	}
	for _, k := range slices.Sorted(maps.Keys(s.feeders)) {
		f := s.feeders[k]
		fmt.Fprintf(&b, "feeder %s: %d of %d coins right\n", k, f[0], f[1])
	}
	if s.pacing {
		b.WriteString(s.paceTable())
	}
	return b.String()
}

// late is the share of verdicts that came after the stable sign or never.
func late(ratios []float64) float64 {
	n := 0
	for _, r := range ratios {
		n += count(r > 1)
	}
	return share(n, len(ratios))
}

// rank orders the rows: sums, scales, happenings.
func rank(name string) int {
	switch {
	case name == "ordinary":
		return 0
	case name == "apart":
		return 1
	case strings.Contains(name, "step ") || strings.Contains(name, "rate ") || strings.Contains(name, "filter ") || strings.Contains(name, "sign "):
		return 2
	}
	return 3
}
