package figures

import (
	"math"
	"slices"
	"strings"
	"time"

	"panside/internal/mass"
	"panside/internal/otherscale"
	"panside/internal/verdict"
)

// judge takes what is known after a line.
func (t *table) judge(e mass.Estimate, l otherscale.Line, at time.Time) {
	t.last = e
	if n := len(t.course); n > 0 {
		t.course[n-1].e = e
	}
	t.number(e, l.At)
	t.bad = e.Phase == mass.PhaseSettled && !t.settled(float64(e.Mean), l)
	t.onGlass(e, l, at)
	t.cover(e, l)
}

// number keeps the placement numbers given out in this happening.
func (t *table) number(e mass.Estimate, at float64) {
	for n := range t.numbers {
		if n > e.Placement {
			delete(t.numbers, n) // taken back
		}
	}
	if t.base = min(t.base, e.Placement); e.Placement == t.base {
		return
	}
	n := t.numbers[e.Placement]
	if n == nil {
		n = &number{is: e.Placement, first: at}
		t.numbers[e.Placement] = n
	}
	switch {
	case e.Phase == mass.PhaseSettled:
		n.mean, n.rested = e.Mean, true
	case e.Phase == mass.PhaseMoving && !n.rested && len(t.pan) > 0:
		n.mean = max(n.mean, e.Mean)
	}
}

// newest is the coin that claims are about, nil if none was put down yet.
func (t *table) newest() *laid {
	if len(t.coins) == 0 {
		return nil
	}
	return t.coins[len(t.coins)-1]
}

// settled checks a settled weight in two ways.
//
// Against the display: it must be the display, of this line or the one before,
// less that of a level that rested before (the empty pan, or the level under
// the newest load), within slackOf.
//
// Against the truth: it must be the newest load's mass within three steps, a
// thousandth, and what the zero has moved since the load was put down. While
// the display still stands at the level before a change, the load before counts.
//
// A display that stands off the load's own, flat for 0.8 s, and that the scale,
// if it can, calls stable, may be believed: a hand that presses evenly can't be
// known. Such claims are counted apart.
func (t *table) settled(mean float64, l otherscale.Line) (good bool) {
	now, _ := t.window(0, 2)
	levels := t.levels
	if t.empty.hi >= t.empty.lo {
		levels = append(slices.Clip(levels), t.empty)
	}
	shows, close := false, false
	for _, before := range levels {
		shows = shows || mean >= now.lo-before.hi-t.slack && mean <= now.hi-before.lo+t.slack
		close = close || mean >= now.lo-before.hi-t.d && mean <= now.hi-before.lo+t.d
	}
	holds := t.matches(mean, t.truths)
	for _, w := range t.was {
		holds = holds || t.matches(mean, w.truths)
	}
	c := t.newest()
	if c != nil && !close && !c.loose {
		c.loose = true
		t.close = append(t.close, claim{line: len(t.course) - 1, of: c, mean: mean})
	}
	switch {
	case l.Over || !shows:
	case holds:
		return true
	case c != nil && t.unseen(c):
		return true // counted apart as a whole
	case t.flat(l) && !t.bearsOut(now):
		if c != nil {
			c.flat = true
		}
		return true
	}
	k := claim{line: len(t.course) - 1, mean: mean, holds: holds}
	if c == nil || len(t.pan) == 0 && math.IsInf(c.lift, 1) {
		t.ghosts.broken = true
	} else {
		c.broken, k.of = true, c
	}
	if n := len(t.claims); n == 0 || t.claims[n-1].of != k.of || t.claims[n-1].mean != mean || t.course[t.claims[n-1].line].Steps != l.Steps {
		t.claims = append(t.claims, k)
	}
	t.score.trace(t, "broken", l, shows, holds)
	return false
}

// bearsOut reports whether the display shows what really lies on the pan.
func (t *table) bearsOut(now span) bool {
	rest := t.empty
	if n := len(t.pan); n > 0 {
		rest = t.pan[n-1].levelWith(t)
	}
	return rest.near(now.lo, t.slack) || rest.near(now.hi, t.slack)
}

func (t *table) matches(mean float64, of []truth) bool {
	for _, x := range of {
		if math.Abs(mean-x.grams) <= 3*t.d+0.001*math.Abs(x.grams)+math.Abs(t.scale.Zero()-x.zero)+x.tail {
			return true
		}
	}
	return false
}

// handAtRest is why a coin is set apart whose hand held so still that the scale
// called it a load.
const handAtRest = "hand called a load"

// heldStill notes a display that stands at a hand's weight. Whoever believes it
// finds the rest of the coin as another load.
func (t *table) heldStill(c *laid, l otherscale.Line) {
	level, _ := t.window(0.35, 3)
	part := (level.lo+level.hi)/2 - (c.level.lo+c.level.hi)/2
	c.apart = handAtRest
	t.levels = append(t.levels, level)
	for _, g := range []float64{part, c.coin.Grams - part} {
		t.truths = append(t.truths, truth{g, t.scale.Zero(), 0})
	}
}

// flat reports whether the display has stood still and may be believed.
func (t *table) flat(l otherscale.Line) bool {
	if len(t.lines) < 3 || t.cfg.Sign.Works() && !l.Stable {
		return false
	}
	_, width := t.window(0.8, 3)
	return width <= 1.1*t.d
}

// onGlass asks as the phone does and judges what stands there.
func (t *table) onGlass(e mass.Estimate, l otherscale.Line, at time.Time) {
	if e.HasLoad() && (!t.answered || e.Mean != t.asked.Mean || e.U != t.asked.U || e.Resolution != t.asked.Resolution) {
		t.asked, t.answer, t.answered = e, ask(t.den, t.year, e, mass.Grams(t.d)), true
	}
	shown := t.glass.offer(e, t.answer, at)
	if shown.call != verdict.Ordinary {
		return
	}
	c := t.newest()
	if c != nil && c.single && c.alloy != "" && shown.alloy == c.alloy && c.decided == 0 && c.changed > 0 && l.At < c.lift {
		c.decided = l.At
	}
	if t.mayBe(shown.alloy, e, l) {
		return
	}
	if c == nil {
		t.ghosts.wrong = true
	} else {
		c.wrong = true
	}
	t.score.trace(t, "wrong: "+shown.alloy, l, false, false)
}

// mayBe reports whether an alloy may stand on the glass: that of a coin on the
// pan, or of one whose leaving the display has just shown.
func (t *table) mayBe(alloy string, e mass.Estimate, l otherscale.Line) bool {
	for _, c := range t.coins {
		if l.At > t.mayStay(c) || !c.mayBeCalled(alloy) {
			continue
		}
		// At rest a sum of two isn't one of them.
		if e.Phase == mass.PhaseSettled && l.At > c.free && c.together && math.Abs(float64(e.Mean)-c.coin.Grams) > 0.15*c.coin.Grams {
			continue
		}
		return true
	}
	c := t.newest()
	if c == nil {
		return false
	}
	return t.unseen(c) || c.apart == handAtRest || t.flat(l) && l.At < c.free
}

// ages are the limits of the coverage table, in seconds since the display first
// showed the coin, or since the hand let go.
var ages = []float64{0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 1.2, 2}

// cover looks whether mean ± 1.96 u holds the coin.
func (t *table) cover(e mass.Estimate, l otherscale.Line) {
	c := t.newest()
	if c == nil || !c.single || c.changed == 0 || l.At >= c.lift || len(t.pan) != 1 || c.apart != "" || !e.HasLoad() {
		return
	}
	in := math.Abs(float64(e.Mean)-c.coin.Grams) <= 1.96*float64(e.U)
	since := c.changed
	if !c.clean {
		since = math.Max(since, c.free)
	}
	switch age := l.At - since; {
	case l.At < c.free && !c.clean:
	case e.Phase == mass.PhaseSettled:
		t.score.covered(t.cfg.Places, len(ages), in)
	default:
		i, _ := slices.BinarySearch(ages, age)
		if i > 0 && i < len(ages) {
			t.score.covered(t.cfg.Places, i-1, in)
		}
	}
}

// begin starts a happening.
func (t *table) begin(kind string) {
	t.kind, t.fed = kind, ""
	if t.scale.Off() {
		t.scale.Wake()
		t.run(t.cfg.Boot + 2)
	}
	t.sawEmpty()
	t.coins, t.pan, t.ghosts, t.levels = nil, nil, ghosts{}, nil
	t.claims, t.close, t.course = nil, nil, append([]told(nil), t.course[max(0, len(t.course)-100):]...)
	t.numbers, t.base = map[uint64]*number{}, t.last.Placement
}

// end closes it: every number is given to a coin, in the order they came.
func (t *table) end() {
	for _, c := range t.coins {
		t.known(c)
	}
	t.classifyAll()
	strays := 0
	for _, n := range t.deal(t.given()) {
		var of *laid
		for _, c := range t.coins {
			if c.touch <= n.first {
				of = c
			}
		}
		if of == nil {
			strays++
		} else {
			of.numbers++
		}
		t.score.trace(t, "doubled", otherscale.Line{At: n.first}, false, false)
	}
	for _, c := range t.coins {
		if c.numbers == 0 && c.apart == "" && !c.withheld {
			t.score.trace(t, "missed", otherscale.Line{At: c.touch}, false, false)
		}
	}
	t.score.add(t, strays)
	t.coins = nil
}

// label is the scale's group for a table of scores.
func label(c otherscale.Config) []string {
	step := strings.TrimSuffix("step 0."+strings.Repeat("0", c.Places-1)+"1", " ")
	rate := "rate 1-2"
	switch {
	case c.DisplayRate > 10:
		rate = "rate 15-20"
	case c.DisplayRate >= 8:
		rate = "rate 8-10"
	case c.DisplayRate > 2:
		rate = "rate 4-5"
	}
	labels := []string{step, rate, "filter " + string(c.Filter.Kind), "sign " + string(c.Sign.Kind)}
	if c.Format == otherscale.UnitAtRest {
		labels = append(labels, "sign by the unit")
	}
	return labels
}
