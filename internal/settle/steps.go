package settle

import "math"

// steps are the stands of a display in a move, at which coins may have come to rest too
// shortly for anything to be weighed from them: those of a pile, on the display's way up,
// and those between which the display fell.
type steps struct {
	from   float64 // the level that the last stand was reached from
	last   stop    // the last stand
	loads  int     // the loads that had come on in the move by then
	rested bool    // it is what rested before the move
	pile   float64 // chance that the last rise was one of a pile
	new    bool    // the last stand is a load that came by a dip
	low    float64 // the lowest display since,
	absent float64 // g·s by which the display has been lower than it,
	excess float64 // and by which it has been higher
}

// newSteps begins a move at a level that rested; bare says that it was the empty pan.
func newSteps(level float64, bare bool) steps {
	p := steps{from: level, low: math.Inf(1)}
	if !bare {
		p.last, p.rested = stop{level, 0, math.Inf(1)}, true
	}
	return p
}

// pass takes a line on which the display doesn't stand.
func (p *steps) pass(z, dt float64) {
	p.low = math.Min(p.low, z)
	p.absent += math.Max(0, p.last.level-z) * dt
	p.excess += math.Max(0, z-p.last.level) * dt
}

// stood reports whether there was a stand before.
func (p *steps) stood() bool { return p.last.seconds() > 0 }

// fell reports whether the display has fallen by a part of a level and of the stand before it.
func (p *steps) fell(level, zero, part float64) bool {
	return p.low-zero < (1-part)*(math.Min(level, p.last.level)-zero)
}

// step is how the display came from one stand to the next.
type step int

const (
	same   step = iota // it is the same stand, or the first
	rose               // straight up
	dipped             // by way of much less than either
	other
)

// step tells how the display came to a level; near is how far apart displays of one stand
// lie, and gone is the area by which it showed less than either, in g·s.
func (p *steps) step(level, zero, near, gone float64) step {
	switch rise := level - p.last.level; {
	case !p.stood():
		return same
	case p.fell(level, zero, deepDip), math.Abs(rise) > near && p.fell(level, zero, slightDip) && gone > absentFor*(math.Min(level, p.last.level)-zero):
		return dipped
	case math.Abs(rise) <= near:
		return same
	case rise > leastOnTop && p.low > p.last.level-near && !p.rested:
		return rose
	}
	return other
}

// exchanged reports whether a dip to a level was one coin taken and another put down, and
// not a knock: that swings to both sides and leaves the weight as it was.
func (p *steps) exchanged(level, zero, near float64) bool {
	if math.Abs(level-p.last.level) > near {
		return true
	}
	return p.absent > absentFor*(level-zero) && p.excess < swing*p.absent
}

// climb counts the coins that the display stood still at in a move.
func (t *Tracker) climb(s sample, lies bool) {
	p := &t.steps
	still, rare := t.stands.seconds, t.displays() < flatDisplays
	if !lies || still < flatTells || rare && (still < rareTells || t.displays() < bareDisplays) {
		p.pass(s.z, t.clock.dt)
		return
	}
	level, near := t.stands.level, t.slight()
	before := p.loads
	if t.ghost {
		before = 0 // what it stood at was a finger
	}
	another, swapped := false, false
	switch p.step(level, t.zero, near, t.lacked(level)) {
	case same:
		another = !p.stood() && t.newest == nil && t.fresh == 0 && t.alike(belief{mean: level - t.zero}) // a finger hardly weighs so
		if p.stood() {
			p.last.until, p.low, p.absent, p.excess = math.Max(p.last.until, s.t), math.Inf(1), 0, 0
			return
		}
	case rose:
		odds := t.stepOddsOf(p.last.level-p.from, level-p.last.level, p.last.seconds(), p.pile)
		p.pile = odds / (1 + odds)
		if another = odds > stepOdds; another {
			p.from = p.last.level
		}
	case dipped:
		swapped = (p.rested || p.from-t.zero < near) && p.exchanged(level, t.zero, near)
		another = swapped
		p.from = t.zero
	}
	loads := max(1, t.fresh)
	if another {
		loads = max(loads, before+1)
		t.fresh, t.stood = loads, loads
	}
	*p = steps{from: p.from, last: stop{level, s.t - still, s.t}, loads: loads, pile: p.pile, new: swapped, low: math.Inf(1)}
}

// lacked is the area, in g·s, by which the display has shown less than a level, and than the
// stand before, since it left that.
func (t *Tracker) lacked(level float64) float64 {
	at, top, sum := t.steps.last.until, math.Min(level, t.steps.last.level), 0.0
	if t.steps.rested {
		at = t.move.first.t
	}
	for _, s := range t.flat.since(at) {
		sum += math.Max(0, top-s.z) * (s.t - at)
		at = s.t
	}
	return sum
}

// piled reports whether coins were counted that lie below the last stand.
func (t *Tracker) piled() bool {
	return t.newest == nil && t.steps.from-t.zero > t.slight()
}

// stepOddsOf are those that a display which stood at one load for some seconds, and then
// rose by another, shows two coins and not one that was put down in two movements:
//
//	next·f(w₁)·f(w₂) / ((1 − next)·r·S(q)·f(w₁ + w₂)·h(w₁))
//	h(w₁) = halfNear·U(w₁; 0.4·w, 0.6·w) + (1 − halfNear)/w,  w = w₁ + w₂
//
// f is how far a weight is one of this sitting's coins, r the share of coins put down in two
// movements, S the part of these that stand for so long, and next the chance that a coin comes so
// soon after another. Where neither weighs as one before, nothing tells.
func (t *Tracker) stepOddsOf(first, second, stood, pile float64) float64 {
	kind := func(w float64) bool { return t.alike(belief{mean: w}) }
	if !(kind(first) && second > lightCoin || kind(second) && first > lightCoin) {
		return 0
	}
	return t.pairOdds(first, second, stood, pile)
}

// pairOdds are the same of any weights.
func (t *Tracker) pairOdds(first, second, stood, pile float64) float64 {
	w := first + second
	half := (1 - halfNear) / w
	if first > 0.4*w && first < 0.6*w {
		half += halfNear / (0.2 * w)
	}
	next := (float64(t.stacked) + 0.5) / (float64(t.stacked+t.known.habit.told) + 10)
	next = math.Max(next, goesOn*pile)
	two := next / (1 - next) * t.coinlike(first) * t.coinlike(second)
	return two / (t.known.habit.share() * staysOn(stood) * t.coinlike(w) * half)
}
