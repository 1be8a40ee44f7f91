package settle

import (
	"math"
	"time"

	"panside/internal/mass"
)

// Tracker turns the readings of one scale into estimates of the newest load.
// It is not safe for use by several goroutines at once.
type Tracker struct {
	props Properties
	known knowledge
	clock lineClock
	d     float64 // step of the display, g
	est   mass.Estimate

	move   *move // nil at rest
	tail   *move // the last move, still refining the level at rest
	rest   rest
	calm   calm
	loads  []load // in the order they came on; at rest none or one
	count  uint64
	lowest float64 // level of display or load since the move began
	deaf   float64 // groups of changes that began up to here were looked at

	zero   float64 // level of the empty pan
	zeroAt float64 // when it was last seen

	blind    bool      // the next reading tells nothing of how the load got there
	lastGood time.Time // arrival of the last usable line
	lastZ    float64
	differed float64 // time of the last line that differed from the one before
}

// New returns a tracker for a scale of which props is known.
func New(props Properties) *Tracker {
	return &Tracker{
		props: props,
		known: newKnowledge(),
		est:   mass.Estimate{Phase: mass.PhaseNone},
		blind: true,
	}
}

// Estimate is what the readings so far say.
func (t *Tracker) Estimate() mass.Estimate { return t.est }

// Feed takes the next reading and returns what is known now. A reading that is
// no weight (mass.StatusError, or without a value) changes nothing, until for
// a second nothing else came: then the phase is none. Over and under have
// their own phases. After these, after a gap of more than 1.5 s and five
// lines, and at the start, the load is taken as it is found: the same as before
// if it weighs the same, else weighed by difference from what lay there before.
func (t *Tracker) Feed(r mass.Reading) mass.Estimate {
	switch r.Status {
	case mass.StatusOver:
		return t.out(mass.PhaseOver, r)
	case mass.StatusUnder:
		return t.out(mass.PhaseUnder, r)
	}
	z, d, ok := inGrams(r)
	if !ok || r.Status == mass.StatusError {
		if !t.lastGood.IsZero() && r.At.Sub(t.lastGood).Seconds() > silence {
			t.blind = true
			t.show(mass.PhaseNone)
		}
		return t.est
	}
	t.lastGood = r.At
	t.d = d
	t.est.Resolution = mass.Grams(d)
	t.est.ScaleStable = r.Status == mass.StatusStable || r.Status == mass.StatusZero

	now, jitter, gap := t.clock.next(r.At)
	s := sample{t: now, z: z, noise: t.rest.noise(d, jitter, t.known.rough)}
	if z != t.lastZ {
		t.lastZ, t.differed = z, now
	}
	if t.blind || gap {
		t.calm.n = 0
	}
	t.calm.push(s)
	switch {
	case t.blind || gap:
		t.startBlind(s)
	case t.move == nil && t.rest.holds(s, d):
		t.atRest(s)
		return t.est
	case t.move == nil:
		t.start(s)
	case t.stale(s):
		return t.est
	default:
		t.move.add(s, t.known.shapes, t.clock.period)
	}
	if len(t.move.branches) == 0 {
		t.startBlind(s) // numbers beyond floating point: begin anew
	}
	t.follow(s)
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

// out reports a load beyond the scale's range; what comes after is unknown.
func (t *Tracker) out(phase mass.Phase, r mass.Reading) mass.Estimate {
	t.blind, t.lastGood = true, r.At
	t.est.ScaleStable = false
	t.show(phase)
	return t.est
}

// stale tells that a line only repeats an old one while the load moves: some
// scales send faster than they refresh.
func (t *Tracker) stale(s sample) bool {
	return s.z == t.move.last.z && s.t-t.differed < staleLimit && t.move.surprise(s, t.known.shapes) > 5
}

// startBlind begins a move of which the beginning wasn't seen.
func (t *Tracker) startBlind(s sample) {
	t.blind = false
	if !t.rest.known {
		t.rest.level = t.zero
	}
	t.breakOff()
	t.discard(t.move)
	t.move = newBlindMove(t.rest.level, s, &t.known)
	t.begin(s.t)
}

// start begins a move from rest. The last readings at rest are looked at again,
// since the load may have begun to change below the threshold.
func (t *Tracker) start(s sample) {
	level, before := t.rest.beforeChange()
	t.move = newMove(level, before[0], &t.known)
	for _, b := range before[1:] {
		t.move.add(b, t.known.shapes, t.clock.period)
	}
	t.move.add(s, t.known.shapes, t.clock.period)
	t.begin(math.NaN())
}

// begin puts the load that may be coming on on top of those that lie there.
func (t *Tracker) begin(began float64) {
	t.dropTail()
	t.deaf, t.lowest = always, never
	t.push(always, began)
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
func (t *Tracker) follow(s sample) {
	t.lowest = math.Min(t.lowest, math.Min(s.z, t.move.base+t.move.best().lowest()))
	w := t.move.weights()
	t.regroup(w)
	t.emptied(s, w)
	own := t.own(w)
	if t.top().number == 0 && t.counts(own, w) {
		t.number()
	}
	if below := t.under(); below != nil && t.nothing(own) {
		if below.rested {
			t.withdraw()
		} else {
			t.pop()
			own = t.own(w)
		}
	}
	t.top().note(own)
	all := t.move.about(always, never, w)
	t.est.Pile = mass.Grams(t.move.base + all.mean - t.zero)
	if t.under() == nil && math.IsNaN(t.top().began) {
		t.show(mass.PhaseEmpty)
	} else {
		// What is told is wary of a scale that is new; what counts loads is not,
		// for a second coin may come soon.
		t.move.wary = t.known.young()
		t.load(mass.PhaseMoving, t.shown(t.own(w), w))
		t.move.wary = false
	}
	switch level, calm := t.calm.level(t.d, t.rest.spread); {
	case calm:
		t.finish(belief{mean: level - t.move.base, sd: 0.3 * t.d, quiet: calmFor}, w, s)
	case t.rests(all, s):
		t.finish(all, w, s)
	}
}

// rests tells that the load as a whole has come to rest. The scale's own stable
// sign shortens the wait but can't end it.
func (t *Tracker) rests(all belief, s sample) bool {
	quiet := restQuiet
	if t.est.ScaleStable {
		quiet /= 2
	}
	quiet = math.Max(quiet, restLines*t.clock.period)
	return all.sd <= 0.4*t.d && all.quiet > quiet && math.Abs(s.z-t.move.base-all.mean) < 1.6*t.d
}

// finish ends a move: empty again, the same load as before, a load put on, or
// one taken off.
func (t *Tracker) finish(all belief, w []float64, s sample) {
	level := t.move.base + all.mean
	empty := math.Abs(level-t.zero) < t.zeroTolerance(s.t)
	if !empty {
		t.resolve(all, level, w)
	}
	t.known.learn(t.move)
	t.tail, t.move = t.move, nil
	if sure := t.tail.about(always, never, w); math.Abs(sure.mean-all.mean) > t.d || sure.sd > t.d {
		t.dropTail()
	}
	t.rest.begin(level, s)
	if empty {
		t.gone()
		t.zeroAt = s.t
	} else {
		top := *t.top()
		top.rested, top.base = true, level-top.belief.mean
		t.loads = append(t.loads[:0], top)
	}
	t.showRest()
}

func (t *Tracker) zeroTolerance(now float64) float64 {
	return math.Min(8*t.d, minSteps*t.d+zeroCreep*(now-t.zeroAt))
}

// atRest follows a level at rest.
func (t *Tracker) atRest(s sample) {
	t.rest.follow(s)
	if t.tail != nil {
		t.tail.add(s, t.known.shapes, t.clock.period)
		all := t.tail.about(always, never, t.tail.weights())
		if s.t-t.rest.since < refine && all.sd < t.d {
			t.rest.level = t.tail.base + all.mean
		} else {
			t.dropTail()
		}
	}
	top := t.top()
	switch {
	case top == nil:
		// Slowly: the display may still be on its way from the last load.
		t.zero += -math.Expm1(-(s.t-t.zeroAt)/zeroTime) * (t.rest.level - t.zero)
		t.zeroAt = s.t
	case s.t-t.rest.since < refine:
		top.belief.mean = t.rest.level - top.base
		top.belief.sd = math.Max(0.1*t.d, 0.9*top.belief.sd)
	}
	t.showRest()
}

func (t *Tracker) showRest() {
	top := t.top()
	if top == nil {
		t.show(mass.PhaseEmpty)
		return
	}
	t.est.Pile = mass.Grams(t.rest.level - t.zero)
	t.load(mass.PhaseSettled, top.belief)
}

// load sets the estimate of a load.
func (t *Tracker) load(phase mass.Phase, b belief) {
	t.est.Phase = phase
	t.est.Mean = mass.Grams(b.mean)
	t.est.U = mass.Grams(math.Hypot(spreadPart*b.sd, t.props.u(t.d, b.mean)))
	t.est.Placement = t.count
}

// show sets a phase without a load.
func (t *Tracker) show(phase mass.Phase) {
	t.est = mass.Estimate{Phase: phase, Resolution: t.est.Resolution, Placement: t.count, ScaleStable: t.est.ScaleStable}
}
