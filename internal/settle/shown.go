package settle

import "math"

// shown is the belief of the load that the estimate is about: the newest one.
// While something happens to a load at rest that isn't understood yet, it is as
// unsure as that is big. flat is what the display says, if it stands still.
func (t *Tracker) shown(o opinion, flat belief, stands bool) belief {
	var b belief
	switch {
	case t.newest == nil && o.has < agreed, t.taken():
		b = o.cautious.all
		b.mean += t.move.base - t.zero
	case t.newest == nil || o.has > agreed:
		b = o.cautious.own
	default:
		b = t.newest.belief
		b = b.wider(math.Hypot(o.cautious.all.mean, o.cautious.all.sd), 1)
		b = b.or(o.cautious.own, o.has)
	}
	if t.taken() || o.has > agreed && o.alone > agreed*o.has || t.newest != nil && t.newest.alone && o.has+o.empty < 1-agreed {
		if stands && (flat.sd < b.sd || math.Abs(flat.mean-b.mean) > 3*b.sd) {
			return flat
		}
	}
	return b
}

// dip is the part of a single load at rest by which the display fell since it
// began to move, 0 where no single load lay.
func (t *Tracker) dip() float64 {
	if t.newest == nil || !t.newest.alone || t.move.over < leastLoad {
		return 0
	}
	return (t.move.base - t.lowest) / t.move.over
}

// taken reports whether the display fell so far that a single load was taken, or
// shaken: all that lies there now is the newest load.
func (t *Tracker) taken() bool { return t.dip() > deepDip }

// standsStill is what a display that has stood still for a moment tells of the
// only load on the pan, whatever the model makes of what went before.
func (t *Tracker) standsStill() (belief, bool) {
	still, level := t.stands.seconds, t.stands.level
	displays := t.displays()
	if still < math.Max(flatTells, 2*t.clock.period) || displays < flatDisplays {
		return belief{}, false
	}
	left := residual(1.1*t.d, still, t.known.slowness())
	p := handBusy * math.Exp(-still/(handShort+handLong*t.known.caution())-flatSure*displays)
	half := 0.0
	lit := t.est.ScaleStable && t.sign.works // the scale itself calls it at rest
	if back := t.newest != nil && t.same(level-t.move.base); !lit && !back {
		lay := math.Max(still, t.move.lay(t.move.best(), level-t.zero))
		half = halfWay(t.known.habit.odds(level-t.zero), lay)
	}
	rest := sq(left) + sq(0.3*t.d)
	work := math.Max(0, p-handPasses)
	return belief{
		mean: level - t.zero, sd: math.Sqrt(rest + (work+half)*sq(level-t.zero)), quiet: still,
		half: either(work, half), whole: math.Sqrt(rest),
	}, true
}
