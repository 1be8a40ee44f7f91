package settle

import "math"

// count gives numbers to the loads that the branches agree on, and takes back
// those that they no longer see.
func (t *Tracker) count(o opinion) {
	switch {
	case o.sure < agreed:
	case o.count > t.fresh && o.has > agreed && !t.move.isUnseen():
		if u := math.Hypot(o.own.sd, t.move.test.u); o.own.mean < forSure*u || o.alone < agreed*o.has && o.own.quiet < layQuiet {
			return
		}
		if o.count == 1 && t.growth(o.own.mean) != anotherCoin {
			return
		}
		t.fresh, t.best = o.count, o.own
		t.feed(t.move.last)
	case o.count < t.fresh:
		t.fresh = max(o.count, t.stood)
	}
	if t.fresh == o.count && o.has > agreed && o.own.sd < t.best.sd {
		t.best = o.own
	}
}

// onlyOne reports whether a display that shows a load alone on the pan has never sunk and
// risen again. Of two loads, the first was taken before the other came, and the display
// would have shown less between them; a hand that has left a load, or a knock, shows no
// less.
func (t *Tracker) onlyOne(z float64, o opinion) bool {
	t.rose = t.rose || z-t.sank > math.Max(t.slight(), slightDip*(z-t.zero))
	return t.newest == nil && o.alone > agreed*o.has && z > t.zero+t.slight() && !t.rose
}

// holdToDisplay corrects how many loads the branches count by what the display showed.
// What stood still before the pan was emptied last is one load each, whatever the
// branches make of it by now; since then there are as many as they count.
func (t *Tracker) holdToDisplay(z float64, o *opinion) {
	if t.bareSeen && o.fresh+o.empty > agreed {
		o.count -= t.ghosts
		if n := t.left + o.here; n > o.count {
			o.count, o.sure = n, o.hereSure
		}
	}
	t.inTwo(o)
	if t.onlyOne(z, *o) {
		o.count = min(o.count, max(1, t.stood))
	}
}

// sawStand notes what stands still, or is lit, at a level: loads that were counted there
// aren't taken back. What stands for longer than a knock shows, after the display had been
// at the zero, is a load, whatever the branches make of it.
func (t *Tracker) sawStand(s sample, level float64) {
	if z := s.z - t.zero; z <= minSteps*t.d && z <= slightDip*t.stoodAt {
		t.stoodAt, t.left = 0, max(t.left, t.stood)
	}
	if level-t.zero <= t.move.test.least {
		return
	}
	lit := t.est.ScaleStable && t.sign.works && t.displays() > 1
	response := t.known.response()
	least := math.Max(stoodLeast, math.Min(layStill, response))
	still := t.stands.seconds
	if lit || still > least && t.displays() >= flatDisplays || t.calm(level-t.zero, least) {
		t.stood = t.fresh
	}
	if still > math.Max(layStill, response) && t.displays() >= flatDisplays && !t.move.isUnseen() {
		if t.stoodAt == 0 {
			t.fresh = max(t.fresh, t.left+1)
			t.stood = t.fresh
		}
		t.stoodAt = level - t.zero
	}
}

// calm reports whether the display has changed by so little for some seconds, as a part of a load, as
// under no finger, which trembles by more: on a fine scale it needn't stand still for that.
func (t *Tracker) calm(load, least float64) bool {
	st := t.flat.stands(math.Max(t.rest.band(t.d), calmPart*load))
	return st.seconds > least && st.lines >= calmDisplays*t.again.usual()
}

// leaves looks at a pan that is empty again. A single load at which the display never
// stood still was a finger, as far as anybody could tell, unless it weighs as a coin
// before or others come as fast: then it counts after all.
func (t *Tracker) leaves(s sample, o opinion) {
	if !t.emptied || o.here > 0 {
		return
	}
	switch {
	case t.fresh == 1 && t.stood == 0 && s.t-t.leftAt > feeds && !t.alike(t.best):
		t.fresh, t.ghosts, t.ghost, t.leftAt = 0, 1, true, s.t
	case t.fresh > t.left:
		t.leftAt = s.t
	}
	t.bareSeen, t.left = true, t.fresh
}

// feed counts a load that was taken for a finger, when the next comes so soon.
func (t *Tracker) feed(s sample) {
	if t.ghost && s.t-t.leftAt < feeds {
		t.numbered++
	}
	t.ghost = false
}

// alike reports whether a load weighs as one of those told in this sitting.
func (t *Tracker) alike(b belief) bool {
	for _, x := range t.known.habit.loads {
		if math.Abs(b.mean-x) < 2*math.Hypot(kindLeast, math.Hypot(kindPart*x, b.sd)) && b.sd < alikeSD {
			return true
		}
	}
	return false
}
