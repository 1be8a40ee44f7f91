package settle

import "math"

// fell reports whether a level is only a part of the single load that rested before:
// a slow filter may stand there while a coin is exchanged for another.
func (t *Tracker) fell(level float64) bool {
	return t.newest != nil && t.newest.alone && t.move.over > leastLoad && level < t.move.base-t.slight() && level-t.lowest < t.slight()
}

// rests reports whether the load as a whole has come to rest by the model. The
// scale's own stable sign shortens the wait but can't end it.
func (t *Tracker) rests(all belief, s sample, still float64) bool {
	quiet := restQuiet
	if t.est.ScaleStable && t.sign.works {
		quiet = restSigned
	}
	quiet = math.Max(quiet, restLines*t.clock.period)
	return all.sd <= 0.4*t.d && all.quiet > quiet && still > math.Max(restsFor, restStill*quiet) && t.displays() >= restsDisplays && math.Abs(s.z-t.move.base-all.mean) < 1.6*t.d
}

// standsFor is for how long a display must stand at a level before the chance that
// the load there is half put down is let pass, s: what halfWay is nil after, by the odds
// o of the newest load,
//
//	S(q) = P₀/((1 − P₀)·o)
func (t *Tracker) standsFor(level float64) float64 {
	odds := t.known.habit.odds(level - t.zero)
	if t.newest != nil && level > t.move.base {
		odds = math.Max(odds, t.known.habit.odds(level-t.move.base))
	}
	part := math.Min(1, halfPasses/((1-halfPasses)*odds))
	return handLongest - part*(handLongest-handLeast)
}

// passing reports whether what stands at a level rests, though neither the model nor the
// sign say so yet: for longer than a load is held half put down by who sits here, and than
// an average stands beside a level after a knock or an exchange.
func (t *Tracker) passing(level float64) bool {
	least := math.Max(restsFor, math.Max(t.standsFor(level), t.known.response()))
	return level-t.zero > t.move.test.least && t.displays() >= restsDisplays && t.stands.seconds >= least
}
