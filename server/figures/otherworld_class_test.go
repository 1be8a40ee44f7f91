package figures

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"panside/internal/mass"
	"panside/internal/otherscale"
)

// told is a line, and what was known after it.
type told struct {
	otherscale.Line
	e mass.Estimate
}

// claim is a settled weight that breaks a rule.
type claim struct {
	line  int // in the course
	of    *laid
	mean  float64
	holds bool // it is the truth
}

// class is in which way a settled weight is at fault. The worst counts of a coin.
type class int

const (
	sound    class = iota
	harsh          // the display and the truth bear it out: only the judge's shorter list of levels did not
	hidden         // in line with rests that nobody can tell from a load's, but not the truth
	tellable       // in line with the display, but not the truth; one of the two levels was no believable rest
	unrested       // from a level that was displayed for some lines and never rested
	against        // no difference from any level that was displayed for two lines
	classes
)

func (c class) String() string {
	return [...]string{"sound", "harsh", "hidden", "tellable", "unrested", "against"}[c]
}

// restTime is for how long a display stands within slackOf to be seen resting, as
// in disturb; believeTime is for how long within about a step, where no sign
// works, to be believed.
const (
	restTime    = 0.35
	believeTime = 0.8
)

// classify judges a claim by the display alone, of before and after. Nobody
// can tell a stand that the scale calls stable from a load at rest, nor, where no
// sign works, one of 0.8 s; slack is how far a weight may be off a difference.
func (t *table) classify(k claim, slack float64) class {
	now := t.spanOf(max(0, k.line-1), k.line)
	fits := func(s span) bool {
		return k.mean >= now.lo-s.hi-slack && k.mean <= now.hi-s.lo+slack
	}
	here := t.stands[k.line]
	rested, passed, believed := false, false, false
	for j := 1; j <= k.line; j++ {
		if t.course[j-1].At < t.woke && t.woke <= t.course[k.line].At {
			continue
		}
		if s := t.spanOf(j-1, j); s.width() <= 1.1*t.d && fits(s) {
			passed = true
		}
		from := j - 1
		for from > 0 && t.course[from-1].At >= t.course[j].At-restTime {
			from--
		}
		if s := t.spanOf(from, j); s.width() <= t.slack && fits(s) {
			rested = true
			believed = believed || t.stands[j].believed && t.none(t.stands[j], here)
		}
	}
	switch {
	case t.course[k.line].Over, !rested && !passed:
		return against
	case !rested:
		return unrested
	case k.holds:
		return harsh
	case k.mean < 0 && t.returned(k.line):
		return tellable
	case believed && here.believed:
		return hidden
	}
	return tellable
}

// spanOf is the range of the displays of some lines.
func (t *table) spanOf(from, to int) span {
	s := nowhere
	for _, l := range t.course[from : to+1] {
		g := float64(l.Steps) * t.d
		s.lo, s.hi = math.Min(s.lo, g), math.Max(s.hi, g)
	}
	return s
}

// stand is a run of lines that stay within a step and the noise.
type stand struct {
	from, to int
	level    span
	believed bool // it passes for a rest: the scale calls it stable, or if it can't, for 0.8 s
}

// standAt is the longest stand about a line, of before and after it.
func (t *table) standAt(i int) stand {
	width := 1.1*t.d + 3*t.cfg.Noise()
	s := stand{from: i, to: i}
	for s.to+1 < len(t.course) && t.spanOf(s.from, s.to+1).width() <= width {
		s.to++
	}
	for s.from > 0 && t.spanOf(s.from-1, s.to).width() <= width {
		s.from--
	}
	s.level = t.spanOf(s.from, s.to)
	if !t.cfg.Sign.Works() {
		s.believed = s.to-s.from >= 2 && t.course[s.to].At-t.course[s.from].At >= believeTime
		return s
	}
	for _, l := range t.course[s.from : s.to+1] {
		s.believed = s.believed || l.Stable
	}
	return s
}

// none reports whether the display came to no other rest between two stands.
func (t *table) none(a, b stand) bool {
	for i := a.to + 1; i < b.from; i++ {
		s := t.stands[i]
		mid := (s.level.lo + s.level.hi) / 2
		if s.believed && !a.level.near(mid, t.slack) && !b.level.near(mid, t.slack) {
			return false
		}
	}
	return true
}

// returned reports whether the display is back at a level that it left upwards: a
// load was taken off, and none put on.
func (t *table) returned(i int) bool {
	now, up := t.spanOf(i, i), false
	for j := i - 1; j >= 0; j-- {
		g := float64(t.course[j].Steps) * t.d
		up = up || g > now.hi+t.slack+3*t.d
		if up && t.stands[j].believed && t.stands[j].level.near(now.lo, t.slack) {
			return true
		}
	}
	return false
}

// classifyAll gives each claim of the happening to its coin, or to nobody's.
func (t *table) classifyAll() {
	if len(t.claims)+len(t.close) == 0 {
		return
	}
	t.stands = t.stands[:0]
	for i := range t.course {
		if n := len(t.stands); n > 0 && i <= t.stands[n-1].to && i < t.stands[n-1].to-2 {
			t.stands = append(t.stands, t.stands[n-1]) // but for its last lines, which may belong to the next
			continue
		}
		t.stands = append(t.stands, t.standAt(i))
	}
	for _, k := range t.claims {
		of := &t.ghosts.class
		if k.of != nil {
			of = &k.of.class
		}
		*of = max(*of, t.classify(k, t.slack))
	}
	for _, k := range t.close {
		k.of.loose = false
	}
	for _, k := range t.close {
		if c := t.classify(k, t.d); c == against || c == unrested {
			k.of.loose = true
		}
	}
}

// classTable says in which ways settled weights were broken.
func (s *otherScore) classTable(names []string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-20s %6s", "broken, those stay", "all")
	for c := against; c > sound; c-- {
		fmt.Fprintf(&b, " %12s", c)
	}
	fmt.Fprintf(&b, " %12s\n", "beyond 1 d")
	for _, n := range names {
		r := s.rows[n]
		if r.broken+r.loose == 0 {
			continue
		}
		fmt.Fprintf(&b, "%-20s %6d", n, r.broken)
		for c := against; c > sound; c-- {
			fmt.Fprintf(&b, " %7d (%2d)", r.class[c], r.stayed[c])
		}
		fmt.Fprintf(&b, " %12d\n", r.loose)
	}
	return b.String()
}

// TestOtherWorldTellsClasses holds the classes to displays written down line by
// line, ten a second.
func TestOtherWorldTellsClasses(t *testing.T) {
	type run struct {
		steps, lines int
		lit          bool
	}
	for _, c := range []struct {
		what  string
		sign  otherscale.SignKind
		runs  []run
		mean  float64
		holds bool
		want  class
	}{
		{"no level explains it", otherscale.NoSign, []run{{0, 12, false}, {250, 12, false}}, 2.6, false, against},
		{"from two lines of the climb", otherscale.NoSign, []run{{0, 12, false}, {100, 2, false}, {250, 12, false}}, 1.5, false, unrested},
		{"half put down without a sign", otherscale.NoSign, []run{{0, 12, false}, {130, 12, false}, {250, 12, false}}, 1.2, false, hidden},
		{"half put down for too short", otherscale.NoSign, []run{{0, 12, false}, {130, 6, false}, {250, 12, false}}, 1.2, false, tellable},
		{"half put down, lit", otherscale.Equal, []run{{0, 12, true}, {130, 6, true}, {250, 12, true}}, 1.2, false, hidden},
		{"half put down, never lit", otherscale.Equal, []run{{0, 12, true}, {130, 12, false}, {250, 12, true}}, 1.2, false, tellable},
		{"two coins as one", otherscale.Equal, []run{{0, 12, true}, {250, 12, true}, {500, 12, true}}, 5, false, tellable},
		{"taken off, told as a load below zero", otherscale.Equal, []run{{-250, 12, true}, {0, 12, true}, {-250, 12, true}}, -2.5, false, tellable},
		{"right", otherscale.Equal, []run{{0, 12, true}, {250, 12, true}}, 2.5, true, harsh},
	} {
		cfg := otherscale.Config{Places: 2, Sign: otherscale.Sign{Kind: c.sign}}
		at := &table{cfg: cfg, d: cfg.D(), slack: slackOf(cfg), woke: -1}
		for _, r := range c.runs {
			for range r.lines {
				at.course = append(at.course, told{Line: otherscale.Line{At: float64(len(at.course)) / 10, Steps: r.steps, Stable: r.lit}})
			}
		}
		of := &laid{}
		at.claims = []claim{{line: len(at.course) - 1, of: of, mean: c.mean, holds: c.holds}}
		if at.classifyAll(); of.class != c.want {
			t.Errorf("%s: %v, not %v", c.what, of.class, c.want)
		}
	}
}
