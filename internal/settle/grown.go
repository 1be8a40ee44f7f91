package settle

// growth is what came on top of a lone load: another coin, or the rest of the same one, which
// had been half put down for so long that it rested.
type growth int

const (
	anotherCoin growth = iota
	doubtful
	sameCoin
)

// growth tells by the odds of steps.go, the other way around, what a change of a lone load is.
func (t *Tracker) growth(change float64) growth {
	was := t.newest
	if was == nil || !was.alone || was.inParts || t.doubt || t.dip() > slightDip || change < leastOnTop {
		return anotherCoin // a third tells of a pile
	}
	if was.told {
		part := t.known.habit.takeBack() // no coin of this sitting, if it was a part of one
		defer t.known.habit.tell(part)
	}
	switch odds := t.pairOdds(t.move.base-was.base.level, change, t.below.stood, 0); {
	case odds*grownOdds < 1:
		return sameCoin
	case odds < 1:
		return doubtful
	}
	return anotherCoin
}

// inTwo makes one load of what a move's branches take for two on a pan that was empty, where it
// is rather one that came in two movements: nothing rested between them. Either way it came in
// parts, and its weight is withheld. A third tells of a pile.
func (t *Tracker) inTwo(o *opinion) {
	if t.newest != nil || o.count != 2 || t.fresh > 1 || o.alone > agreed*o.has || t.rose {
		return
	}
	first := t.move.base - t.zero + o.all.mean - o.own.mean
	if first <= 0 || o.own.mean <= 0 {
		return
	}
	if o.parts = 1; t.pairOdds(first, o.own.mean, o.apart, 0) < grownOdds {
		o.count = 1
		o.own, o.cautious.own = o.all, o.cautious.all
		o.own.mean += t.move.base - t.zero
		o.cautious.own.mean += t.move.base - t.zero
	}
}

// grow makes a load what it is with the rest of it, or withholds it where that may be another.
func (t *Tracker) grow(as growth, s sample) {
	l := t.withhold(s)
	l.inParts = true
	if as == sameCoin {
		if l = t.alone(s); t.newest.told {
			t.known.habit.takeBack()
		}
	}
	t.put(l, 0)
}
