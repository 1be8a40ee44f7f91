package settle

import (
	"cmp"
	"math"
	"slices"
)

// sample is one reading in the tracker's own time and in grams.
type sample struct {
	t, z  float64
	noise noise
}

// move is a load on its way: the bank of every shape's branches since the pan
// was last at rest.
type move struct {
	base     float64   // level at rest before
	over     float64   // what lay on the pan then
	single   bool      // that was one load
	branches []*branch // those of one shape stand together
	first    sample    // at rest, before anything changed
	last     sample
	before   float64 // time of the reading before last
	q        float64 // standard deviation of a change before anything is known of it
	unseenAt float64 // when a blind move began; −Inf for others
	test     loadTest
	lingers  float64 // part of this sitting's landings at which a hand stayed on
	habit    *habit  // of who sits at the scale

	next []*branch
	pool *pool
}

// pool keeps branches that are no longer in use.
type pool struct{ free []*branch }

// get returns a branch whose contents mean nothing.
func (p *pool) get() *branch {
	if n := len(p.free); n > 0 {
		b := p.free[n-1]
		p.free = p.free[:n-1]
		return b
	}
	return new(branch)
}

func (p *pool) put(b ...*branch) { p.free = append(p.free, b...) }

// newMove begins with nothing changed up to the reading before.
func newMove(base, over float64, test loadTest, before sample, k *knowledge) *move {
	m := &move{base: base, over: over, test: test, lingers: k.lingers(), habit: &k.habit, first: before, last: before, before: before.t - 1, q: usualLoad, unseenAt: math.Inf(-1), pool: &k.pool}
	best := slices.Max(k.prior)
	for j, p := range k.prior {
		if p > best-tooFew {
			b := m.pool.get()
			b.begin(j, p)
			m.branches = append(m.branches, b)
		}
	}
	return m
}

// newUnseenMove begins when nothing is known of what happened before: the load
// at the first reading is whatever it is, put on long ago.
func newUnseenMove(base, over float64, test loadTest, first sample, k *knowledge) *move {
	m := newMove(base, over, test, first, k)
	m.unseenAt = first.t
	for _, b := range m.branches {
		b.addKnot(first.t-1e3, 1e4, first.t-1e3)
		b.update(shape{rate: 1}, first.t, first.z-base, first.noise)
	}
	return m
}

// chance is the logarithm of a change's probability between two readings, and
// of its counterpart's.
type chance struct{ yes, no float64 }

// chances of a change within dt seconds: after quiet, and while one is on.
func chances(dt float64) (fresh, more chance) {
	return happens(dt, freshRate), handGoesOn(dt, handTime)
}

// happens is the chance of what comes at a rate, within dt seconds.
func happens(dt, rate float64) chance {
	p := math.Min(0.9, -math.Expm1(-dt*rate))
	return chance{math.Log(p), math.Log1p(-p)}
}

// handGoesOn is the chance that a hand at work still is after dt seconds, when it
// stays for a time of which the mean is given.
func handGoesOn(dt, mean float64) chance {
	q := math.Max(1e-4, math.Exp(-dt/mean))
	return chance{math.Log(q), math.Log1p(-q)}
}

// add takes one reading. between is the usual time from line to line.
func (m *move) add(s sample, shapes []shape, between float64) {
	fresh, more := chances(s.t - m.last.t)
	m.q = math.Max(m.q, 2*math.Abs(s.z-m.last.z)) // heavy loads are no less likely
	m.next = m.next[:0]
	best := math.Inf(-1)
	for i := 0; i < len(m.branches); {
		start := len(m.next)
		sh := m.branches[i].shape
		for ; i < len(m.branches) && m.branches[i].shape == sh; i++ {
			m.fork(m.branches[i], s, shapes, between, fresh, more)
		}
		m.keepBest(start)
		best = math.Max(best, m.next[start].logw)
	}
	m.branches, m.next = m.next, m.branches[:0]
	kept := m.branches[:0]
	for _, b := range m.branches {
		if b.logw -= best; b.logw >= -tooFew { // relative weights are enough
			kept = append(kept, b)
		} else {
			m.pool.put(b)
		}
	}
	m.branches = kept
	m.before, m.last = m.last.t, s
}

// keepBest leaves the heaviest perShape of next[start:], heaviest first.
func (m *move) keepBest(start int) {
	group := m.next[start:]
	slices.SortFunc(group, func(a, b *branch) int { return cmp.Compare(b.logw, a.logw) })
	if len(group) > perShape {
		m.pool.put(group[perShape:]...)
		m.next = m.next[:start+perShape]
	}
}

// onsets are the places between two readings at which a sudden change is
// tried, with the blur left between them, both in parts of the interval.
var onsets = [...]float64{1.0 / 6, 3.0 / 6, 5.0 / 6}

const onsetBlur = 1.0 / 6 / 1.732

// pairBlur is what two knots at the readings leave of a change between them,
// by family: nothing for a first-order lag, a corner for an average.
var pairBlur = [families]float64{0, 0.04, 0.06, 0.07, 0.12, 0.08, 0.08, 0.1, 0.05}

// fork appends to next what may have become of b since the last reading: no
// change, a sudden one, or a longer one; and either of these may have emptied
// the pan.
func (m *move) fork(b *branch, s sample, shapes []shape, between float64, fresh, more chance) {
	sh := shapes[b.shape]
	changing := b.n > 0 && b.t[b.n-1] > m.before
	odds, q := fresh, m.q
	dt := s.t - m.last.t
	if changing {
		odds, q = more, m.q*handPart
		if b.lastChange()-math.Max(b.handBegan(), m.unseenAt) > handSlow+between {
			odds = handGoesOn(dt, handStays)
		}
	} else if b.justEmptied() && m.last.t-b.t[b.gone] < nextWithin {
		odds = happens(dt, nextRate)
	}
	var was branch
	b.copyTo(&was)
	b.logw += odds.no
	off := b.update(sh, s.t, s.z-m.base, s.noise)
	m.next = append(m.next, b)
	if !changing && math.Abs(off) < 1.5 {
		return // a change would explain nothing and only cost
	}
	was.logw += odds.yes
	began := m.last.t
	if changing {
		began = none
	}
	lies := m.over
	for _, a := range was.a[:was.n] {
		lies += a
	}
	if was.justEmptied() && s.t-was.t[was.gone] < quickWithin {
		if m.single || math.Abs(m.over) < leastLoad {
			was.logw += quickOdds
		} else {
			was.logw += pileOdds
		}
	}
	onset := func(i int) float64 { return m.last.t + dt*onsets[i] }
	suddenly := math.Log(1 / float64(len(onsets)))
	switch {
	case was.justEmptied(): // nobody puts the next coin down at once
		if s.t-was.t[was.gone] < emptyLeast {
			return
		}
	case lies > leastLoad:
		for i := range onsets {
			c := m.copyOf(&was, emptiesOdds+suddenly, dt*onsetBlur)
			c.count(m.over, onset(i), m.test, shapes)
			c.addEmptying(onset(i), m.over, began)
			m.tell(c, sh, s)
		}
		was.logw += staysOdds
	}
	if changing && was.n > 0 {
		for i := range onsets {
			c := m.copyOf(&was, returnOdds+suddenly, dt*onsetBlur)
			c.addReturn(onset(i))
			m.tell(c, sh, s)
		}
		was.logw += onwardOdds
	}
	if !changing {
		for i := range onsets {
			if was.justEmptied() && onset(i)-was.t[was.gone] < emptyLeast {
				continue
			}
			c := m.copyOf(&was, math.Log(0.5)+suddenly, dt*onsetBlur)
			c.addKnot(onset(i), q, m.last.t)
			m.tell(c, sh, s)
		}
		was.logw += math.Log(0.5)
	}
	c := m.copyOf(&was, 0, dt*pairBlur[sh.family])
	from := m.last.t
	if c.justEmptied() {
		from = math.Max(from, c.t[c.gone]+emptyLeast)
	}
	if c.n == 0 || c.t[c.n-1] < from {
		c.addKnot(from, q, began)
	}
	// A long wait between lines needs knots inside it as well.
	n := min(4, max(1, int(math.Round(dt/between))))
	for k := 1; k < n; k++ {
		if at := m.last.t + dt*float64(k)/float64(n); at > from {
			c.addKnot(at, q, none)
		}
	}
	c.addKnot(s.t, q, none)
	m.tell(c, sh, s)
}

// tell lets a branch take the reading and keeps it among the next.
func (m *move) tell(b *branch, sh shape, s sample) {
	b.update(sh, s.t, s.z-m.base, s.noise)
	m.next = append(m.next, b)
}

// copyOf makes a branch like b, less likely by a logarithm.
func (m *move) copyOf(b *branch, odds, blur float64) *branch {
	c := m.pool.get()
	b.copyTo(c)
	c.logw += odds
	c.blur = blur
	return c
}

// weights are the branches' probabilities, times what they are worth besides
// (logarithms).
func (m *move) weights(worth func(*branch) float64) []float64 {
	w := make([]float64, len(m.branches))
	best := math.Inf(-1)
	for i, b := range m.branches {
		w[i] = b.logw + worth(b)
		best = math.Max(best, w[i])
	}
	sum := 0.0
	for i := range w {
		w[i] = math.Exp(w[i] - best)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// isUnseen reports whether nobody saw how the load came to be what it was at first.
func (m *move) isUnseen() bool { return !math.IsInf(m.unseenAt, -1) }

// best is the heaviest branch.
func (m *move) best() *branch {
	best := m.branches[0]
	for _, b := range m.branches {
		if b.logw > best.logw {
			best = b
		}
	}
	return best
}
