package settle

import "math"

// load is one load of those that came on one after the other, the newest on
// top. It has a number once it is sure to be a load of its own.
type load struct {
	number uint64
	from   float64 // changes since then are its own; −Inf for all of the move
	began  float64 // when it began to come on; NaN if nothing is seen of it yet
	other  float64 // what came on or went off in the same move before it, g
	rested bool    // it lay at rest before the move began: belief and base are settled
	belief belief
	best   belief  // the surest belief while it was on top
	base   float64 // level it was put on
}

var never, always = math.Inf(1), math.Inf(-1)

// note keeps what is believed of a load now, and the surest belief so far.
func (l *load) note(b belief) {
	l.belief = b
	if l.number != 0 && (l.best.sd == 0 || b.sd < l.best.sd) {
		l.best = b
	}
}

// top is the newest load, nil on an empty pan.
func (t *Tracker) top() *load {
	if len(t.loads) == 0 {
		return nil
	}
	return &t.loads[len(t.loads)-1]
}

// under is the load below the newest, nil if there is none.
func (t *Tracker) under() *load {
	if len(t.loads) < 2 {
		return nil
	}
	return &t.loads[len(t.loads)-2]
}

// push puts a new load on top, not sure yet.
func (t *Tracker) push(from, began float64) {
	t.loads = append(t.loads, load{from: from, began: began})
}

// pop takes the newest load away again: it was none, or part of the one below.
func (t *Tracker) pop() {
	t.withdraw()
	if began := t.top().began; began > t.deaf {
		t.deaf = began
	}
	t.loads = t.loads[:len(t.loads)-1]
}

// number counts the newest load.
func (t *Tracker) number() {
	if top := t.top(); top.number == 0 {
		t.count++
		top.number = t.count
	}
}

// withdraw takes the newest load's number back.
func (t *Tracker) withdraw() {
	if top := t.top(); top.number != 0 {
		t.count--
		top.number = 0
	}
}

// gone forgets all loads, the pan being empty. One that came on and went in this
// move keeps its number only if it was ever weighed: else it was a finger.
func (t *Tracker) gone() {
	if top := t.top(); !top.rested && top.best.sd > surePart*top.best.mean {
		t.withdraw()
	}
	t.loads = t.loads[:0]
}

// breakOff keeps one load at most, as at rest, when a move ends unseen.
func (t *Tracker) breakOff() {
	for i := len(t.loads) - 1; i >= 0; i-- {
		if l := t.loads[i]; l.number != 0 {
			l.rested, l.base = true, t.rest.level-l.belief.mean
			t.loads = append(t.loads[:0], l)
			return
		}
	}
	t.loads = t.loads[:0]
}

// own is what is believed of the newest load. A single one is all there is above
// zero, whatever lay there before. On top of one that had not come to rest it is
// known no better than a part of what that one had still to show.
func (t *Tracker) own(w []float64) belief {
	top, below := t.top(), t.under()
	if below == nil || t.swapped(w) {
		b := t.move.about(always, never, w)
		b.mean += t.move.base - t.zero
		return b
	}
	b := t.move.about(top.from, never, w)
	if !below.rested {
		b.sd = math.Hypot(b.sd, unseenSD*t.move.unseen(top.from, w, t.known.shapes))
	}
	return b
}

// swapped tells that the only load was taken and another is coming on: weight
// went off in between, or is less than before. With several loads on the pan
// that would be one of them taken off.
func (t *Tracker) swapped(w []float64) bool {
	below := t.under()
	if below == nil || !below.rested || below.belief.mean <= 0 {
		return false
	}
	if math.Abs(t.move.base-t.zero-below.belief.mean) > minSteps*t.d {
		return false
	}
	if t.lowest < t.move.base-math.Max(minSteps*t.d, dipPart*below.belief.mean) {
		return true
	}
	all := t.move.about(always, never, w)
	return all.quiet > restQuiet && all.mean < -t.slight(all)
}

// regroup looks for a group of changes that began after a quiet spell.
func (t *Tracker) regroup(w []float64) {
	group := t.move.newest(w)
	top := t.top()
	if group <= t.deaf || group <= top.began+apart {
		return
	}
	from := group - apart/2
	switch {
	case math.IsNaN(top.began):
		top.began = group
	case top.number != 0:
		t.push(from, group)
	default:
		// A load that isn't sure yet: does what comes now belong to it?
		old := t.move.sum(top.from, from, w)
		if t.under() == nil && t.move.best().quietBefore(from) > layQuiet && old.mean > minSteps*t.d && old.mean > forSure*math.Hypot(old.sd, t.props.u(t.d, old.mean)) {
			// It lay there through a quiet spell, so it is no finger.
			t.number()
			t.push(from, group)
			return
		}
		top.began = group
		if math.Abs(old.mean) > 4*old.sd && (old.mean < 0 || t.under() != nil) {
			top.from, top.other = from, old.mean
			left := t.move.base + old.mean - t.zero
			if math.Abs(left) < math.Max(minSteps*t.d, math.Max(4*old.sd, 0.1*math.Abs(old.mean))) {
				t.loads = append(t.loads[:0], *top) // all was taken off before
			}
		}
	}
}

// emptied sees that the pan is empty though the display may still creep: what
// comes next is the only load.
func (t *Tracker) emptied(s sample, w []float64) {
	if t.under() == nil && t.top().number == 0 {
		return
	}
	all := t.move.sum(always, never, w)
	over := t.move.base + all.mean - t.zero
	if math.Abs(over) > 3*t.d || all.sd > 1.5*t.d || all.quiet < 0.15 || math.Abs(s.z-t.zero) > minSteps*t.d {
		return
	}
	t.gone()
	t.deaf = s.t - 1e-6
	t.push(s.t, math.NaN())
}

// counts tells whether the newest load, believed to be b, is one of its own.
func (t *Tracker) counts(b belief, w []float64) bool {
	quiet, least := 0.15, minSteps*t.d
	if below := t.under(); below != nil {
		if t.knocked(w) {
			return false
		}
		quiet = 0.3
		if !below.rested {
			least = math.Max(least, minPart*below.belief.mean)
			least = math.Max(least, minUnseen*t.move.unseen(t.top().from, w, t.known.shapes))
		}
	}
	u := math.Hypot(b.sd, t.props.u(t.d, b.mean))
	return b.mean > forSure*u && b.mean > least && b.quiet > quiet
}

// knocked tells that all that changed adds up to nothing, so that what looks
// like a load put on is the way back from a knock. One coin taken and its like
// put in its place look the same, but for the size of the swing.
func (t *Tracker) knocked(w []float64) bool {
	top, below := t.top(), t.under()
	if below.rested {
		all := t.move.about(always, never, w)
		if t.swapped(w) {
			return math.Abs(all.mean) <= t.slight(all)
		}
		return math.Abs(top.other) < 0.5*below.belief.mean && math.Abs(all.mean) <= t.slight(all)
	}
	whole := t.move.about(below.from, never, w)
	return below.best.sd > 0 && math.Abs(whole.mean-below.best.mean) <= t.slight(below.best)
}

// nothing tells that b is no load put on.
func (t *Tracker) nothing(b belief) bool {
	return b.mean+2*b.sd < 0 || b.quiet > 0.3 && b.sd < 2*t.d && b.mean < t.slight(b)
}

// slight is the weight up to which a change at rest is a creep or a knock.
func (t *Tracker) slight(b belief) float64 { return math.Max(3*t.d, 4*b.sd) }

// shown is the belief of the load that the estimate is about: the newest one
// that counts, or on an empty pan the one that comes on. While something
// happens to it that isn't understood yet, it is as unsure as that is big.
func (t *Tracker) shown(own belief, w []float64) belief {
	below := t.under()
	switch {
	case t.top().number != 0 || below == nil:
		return own
	case below.rested:
		b, all := below.belief, t.move.about(always, never, w)
		b.sd = math.Sqrt(b.sd*b.sd + all.mean*all.mean + all.sd*all.sd)
		return b
	}
	// The same load still handled, or a second one on top of it.
	whole := t.move.about(below.from, never, w)
	if own.mean > t.move.unseen(t.top().from, w, t.known.shapes) {
		whole = mix(whole, t.move.about(below.from, t.top().from, w))
	}
	return whole
}

// resolve decides what the newest load is, now that all is at rest at a level
// that is not zero. all is the change since the move began.
func (t *Tracker) resolve(all belief, level float64, w []float64) {
	for {
		top, below := t.top(), t.under()
		own := all
		switch {
		case below == nil:
			own.mean = level - t.zero
		case t.swapped(w) && top.began-below.began > sameLoad:
			own.mean = level - t.zero
			if math.Abs(own.mean-below.belief.mean) <= t.slight(all) {
				t.pop()
			} else {
				top.belief = own
				t.number()
			}
			return
		case !math.IsInf(top.from, -1):
			own = t.own(w)
			if left := all.mean - own.mean; top.number != 0 && below.number != 0 && !below.rested && math.Abs(left) < takenPart*below.best.mean {
				own.mean = all.mean // the one below was taken off in this same move
				if len(t.loads) == 2 {
					own.mean = level - t.zero
				}
				top.belief = own
				return
			}
		}
		top.belief = own
		switch {
		case below == nil:
			t.number()
			return
		case top.number != 0 && own.mean > minSteps*t.d && !t.nothing(own):
			if off := math.Abs(own.mean - top.best.mean); top.best.sd < own.sd && off < 4*own.sd {
				top.belief = top.best
			}
			return
		case !below.rested:
			if top.number == 0 && t.counts(own, w) {
				t.number()
				return
			}
			t.pop() // belongs to the one below
		case math.Abs(own.mean) <= t.slight(own) || t.knocked(w):
			t.pop()
			return
		case own.mean < 0 && top.began-below.began < sameLoad:
			t.pop() // a hand still leaving the load below
			top = t.top()
			top.belief = belief{mean: level - top.base, sd: all.sd, quiet: all.quiet}
			return
		default:
			t.number()
			return
		}
	}
}
