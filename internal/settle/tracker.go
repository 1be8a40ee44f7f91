package settle

import (
	"math"
	"time"

	"panside/internal/mass"
)

// Tracker turns the readings of one scale into estimates of the newest load.
// It is not safe for use by several goroutines at once.
type Tracker struct {
	props  Properties
	known  knowledge
	clock  lineClock
	sign   sign
	again  repeats
	flat   flat
	stands stand   // how the display stands, as of the newest line
	d      float64 // step of the display, g
	est    mass.Estimate

	move   *move // nil at rest
	tail   *move // the last move, still refining the level at rest
	rest   rest
	newest *lying // the newest load that rests on the pan, nil on an empty one

	numbered uint64  // loads numbered before this move
	fresh    int     // loads numbered in it,
	stood    int     // and those of them at which the display stood still
	left     int     // those of them that had come before the pan was emptied last,
	ghosts   int     // and what the branches count there besides
	best     belief  // the surest belief of the newest of these
	lowest   float64 // display in this move,
	highest  float64
	sank     float64 // the lowest display since it first fell in this move
	rose     bool    // and it has risen again from there
	absent   float64 // g·s by which the display was lower than at its begin,
	excess   float64 // and by which it was higher
	emptied  bool    // the pan is empty, though the display may still creep
	stoodAt  float64 // where the display stood last since it was at the zero, g above it
	bareSeen bool    // it was empty, since this move began,
	bareFor  float64 // and for how long the display was at the zero, s
	leftAt   float64 // when a load left the pan last,
	ghost    bool    // and that it was taken for a finger
	stops    stops   // where the display stood still on its way
	steps    steps   // and of which coins that tells

	below  ground  // what rested before this move
	zero   float64 // level of the empty pan
	bare   ground  // the empty pan as the display showed it
	zeroAt float64 // when that was
	before float64 // the zero before a tared cup, or what lay there at power-on, was lifted; NaN if none was
	woke   uint64  // loads numbered when lines came for the first time, or again
	coin   bool    // what was lifted may have been a coin that lay there unseen
	back   bool    // and it, or one like it, came back
	doubt  bool    // nothing is a load by difference until the pan was seen empty

	exchanged, stacked int // loads put in another's place in one move, and on top of others

	unseen   bool      // the next reading tells nothing of how the load got there
	lastGood time.Time // arrival of the last usable line
}

// New returns a tracker for a scale of which props is known.
func New(props Properties) *Tracker {
	return &Tracker{
		props:  props,
		known:  newKnowledge(),
		est:    mass.Estimate{Phase: mass.PhaseNone},
		unseen: true,
		before: math.NaN(), leftAt: math.Inf(-1),
	}
}

// Estimate is what the readings so far say.
func (t *Tracker) Estimate() mass.Estimate { return t.est }

// Feed takes the next reading and returns what is known now. A reading that is
// no weight (mass.StatusError, or without a value) changes nothing, until for
// a second nothing else came, or it says that the load moves: then the phase is
// none. Over and under have their own phases. After these, after a gap of more than 1.5 s and five
// lines, and at the start, the load is taken as it is found: the same as before
// if it weighs the same; a load if the pan was empty before; else its weight is
// withheld until the pan was seen empty. A pan that shows nothing then is empty once
// it has done so for zeroStood, and none until then.
func (t *Tracker) Feed(r mass.Reading) mass.Estimate {
	switch r.Status {
	case mass.StatusOver:
		return t.out(mass.PhaseOver, r)
	case mass.StatusUnder:
		return t.out(mass.PhaseUnder, r)
	}
	z, d, ok := inGrams(r)
	if !ok || r.Status == mass.StatusError {
		moves := r.Status == mass.StatusMoving // and a load at rest can't be told any more
		if !t.lastGood.IsZero() && (moves || r.At.Sub(t.lastGood).Seconds() > silence) {
			t.unseen = true
			t.show(mass.PhaseNone)
		}
		return t.est
	}
	t.lastGood = r.At
	t.d = d
	t.est.Resolution = mass.Grams(d)
	t.est.ScaleStable = r.Status == mass.StatusStable || r.Status == mass.StatusZero

	now, jitter, gap := t.clock.next(r.At)
	s := sample{t: now, z: z, noise: t.rest.noise(d, jitter, t.known.noiseFactor)}
	repeated := t.again.see(z, d, now)
	if t.unseen || gap {
		t.flat.n = 0
	}
	t.flat.push(s)
	t.stands = t.flat.stands(t.rest.band(d))
	t.sign.see(r.Status, t.stands.seconds)
	switch {
	case t.unseen || gap || t.woken(s):
		if t.startUnseen(s); t.move == nil {
			return t.est
		}
	case t.move == nil && t.rest.holds(s, d):
		t.atRest(s)
		return t.est
	case t.move == nil:
		t.start(s)
	case !repeated:
		t.move.test = t.loadTest()
		t.move.add(s, t.known.shapes, t.between())
	}
	if len(t.move.branches) == 0 {
		t.startUnseen(s) // numbers beyond floating point: begin anew
	}
	t.follow(s, r.Status)
	return t.est
}

// inGrams converts a reading's value and step to grams.
func inGrams(r mass.Reading) (z, d float64, ok bool) {
	if !r.HasValue {
		return 0, 0, false
	}
	step := r.Resolution
	if step.Sign() <= 0 {
		step = r.Quantity.Value.Step()
	}
	v, err := r.Quantity.Grams()
	if err != nil {
		return 0, 0, false
	}
	g, err := mass.Quantity{Value: step, Unit: r.Quantity.Unit}.Grams()
	if err != nil {
		return 0, 0, false
	}
	return v.Float64(), g.Float64(), true
}

// nearest is the display nearest to a level.
func (t *Tracker) nearest(level float64) float64 { return t.d * math.Round(level/t.d) }

// out reports a load beyond the scale's range; what comes after is unknown.
func (t *Tracker) out(phase mass.Phase, r mass.Reading) mass.Estimate {
	t.unseen, t.lastGood = true, r.At
	t.est.ScaleStable = false
	t.show(phase)
	return t.est
}

// displays is how many displays it has stood still for.
func (t *Tracker) displays() float64 { return float64(t.stands.lines) / float64(t.again.usual()) }

// between is the usual time from one display to the next, s.
func (t *Tracker) between() float64 { return t.clock.period * float64(t.again.usual()) }

// loadTest is what a change must be to count as a load on this scale.
func (t *Tracker) loadTest() loadTest {
	test := loadTest{least: math.Max(minSteps*t.d, leastLoad), u: t.props.u(t.d, 0), held: together}
	if t.sign.works {
		test.held = t.sign.patience() // without the sign, what lies there may still be held
	}
	return test
}

// over is what lies on the pan at rest.
func (t *Tracker) over() float64 {
	if t.newest == nil {
		return 0
	}
	return t.rest.level - t.zero
}

// startUnseen begins a move of which the beginning wasn't seen.
func (t *Tracker) startUnseen(s sample) {
	t.unseen = false
	bare := math.Abs(s.z) < wokenSteps*t.d || t.newest == nil && math.Abs(s.z-t.zero) < wokenSteps*t.d
	if !t.rest.known {
		t.rest.level = t.zero
		bare = bare || math.Abs(s.z) < leastLoad/2 // no coin, but a zero that has drifted before anybody listened
	}
	t.below = onDisplay(t.rest.level, t.nearest(t.rest.level))
	if t.newest == nil {
		t.bare.level = t.zero
	}
	t.breakOff()
	t.discard(t.move)
	if bare {
		// The pan is empty; a scale that was switched on again has set itself to zero.
		t.move, t.newest, t.doubt = nil, nil, false
		t.numbered, t.fresh = t.numbered+uint64(t.fresh), 0
		t.woke, t.before, t.coin, t.back = t.numbered, math.NaN(), false, false
		t.dropTail()
		t.bare = t.wokenZero(s.z)
		t.zero, t.zeroAt = t.bare.level, s.t
		t.rest.begin(t.zero, s, 0, 0)
		t.showBare()
		return
	}
	t.move = newUnseenMove(t.rest.level, t.over(), t.loadTest(), s, &t.known)
	t.begin()
}

// breakOff keeps what lay on the pan when a move ends unseen.
func (t *Tracker) breakOff() {
	if t.move == nil || t.fresh == 0 {
		return
	}
	lay := t.move.over
	if t.newest = nil; !t.emptied {
		t.newest = &lying{base: t.bare, alone: true, withheld: lay > leastLoad, belief: t.best}
		t.rest.level = t.zero + lay + t.best.mean
	}
}

// start begins a move from rest. The last readings at rest are looked at again,
// since the load may have begun to change below the threshold.
func (t *Tracker) start(s sample) {
	level, before := t.rest.beforeChange()
	t.below = ground{level: level, shown: t.flat.showed(before[len(before)-1].t), stood: before[len(before)-1].t - t.rest.from, still: t.rest.still}
	if t.newest == nil {
		t.bare.level = t.zero
	}
	t.move = newMove(level, t.over(), t.loadTest(), before[0], &t.known)
	for _, b := range before[1:] {
		t.move.add(b, t.known.shapes, t.between())
	}
	t.move.add(s, t.known.shapes, t.between())
	t.begin()
	t.lowest, t.highest = s.z, s.z
}

func (t *Tracker) begin() {
	t.dropTail()
	t.move.single = t.newest != nil && t.newest.alone && t.move.over > leastLoad
	t.numbered += uint64(t.fresh)
	t.fresh, t.stood, t.left, t.ghosts, t.best = 0, 0, 0, 0, belief{}
	t.emptied, t.bareSeen, t.rose, t.bareFor = false, false, false, 0
	t.stoodAt = t.move.over
	t.lowest, t.highest, t.sank = math.Inf(1), math.Inf(-1), math.Inf(1)
	t.absent, t.excess = 0, 0
	t.stops = stops{bare: t.newest == nil}
	t.steps = newSteps(t.move.base, t.newest == nil)
	if n := t.newest; n != nil && n.alone && n.bare && t.below.stood < handLongest {
		t.stops.bare, t.stops.left = true, stop{t.below.level, 0, t.below.stood} // what rested may be half of what comes
	}
}

// discard gives a move's branches back for use in the next.
func (t *Tracker) discard(m *move) {
	if m != nil {
		t.known.pool.put(m.branches...)
	}
}

func (t *Tracker) dropTail() {
	t.discard(t.tail)
	t.tail = nil
}

// follow draws the conclusions after a reading of a move.
func (t *Tracker) follow(s sample, status mass.Status) {
	t.lowest, t.highest = math.Min(t.lowest, s.z), math.Max(t.highest, s.z)
	if s.z < t.highest-t.slight() {
		t.sank = math.Min(t.sank, s.z)
	}
	t.absent += math.Max(0, t.move.base-s.z) * t.clock.dt
	t.excess += math.Max(0, s.z-t.move.base) * t.clock.dt
	o := t.move.opinion(t.known.shapes, t.known.caution())
	t.holdToDisplay(s.z, &o)
	t.count(o)
	t.moving(s, o)
	t.leaves(s, o)
	t.passes()
	t.watch(s)
	still, lines, level := t.stands.seconds, t.stands.lines, t.stands.level
	t.sawStand(s, level)
	atZero := math.Abs(level-t.zero) < t.zeroTolerance(s.t) // where no coin is held half put down,
	below := level < t.zero-leastOnTop && still >= flatFor  // nor here
	if !t.sign.allowsRest(status, still, t.known.response()) && !atZero && !below {
		return
	}
	wait, fell := flatFor, t.fell(level) && !atZero
	switch {
	case fell:
		wait = fellFor
	case t.est.ScaleStable && t.sign.works || atZero:
		wait = flatSigned
	}
	switch {
	case fell && still < wait:
	case still >= wait && lines >= flatLines:
		t.finish(level, o, s)
	case t.rests(o.all, s, still):
		t.finish(t.move.base+o.all.mean, o, s)
	}
}

// watch notes where the display stands still on its way.
func (t *Tracker) watch(s sample) {
	least := t.move.test.least
	lies := t.stands.level-t.zero > least && math.Abs(t.stands.level-t.move.base) > least
	near := math.Abs(s.z-t.zero) < minSteps*t.d
	if near {
		t.bareFor += t.clock.dt
	}
	t.stops.see(t.stands, s.t, lies, t.emptied || near, t.slight())
	if !t.move.isUnseen() {
		t.climb(s, lies)
	}
}

// moving tells of a load that isn't at rest yet.
func (t *Tracker) moving(s sample, o opinion) {
	if o.empty > agreed && math.Abs(s.z-t.zero) <= minSteps*t.d {
		t.emptied = true
	} else if o.empty < 0.5 {
		t.emptied = false
	}
	if t.emptied || t.newest == nil && o.count == 0 && !t.move.isUnseen() && o.all.mean < t.move.test.least {
		t.show(mass.PhaseEmpty)
		return
	}
	t.est.Pile = mass.Grams(t.move.base + o.all.mean - t.zero)
	flat, stands := t.standsStill()
	b := t.shown(o, flat, stands)
	// What is still to show is known no better than the scale's response is.
	left := leftPart * (t.move.base + o.all.mean - s.z)
	b = b.wider(left, spreadPart*t.known.youth())
	if t.fell(s.z) {
		b = b.wider(fellPart*t.move.over, 1)
	}
	if o.parts > 1-agreed {
		b = b.wider(partsPart*b.mean, 1) // at rest it will be withheld
	}
	if away := t.headsAway(s.z, t.move.base+o.all.mean); away > 0 && !stands {
		b = b.wider(away, 1)
	}
	if !stands {
		b.half = 0 // a forecast needs the wide uncertainty for what else is wrong with it
	}
	t.load(mass.PhaseMoving, b)
}

// headsAway is by how much a display contradicts a forecast of its level: it has just moved away
// from it. 0 if it hasn't, or by no more than readings of one level differ.
func (t *Tracker) headsAway(z, level float64) float64 {
	moved := z - t.again.before
	if math.Abs(moved) <= t.rest.band(t.d) || moved*(level-z) >= 0 {
		return 0
	}
	return math.Abs(level-z) + math.Abs(moved)
}

// finish ends a move at a level.
func (t *Tracker) finish(level float64, o opinion, s sample) {
	empty := math.Abs(level-t.zero) < t.zeroTolerance(s.t)
	if math.Abs(level-t.before) < t.zeroTolerance(s.t) {
		if t.back = t.coin && t.newest == nil; !t.back {
			empty = true // a cup that was lifted is back
			t.setZero(level, s)
		}
	}
	if t.move.isUnseen() && math.Abs(level) < minSteps*t.d {
		empty = true // a scale that was switched on again has set itself to zero
		t.setZero(level, s)
	}
	if below := t.newest == nil && level < t.zero && t.zero-level < leastOnTop; !empty && (below || math.Abs(level-t.zero) < noCoin) {
		empty = true // no coin is so light: the pan swings, or the scale has zeroed itself
		t.setZero(level, s)
		if t.highest-t.zero < noCoin && t.newest == nil {
			t.fresh = 0
		}
	}
	if !empty {
		o.count = max(o.count, t.stood)
		t.resolve(level, o, s)
	}
	t.known.learn(t.move, t.fresh > 0 && !empty, t.between())
	if half := t.stops.halfWay(level, t.slight()); !empty && !t.move.isUnseen() && t.stops.bare && (half || t.fresh > 0) {
		t.known.habit.see(half)
		if t.newest != nil && !half {
			t.newest.bare = true
		}
	}
	t.tail, t.move = t.move, nil
	if math.Abs(t.tail.base+o.all.mean-level) > t.d || o.all.sd > t.d {
		t.dropTail()
	}
	t.rest.begin(level, s, math.Max(t.stands.seconds, o.all.quiet), t.stands.seconds)
	if empty {
		t.emptyAt(level)
		t.bare.stood = math.Max(t.bare.stood, t.stands.seconds)
		t.gone(s)
	}
	t.showRest(s)
}

// setZero takes a level at which the display rests for the empty pan.
func (t *Tracker) setZero(level float64, s sample) {
	t.zero, t.zeroAt = level, s.t
	t.bare = ground{level: level, shown: t.nearest(level), stood: t.stands.seconds}
}

// gone says that the pan was seen empty.
func (t *Tracker) gone(s sample) {
	if t.newest != nil && t.newest.lent && t.newest.alone && t.fresh == 0 {
		t.numbered--
	}
	t.newest, t.doubt = nil, false
	t.zeroAt = s.t
	if math.Abs(t.before-t.zero) <= t.zeroTolerance(s.t) {
		t.before = math.NaN()
	}
}

// zeroTolerance is how far from the zero seen last an empty pan may be.
func (t *Tracker) zeroTolerance(now float64) float64 {
	creep := math.Max(zeroCreep, zeroSteps*t.d) * (now - t.zeroAt)
	return minSteps*t.d + math.Min(creep, math.Max(minSteps*t.d, leastLoad/2))
}

// atRest follows a level at rest.
func (t *Tracker) atRest(s sample) {
	t.rest.follow(s)
	t.rest.still = math.Max(t.rest.still, t.stands.seconds)
	if t.tail != nil {
		t.tail.add(s, t.known.shapes, t.between())
		all := t.tail.opinion(t.known.shapes, 0).all
		if s.t-t.rest.since < refine && all.sd < t.d {
			t.rest.level = t.tail.base + all.mean
		} else {
			t.dropTail()
		}
	}
	if t.newest == nil {
		t.bare.stood = math.Max(t.bare.stood, s.t-t.rest.from)
		t.bare.lines++
		if t.stands.seconds >= restsFor {
			t.bare.shown = t.flat.nearest(t.zero, s.t) // else it may still be on its way there
		}
		after := zeroTime // slowly: the display may still be on its way from the last load
		if s.t-t.rest.since > zeroSoon {
			after = zeroSoon
		}
		t.zero += -math.Expm1(-(s.t-t.zeroAt)/after) * (t.rest.level - t.zero)
		t.zeroAt = s.t
	} else if s.t-t.rest.since < refine {
		t.newest.belief.sd = math.Max(0.1*t.d, 0.9*t.newest.belief.sd)
	}
	t.showRest(s)
}

// load sets the estimate of a load.
func (t *Tracker) load(phase mass.Phase, b belief) {
	t.est.Phase = phase
	t.est.Mean = mass.Grams(b.mean)
	drift := zeroSD * math.Max(0, t.flat.at[max(0, t.flat.n-1)].t-t.zeroAt)
	scale := math.Hypot(drift, t.props.u(t.d, b.mean))
	t.est.U = mass.Grams(math.Hypot(b.sd, scale))
	t.est.Half, t.est.WholeU = 0, 0
	if b.half > 0 {
		t.est.Half, t.est.WholeU = b.half, mass.Grams(math.Hypot(b.whole, scale))
	}
	t.est.Placement = t.numbered + uint64(t.fresh)
}

// show sets a phase without a load.
func (t *Tracker) show(phase mass.Phase) {
	t.est = mass.Estimate{
		Phase: phase, Resolution: t.est.Resolution, ScaleStable: t.est.ScaleStable,
		Placement: t.numbered + uint64(t.fresh),
	}
}
