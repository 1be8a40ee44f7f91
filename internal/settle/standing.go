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
