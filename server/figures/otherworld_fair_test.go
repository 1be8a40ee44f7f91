package figures

import (
	"math"
	"os"
	"testing"

	"panside/internal/mass"
)

// first takes the first display for the empty pan and believes every other at
// once: as bad as a tracker can be.
type first struct {
	zero   float64
	seen   bool
	number uint64
	on     bool
}

func (f *first) Feed(r mass.Reading) mass.Estimate {
	if !r.HasValue {
		return mass.Estimate{Phase: mass.PhaseNone, Placement: f.number}
	}
	g, d := r.Quantity.Value.Float64(), r.Resolution.Float64()
	if !f.seen {
		f.zero, f.seen = g, true
	}
	e := mass.Estimate{Phase: mass.PhaseEmpty, Resolution: mass.Grams(d), ScaleStable: r.Status == mass.StatusStable}
	if math.Abs(g-f.zero) > 5*d {
		if !f.on {
			f.number++
		}
		e.Phase, e.Mean, e.U = mass.PhaseSettled, mass.Grams(g-f.zero), mass.Grams(d)
	}
	f.on = e.Phase == mass.PhaseSettled
	e.Placement = f.number
	return e
}

// knower is told the truth and says it as soon as the display bears it out. What
// it gets wrong is the fault of the judge.
type knower struct {
	table  *table
	early  bool // says it from the first line that shows the coin
	number uint64
	said   *laid
}

func (k *knower) Feed(r mass.Reading) mass.Estimate {
	t := k.table
	e := mass.Estimate{Phase: mass.PhaseEmpty, Resolution: mass.Grams(math.Pow10(-3)), Placement: k.number}
	if t == nil || len(t.lines) == 0 {
		return e
	}
	e.Resolution = mass.Grams(t.d)
	if len(t.pan) == 0 {
		return e
	}
	c := t.pan[len(t.pan)-1]
	if c != t.newest() || c.together { // one was taken off a pile, or two are one load
		e.Phase, e.Mean, e.U = mass.PhaseMoving, 1, 1
		return e
	}
	l := t.lines[len(t.lines)-1]
	if k.said != c && (c.shownFrom > 0 || k.early) && (c.changed > 0 || c.follows != nil) {
		k.said = c
		k.number++
	}
	e.Placement = k.number
	if k.said != c {
		return e
	}
	e.Mean, e.U, e.Phase = mass.Grams(c.coin.Grams), mass.UnprovenScale(e.Resolution, mass.Grams(c.coin.Grams)).U(), mass.PhaseMoving
	if c.apart == "line away" {
		e.Phase = phaseWithheld
		return e
	}
	now, _ := t.window(0, 2)
	if c.shownFrom > 0 && c.levelWith(t).near(now.lo, t.d) && c.levelWith(t).near(now.hi, t.d) && !l.Over && (c.rested || c.follows != nil) && t.empty.hi >= t.empty.lo {
		// The display's own difference: gain and drift can't be known.
		before := c.level
		if c.follows != nil {
			before = t.empty
		}
		e.Mean = mass.Grams((now.lo + now.hi - before.lo - before.hi) / 2)
		e.Phase = mass.PhaseSettled
	}
	return e
}

// TestOtherWorldIsFairLong plays a tracker that is told the truth, which must have
// no faults, and one that believes every display, which must have many.
func TestOtherWorldIsFairLong(t *testing.T) {
	good, bad := newOtherScore(), newOtherScore()
	good.tell = func(line string) { t.Log(line) }
	soonest := newOtherScore()
	know := func(early bool, scales uint64, s *otherScore) {
		for seed := range scales {
			k := &knower{early: early}
			k.table = newTable(7_000+seed, k, s)
			k.table.sit(perScale)
		}
	}
	scales := uint64(150)
	if os.Getenv("PANSIDE_LONG") != "" {
		scales = 1500
	}
	know(false, scales, good)
	know(true, scales/3, soonest)
	playOther(300, 7_000, bad, func() follower { return &first{} })
	t.Logf("told the truth\n%s\nbelieves every display\n%s", good, bad)
	t.Logf("told the truth at the first line that shows the coin: ratio %.2f clean, %.2f with hands or slow filters", median(soonest.clean), median(soonest.hands))
	if r := good.row("ordinary"); r.broken+r.wrong+r.missed+r.doubled > 0 {
		t.Errorf("who is told the truth gets %d broken, %d wrong, %d missed, %d doubled of %d", r.broken, r.wrong, r.missed, r.doubled, r.coins)
	}
	r := bad.row("ordinary")
	if share(r.broken, r.coins) < 0.5 || share(r.wrong, r.coins) < 0.05 {
		t.Errorf("who believes every display gets %d broken, %d wrong of %d only", r.broken, r.wrong, r.coins)
	}
	if good.row("ordinary").coins == 0 {
		t.Error("nothing was played")
	}
}

// spoiler is a knower with one fault, at every tenth coin; “before” is early and
// has it at each.
type spoiler struct {
	knower
	fault   string
	before  uint64
	more    uint64
	doubled uint64
}

func (s *spoiler) Feed(r mass.Reading) mass.Estimate {
	e := s.knower.Feed(r)
	fresh := e.Placement != s.before
	s.before = e.Placement
	tenth := e.Placement%10 == 0 && e.HasLoad()
	switch {
	case s.fault == "shifted" && tenth && e.Phase == mass.PhaseSettled:
		e.Mean += 6*e.Resolution + 0.02
	case s.fault == "before" && e.Phase == mass.PhaseMoving:
		e.Mean, e.U = 2.5, 0.02 // of whatever lay there
	case s.fault == "deaf" && tenth:
		if fresh {
			s.more-- // counted by nobody
		}
		e.Phase, e.Mean, e.U = mass.PhaseEmpty, 0, 0
	case s.fault == "twice" && tenth && e.Phase == mass.PhaseSettled && s.doubled != e.Placement:
		s.doubled = e.Placement
		s.more++
	case s.fault == "withheld" && tenth && e.Phase == mass.PhaseSettled:
		e.Phase, e.Mean, e.U = phaseWithheld, 0, 0
	}
	e.Placement += s.more
	return e
}

// TestOtherWorldSeesEachFault: one fault in ten coins moves its own column by
// about that, and no other that it has nothing to do with.
func TestOtherWorldSeesEachFault(t *testing.T) {
	for _, c := range []struct {
		fault string
		of    func(*row) int
	}{
		{"shifted", func(r *row) int { return r.broken }},
		{"before", func(r *row) int { return r.wrong }},
		{"deaf", func(r *row) int { return r.missed }},
		{"twice", func(r *row) int { return r.doubled }},
		{"withheld", func(r *row) int { return r.withheld }},
	} {
		s := newOtherScore()
		for seed := range uint64(50) {
			f := &spoiler{fault: c.fault, knower: knower{early: c.fault == "before"}}
			f.table = newTable(9_000+seed, f, s)
			f.table.sit(perScale)
		}
		r := s.row("ordinary")
		if c.fault == "shifted" && r.class[against]+r.class[unrested] < r.broken*9/10 {
			t.Errorf("of %d weights off the display %d show as such", r.broken, r.class[against]+r.class[unrested])
		}
		got := share(c.of(r), r.coins)
		others := r.broken + r.wrong + r.missed + r.doubled + r.withheld - c.of(r)
		t.Logf("%s: %.3f of %d; %d others", c.fault, got, r.coins, others)
		least, most := 0.05, 0.15
		if c.fault == "before" {
			most = 0.8
		}
		if got < least || got > most {
			t.Errorf("%s at every tenth coin shows as %.3f of %d", c.fault, got, r.coins)
		}
		if share(others, r.coins) > 0.01 {
			t.Errorf("%s also moves others by %d", c.fault, others)
		}
	}
}

func share(n, of int) float64 { return float64(n) / float64(max(1, of)) }
