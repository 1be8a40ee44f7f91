package settle

import (
	"math"

	"panside/internal/stats"
)

// onlyAdds reports whether what came on in a move adds to what had rested below, as far
// as the display tells.
func (t *Tracker) onlyAdds(level float64, o opinion) bool {
	return o.fresh < 1-agreed && level-t.move.base > leastOnTop && t.move.base-t.lowest < t.slight() &&
		o.count <= 1 && !t.doubt && t.below.lay() && !t.handBetween(level)
}

// exchangeOdds are those that a load put on top of another was put in its place instead,
// unseen between two displays:
//
//	h·(e + ½)/(t + ½)·f(level)/f(change)
//
// after e exchanges and t loads on top that were seen in this sitting. h is the chance
// that the display missed it: of the longest wait between displays as it rose, from
// liftLeast on to liftLasts; f says how far a weight is one of this sitting's coins.
// What lies below may have been exchanged, too; then its odds stand for the first two
// factors, since who exchanges or stacks goes on to.
func (t *Tracker) exchangeOdds(level float64) float64 {
	likely := t.coinlike(level-t.zero) / t.coinlike(level-t.move.base)
	if was := t.newest.exchange; was > 0 {
		return was * likely
	}
	longest, last, z := 0.0, t.move.first.t, t.move.base
	slow := 0.0 // a display on its way up tells of a filter that would show it for longer
	for _, s := range t.flat.since(last) {
		if s.z == z && s.z > t.move.base+t.slight() {
			continue // repeated
		}
		longest = math.Max(longest, s.t-last)
		if last, z = s.t, s.z; z > (t.move.base+level)/2 {
			break
		}
		if z > t.move.base+t.slight() {
			slow = liftSlow
		}
	}
	hides := math.Max(0, math.Min(1, (longest-slow-liftLeast)/(liftLasts-liftLeast)))
	odds := hides * (float64(t.exchanged) + 0.5) / (float64(t.stacked) + 0.5) * likely
	if hides == 1 {
		return math.Max(odds, exchangePasses) // nobody could tell of the first
	}
	return odds
}

// coinlike is the density of a weight among the coins of this sitting:
//
//	(g(w) + Σ N(w; w_i, s_i))/(1 + n),  g(w) = 1/(w·ln heaviest)
func (t *Tracker) coinlike(w float64) float64 {
	h := &t.known.habit
	sum := 1 / (math.Max(w, leastLoad) * math.Log(heaviest))
	for _, x := range h.loads {
		sd := math.Hypot(kindLeast, kindPart*x)
		sum += stats.NormPDF((w-x)/sd) / sd
	}
	return sum / float64(1+len(h.loads))
}

// handBetween reports whether the display, on its way up to a level, fell again by more
// than a tenth of what had lain there. What is put on top of it only adds; a finger
// that presses before it lifts makes a display fall that a slow filter, or lines that
// are rare, never let go below the level before, though one load was exchanged for
// another.
func (t *Tracker) handBetween(level float64) bool {
	least := math.Max(t.slight(), slightDip*t.move.over)
	highest := math.Inf(-1)
	for _, s := range t.flat.since(t.move.first.t) {
		z := math.Min(s.z, level)
		if highest = math.Max(highest, z); highest-z > least {
			return true
		}
	}
	return false
}

// sankBelow reports whether the display showed less than a level before it came to
// rest there, as it does while one load is taken and another put in its place.
func (t *Tracker) sankBelow(level float64) bool {
	return level-t.lowest > math.Max(t.slight(), slightDip*(level-t.zero))
}

// sawEmpty reports whether the display came so near to the zero in this move that a
// whole pile was taken.
func (t *Tracker) sawEmpty() bool { return t.lowest-t.zero < deepDip*t.move.over }

// replaced reports whether a single load was taken and one like it put in its place,
// by the branches' opinion and by the display: a knock swings to both sides by as
// much, which a finger's press before it lifts does not, and a filter, whatever it
// does to a load's absence, keeps its area.
func (t *Tracker) replaced(fresh float64) bool {
	if t.absent < absentFor*t.move.over {
		return false
	}
	rise := t.highest - t.move.base
	oneSided := rise < slightDip*t.dip()*t.move.over || t.excess < swing*t.absent
	return t.taken() && oneSided || fresh > likeBefore && t.dip() > slightDip && (oneSided || t.taken())
}
