package settle

import "math"

// story is what one branch tells of the loads of a move.
type story struct {
	count   int     // loads that came on, those that are gone again among them
	here    int     // and those of them that came since the pan was emptied last
	empty   bool    // the pan was emptied, and nothing has come on since
	fresh   bool    // the newest load lies alone
	emptied bool    // the pan was empty at some time since the move began
	parts   bool    // the newest load came on in parts so far apart that they may be two
	quiet   float64 // s for which nothing changed before it came on top of another of the move
	from    int     // its first knot; -1 if no load came on, or none is left
	mean    float64
	sd      float64
}

// loadTest is what a change must be to count as a load.
type loadTest struct {
	least float64 // g
	u     float64 // the scale's own standard uncertainty, g
	held  float64 // quiet up to which a load may still be held half put down, s
}

// story divides a branch's changes into loads. Changes that follow one another
// without a quiet spell are one; what adds less than a load does
// belongs to the load before it; when next to nothing is left, the pan is empty
// and a new story begins. over is what lay on the pan before the move.
func (b *branch) story(over float64, test loadTest, now float64, shapes []shape) story {
	st := story{count: b.loads, from: -1, fresh: b.gone >= 0 || math.Abs(over) < leastLoad, emptied: b.gone >= 0}
	first := b.gone + 1
	if first == b.n {
		st.empty = b.gone >= 0
		return st
	}
	here, before, lies := 0, 0.0, over
	for _, a := range b.a[:first] {
		lies += a
	}
	for i := first; i < b.n; {
		j := i + 1
		for j < b.n && !b.nextLoad(j) {
			j++
		}
		mean, v := b.sum(i, j)
		least := test.least
		if here > 0 {
			least = math.Max(least, minPart*before)
		}
		if i > first {
			left := b.unseen(i, shapes)
			least = math.Max(least, minUnseen*left)
			v += sq(unseenSD * left)
		}
		switch counts := mean > least && mean > forSure*math.Hypot(math.Sqrt(v), test.u); {
		case counts && here > 0 && b.began[i]-b.t[i-1] < test.held:
			st.parts = true
			before += mean
		case counts:
			here++
			before = mean
			if st.from, st.parts, st.quiet = i, false, 0; here > 1 {
				st.quiet = b.began[i] - b.t[i-1]
			}
		default:
			before += mean
		}
		lies += mean
		next := now
		if j < b.n {
			next = b.t[j]
		}
		if (here > 0 || !st.fresh) && math.Abs(lies) < test.least && next-b.t[j-1] > emptyLeast && b.knows(j, test.least) {
			st.count += b.stayed(here, st.from, st.fresh, b.t[j-1])
			st.fresh, st.emptied, st.parts, st.from, here, first = true, true, false, -1, 0, j
			st.empty = j == b.n
		}
		i = j
	}
	if st.empty {
		return st
	}
	st.count += here
	st.here = here
	if st.fresh && here <= 1 {
		st.from = first
	}
	if st.from >= 0 {
		st.fresh = st.fresh && st.from == first
		var v float64
		st.mean, v = b.sum(st.from, b.n)
		if st.from > first {
			v += sq(unseenSD * b.unseen(st.from, shapes))
		}
		st.sd = math.Sqrt(v)
	}
	return st
}

// knows reports whether the sum of the first k amounts is known to half of least.
func (b *branch) knows(k int, least float64) bool {
	_, v := b.sum(0, k)
	return v < sq(least/2)
}

// unseen is how much of what came on before knot k was still to show then.
func (b *branch) unseen(k int, shapes []shape) float64 {
	at, sum := b.t[k], 0.0
	for i := range k {
		shown, _ := shapes[b.shape].at(at - b.t[i])
		sum += b.a[i] * (1 - shown)
	}
	return math.Abs(sum)
}

// count notes the loads that came on since the pan was emptied last, before it
// is emptied again at a time.
func (b *branch) count(over float64, at float64, test loadTest, shapes []shape) {
	st := b.story(over, test, at, shapes)
	if here := st.count - b.loads; st.from >= 0 && here > 0 {
		st.count += b.stayed(here, st.from, st.fresh, at) - here
	}
	b.loads = st.count
}

// stayed is how many of n loads count, now that all are gone. The newest, from
// knot k on, counts only if it lay still for a while: else it was a finger, or a
// knock.
func (b *branch) stayed(n, k int, alone bool, at float64) int {
	quiet := layQuiet
	if !alone {
		quiet = pileQuiet
	}
	if n > 0 && (b.steadiest > -steadyEnough || !b.layStill(max(k, 0), at, quiet)) {
		n--
	}
	return n
}

// layStill reports whether nothing changed for a while at some time from knot k on.
func (b *branch) layStill(k int, now, quiet float64) bool {
	for ; k < b.n; k++ {
		until := now
		if k+1 < b.n {
			until = b.t[k+1]
		}
		if until-b.t[k] >= quiet {
			return true
		}
	}
	return false
}

// opinion is what all branches together believe.
type opinion struct {
	all      belief                    // change of the level since the move began
	own      belief                    // the newest load, where one came on
	cautious struct{ all, own belief } // the same, as far as hands may linger
	has      float64                   // weight of the branches in which one did
	empty    float64                   // weight of those in which the pan is empty now
	fresh    float64                   // weight of those in which the pan was emptied before the newest load came
	count    int                       // loads that came on in this move, by the greatest weight
	sure     float64                   // that weight
	here     int                       // the same since the pan was emptied last
	hereSure float64
	parts    float64 // the same of those in which it came on in parts
	apart    float64 // s between it and the load before that it came on top of, by the likeliest
	alone    float64 // weight, of has, of those in which the newest load lies alone
}

// opinion weighs the branches' stories.
func (m *move) opinion(shapes []shape, caution float64) opinion {
	w := m.weights(m.likely)
	best := m.best()
	lies, _ := best.sum(best.gone+1, best.n)
	half := m.habit.odds(lies)
	var o opinion
	var counts, heres [64]float64
	stories := make([]story, len(m.branches))
	var all, allCautious, own, ownCautious moments
	for i, b := range m.branches {
		if w[i] < negligible {
			continue
		}
		st := b.story(m.over, m.test, m.last.t, shapes)
		stories[i] = st
		counts[min(st.count, len(counts)-1)] += w[i]
		heres[min(st.here, len(heres)-1)] += w[i]
		if st.empty {
			o.empty += w[i]
		}
		mean, v := b.sum(0, b.n)
		all.add(w[i], mean, v+m.atWork(b, mean), m.quiet(b))
		held, h := m.holds(b, mean, caution, half)
		allCautious.add(w[i], mean, v, m.quiet(b))
		allCautious.doubt(w[i], held, h)
	}
	o.all, o.cautious.all = all.belief(), allCautious.belief()
	for n, weight := range counts {
		if weight > o.sure {
			o.count, o.sure = n, weight
		}
	}
	for n, weight := range heres {
		if weight > o.hereSure {
			o.here, o.hereSure = n, weight
		}
	}
	likeliest := 0.0
	for i, b := range m.branches {
		st := &stories[i]
		if w[i] < negligible || st.from < 0 {
			continue
		}
		o.has += w[i]
		if st.emptied {
			o.fresh += w[i]
		}
		if st.fresh {
			o.alone += w[i]
		}
		if st.parts {
			o.parts += w[i]
		}
		if st.count == o.count {
			if w[i] > likeliest {
				likeliest, o.apart = w[i], st.quiet
			}
			own.add(w[i], st.mean, st.sd*st.sd+m.atWork(b, st.mean), m.quiet(b))
			held, h := m.holds(b, st.mean, caution, half)
			ownCautious.add(w[i], st.mean, st.sd*st.sd, m.quiet(b))
			ownCautious.doubt(w[i], held, h)
		}
	}
	o.own, o.cautious.own = own.belief(), ownCautious.belief()
	return o
}

// likely is the logarithm of what a branch is worth for what it says of loads: a
// single load doesn't get lighter by itself, it is taken. A knock, of which the
// force has next to no mean, swings to both sides, and a hand presses.
func (m *move) likely(b *branch) float64 {
	if !m.single || b.gone >= 0 {
		return 0
	}
	change, impulse := 0.0, 0.0 // g and g·s
	for k := range b.n {
		change += b.a[k]
		until := m.last.t
		if k+1 < b.n {
			until = b.t[k+1]
		}
		impulse += change * (until - b.t[k])
		if impulse < -lightFor*m.over {
			return lighterOdds
		}
		if change > -slightDip*m.over && until-b.t[k] > apart {
			impulse = 0
		}
	}
	return 0
}

// quiet is how long nothing has changed by a branch.
func (m *move) quiet(b *branch) float64 {
	return math.Min(10, m.last.t-math.Max(b.lastChange(), m.unseenAt))
}

// moments gathers the mean and variance of a mixture.
type moments struct{ w, mean, second, quiet, half, lacks float64 }

// doubt adds the variance of what a hand may still do, and the chance that it does.
func (m *moments) doubt(w, variance, half float64) {
	m.half += w * half
	m.lacks += w * variance
}

func (m *moments) add(w, mean, variance, quiet float64) {
	m.w += w
	m.mean += w * mean
	m.second += w * (variance + mean*mean)
	m.quiet += w * quiet
}

func (m *moments) belief() belief {
	if m.w == 0 {
		return belief{}
	}
	mean := m.mean / m.w
	v := math.Max(0, m.second/m.w-mean*mean)
	return belief{mean: mean, sd: math.Sqrt(v + m.lacks/m.w), quiet: m.quiet / m.w, half: m.half / m.w, whole: math.Sqrt(v)}
}
