package settle

import (
	"math"

	"panside/internal/mass"
)

// lying is the newest load that rests on the pan: one difference between two
// levels that both rested.
type lying struct {
	base     ground  // that it was put on: the zero, or a pile
	alone    bool    // nothing else lies on the pan
	since    float64 // when it came to rest
	withheld bool    // its weight can't be told
	told     bool    // it was called settled
	bare     bool    // the pan was empty before it came
	belief   belief
	exchange float64 // odds that it was put in another's place and not on top of it
	inParts  bool    // it may be two loads or one that came in two movements; it has one number
	lent     bool    // its number is taken back when it is lifted to be put on again
}

// resolve decides what the newest load is, now that all is at rest at a level
// that is not zero.
//
// A load alone on the pan weighs the level less the zero. One put on top of what
// rested there weighs the difference between both levels. What can be read in
// either way, or came on without a level at rest before it, is withheld.
func (t *Tracker) resolve(level float64, o opinion, s sample) {
	m, was := t.move, t.newest
	change := level - m.base
	fresh := o.fresh // chance that the pan was emptied before the newest load came
	if was != nil && was.inParts && fresh < 1-agreed && change > leastOnTop {
		t.numbered++ // it was a pile, then
	}
	grown := anotherCoin
	if o.count <= 1 && fresh < 1-agreed {
		grown = t.growth(change)
	}
	switch {
	case m.isUnseen():
		t.found(level, fresh, s)
	case t.back:
		t.put(t.withhold(s), 0) // a cup, or the next coin that weighs as much
		t.before, t.coin, t.back = math.NaN(), false, false
	case level < t.zero-t.zeroTolerance(s.t):
		t.lifted(level, s)
	case t.lentBack(level):
		l := t.onTop(s)
		if was.alone {
			l = t.alone(s)
		}
		t.numbered--
		t.put(l, 0)
	case grown != anotherCoin:
		t.grow(grown, s)
	case o.parts > 1-agreed, t.piled():
		t.put(t.withhold(s), o.count)
	case was == nil && (o.count <= 1 || o.alone > agreed*o.has):
		t.put(t.alone(s), max(1, o.count))
	case was == nil:
		t.put(t.withhold(s), o.count)
	case fresh > agreed && was.alone && !t.same(change), fresh > agreed && t.sawEmpty():
		t.exchanged++
		t.put(t.alone(s), max(1, o.count))
	case t.taken() && !t.same(change):
		t.exchanged++
		t.put(t.alone(s), max(1, o.count)) // nobody adds to a coin that he has just taken
	case t.same(change):
		if t.replaced(fresh) || t.steps.new && was.alone {
			t.put(t.alone(s), max(1, o.count))
		} else if t.fresh = 0; was.alone {
			t.put(t.alone(s), 0)
		}
	case was.alone && change < 0 && !was.withheld:
		// Nothing gets lighter by itself: a hand has left the load, or another
		// lies there now. Either way it is all there is.
		n := 0
		if fresh > 0.5 && t.sankBelow(level) || t.steps.new {
			n = max(1, o.count)
		}
		t.put(t.alone(s), n)
	case change < 0 && s.t-was.since < sameLoad:
		*was = *t.laid(was.base, s)
		t.fresh = 0
	case change < 0 && fresh < 1-agreed && level-t.lowest < t.slight() && !t.doubt && t.below.lay():
		t.put(t.onTop(s), 1) // one of a pile was taken off: a negative load
	case t.onlyAdds(level, o) && (!was.alone || t.exchangeOdds(level) < exchangePasses):
		t.stacked++
		t.put(t.onTop(s), 1)
	default:
		l, n := t.withhold(s), max(0, o.count-1)
		if l.exchange = 1; t.onlyAdds(level, o) {
			l.exchange = t.exchangeOdds(level)
		}
		if l.lent = o.count > n && fresh < 1-agreed && t.another(change); l.lent {
			n++
		}
		t.put(l, n)
	}
}

// another reports whether what came on top of a load is surely another, and not the rest of one
// that was half put down.
func (t *Tracker) another(change float64) bool {
	first := t.move.base - t.newest.base.level
	return change > 0 && (t.below.stood >= layBelow || t.stepOddsOf(first, change, t.below.stood, 0) > 1)
}

// lentBack reports whether a load that must be put on again was lifted from what it lay on.
func (t *Tracker) lentBack(level float64) bool {
	was := t.newest
	return was != nil && was.lent && level < t.move.base-t.slight() && math.Abs(level-was.base.level) <= t.slight()
}

// lifted is a pan that is empty below its zero: a tared cup was lifted, or a coin that lay there
// as the scale was switched on. What it weighed is no coin's weight that was put on.
func (t *Tracker) lifted(level float64, s sample) {
	if math.IsNaN(t.before) {
		t.before, t.coin = t.zero, t.numbered == t.woke
	}
	t.setZero(level, s)
	t.newest, t.fresh, t.doubt = nil, 0, false
}

// found is a load of which nobody saw how it got there. One that was still
// coming on as the lines came may have been there when the scale, just switched
// on, set itself to zero.
func (t *Tracker) found(level, fresh float64, s sample) {
	switch was := t.newest; {
	case fresh > agreed && t.bareFor >= zeroStood:
		t.put(t.alone(s), 1)
	case fresh > agreed: // a scale that was switched on may have set its zero under it
		t.put(t.withhold(s), 1)
		t.doubt = true
	case was == nil && math.Abs(t.zero) <= t.d && math.Abs(t.move.first.z-level) <= math.Max(t.slight(), foundPart*level):
		l := t.alone(s)
		l.base = onDisplay(t.zero, t.bare.shown)
		t.put(l, 1)
	case was != nil && math.Abs(level-t.move.base) <= t.slight():
		t.fresh = 0
	default:
		t.put(t.withhold(s), 0)
		t.doubt = true
	}
}

func (t *Tracker) put(l *lying, numbers int) {
	t.newest, t.fresh = l, numbers
}

// laid is a load that has just come to rest on a ground.
func (t *Tracker) laid(on ground, s sample) *lying {
	return &lying{base: on, since: s.t, belief: belief{sd: 0.3 * t.d}}
}

// alone is a load that lies alone on the pan.
func (t *Tracker) alone(s sample) *lying {
	l := t.laid(t.bare, s)
	l.alone = true
	return l
}

// onTop is a load on top of what rested before, or less of it.
func (t *Tracker) onTop(s sample) *lying { return t.laid(t.below, s) }

// withhold is what lies there without a weight that could be told. What is put
// on it later weighs the difference, since it rests now.
func (t *Tracker) withhold(s sample) *lying {
	return &lying{base: t.below, alone: t.newest == nil || t.newest.alone, since: s.t, withheld: true, belief: belief{sd: usualLoad}}
}

// same reports whether a load at rest has changed by so little that it is the same,
// or one like it.
func (t *Tracker) same(change float64) bool {
	return math.Abs(change) <= math.Max(t.slight(), t.move.test.least)
}

// slight is the change up to which a load at rest is the same as before.
func (t *Tracker) slight() float64 { return math.Max(3*t.d, t.rest.band(t.d)) }

// showBare tells of an empty pan, once it was seen for long enough to weigh from.
func (t *Tracker) showBare() {
	if t.bare.proven() {
		t.show(mass.PhaseEmpty)
	} else {
		t.show(mass.PhaseNone)
	}
}

// showRest tells of what rests, as far as the claim that it weighs so much holds. It
// isn't called settled while a slow sign is still unlit, though what is put on
// top is weighed from it.
func (t *Tracker) showRest(s sample) {
	newest := t.newest
	if newest == nil {
		t.showBare()
		return
	}
	if newest.withheld {
		t.show(mass.PhaseWithheld)
		return
	}
	b := newest.belief
	b.mean = t.rest.level - newest.base.level
	c := claim{
		weight: b.mean, on: newest.base, rested: newest.base.lay(),
		display: s.z, now: t.stands, shows: t.displays(), told: newest.told,
		band: t.rest.band(t.d), d: t.d,
	}
	if newest.alone {
		c.rested = newest.base.proven()
	}
	last := newest.belief.mean
	newest.belief.mean = b.mean // what is known of it if it moves again before it is told
	weight, answer := c.judge()
	if answer == never {
		newest.withheld = true
		t.show(mass.PhaseWithheld)
		return
	}
	t.est.Pile = mass.Grams(t.rest.level - t.zero)
	unlit := t.sign.now == mass.StatusMoving && t.sign.works
	leaves := newest.told && unlit && math.Abs(s.z-newest.base.shown-last) > slipSteps*t.d
	waits := !newest.told && (unlit && t.stands.seconds <= signLate || t.mayBeHalf(weight))
	if leaves || waits || answer == notYet {
		b.sd = math.Hypot(b.sd, s.z-newest.base.shown-b.mean)
		t.load(mass.PhaseMoving, b)
		return
	}
	b.mean = weight
	if !newest.told && newest.alone {
		t.known.habit.tell(weight)
	}
	newest.belief, newest.told = b, true
	t.load(mass.PhaseSettled, b)
}

// mayBeHalf reports whether a lone load that is about to be told is too likely one that is held
// half put down, by its weight and by how long the display has stood. A lit sign that works is
// relied on.
func (t *Tracker) mayBeHalf(weight float64) bool {
	if !t.newest.alone || t.est.ScaleStable && t.sign.works {
		return false
	}
	return halfWay(t.known.habit.odds(weight), t.stands.seconds) > halfSettles
}
