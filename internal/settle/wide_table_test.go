package settle_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"panside/internal/mass"
	"panside/internal/settle"
	"panside/internal/simscale"
)

// wideTable is an evening at one scale of wideScale. What the hands do depends
// on the scale's display and on chance, never on the tracker, so that two
// trackers see the same evening.
type wideTable struct {
	seed    uint64
	cfg     simscale.Config
	person  widePerson
	scale   *simscale.Scale
	tracker *settle.Tracker
	rng     *rand.Rand
	at      time.Time
	now     float64 // s
	away    bool    // the lines get lost
	est     mass.Estimate
	line    mass.Reading
	lines   int       // since switched on
	cleared float64   // when the pan was last cleared
	shown   []float64 // the last displays, newest last
	empty   level     // the empty pan, when it last rested
	levels  []level   // on which the loads on the pan were put, when these rested
	former  []level   // the same before the last touch, until the display moves
	touched float64   // the display at the last touch
	course  *wideCourse
	record  bool
	note    string // what the hand does, for the next line's record
}

// level is a display at rest, between which displays it stayed, and the true
// load behind it, in g.
type level struct{ display, low, high, load float64 }

// off is how far a weight is from what a display is above the level.
func (l level) off(weight, display float64) float64 {
	x := display - weight
	return math.Max(0, math.Max(l.low-x, x-l.high))
}

func newWideTable(seed uint64) *wideTable {
	cfg := wideScale(seed)
	w := &wideTable{
		seed: seed, cfg: cfg, person: person(seed),
		scale:   simscale.New(cfg),
		tracker: settle.New(settle.Properties{}),
		at:      time.Unix(1_000_000, 0),
		course:  &wideCourse{},
		away:    true, // nobody listens yet
	}
	return w
}

func (w *wideTable) d() float64 { return w.cfg.Resolution.Float64() }

func (w *wideTable) between(low, high float64) float64 { return low + (high-low)*w.rng.Float64() }

// run lets time pass.
func (w *wideTable) run(seconds float64) {
	const step = 5 * time.Millisecond
	for end := w.now + seconds; w.now < end-1e-9; {
		w.at = w.at.Add(step)
		w.now += step.Seconds()
		if n := w.scale.Step(step); n == 0 || w.scale.Display().Off {
			continue
		}
		w.lines++
		r := reading(w.scale, w.at)
		if r.HasValue && (w.lines-1)%max(1, w.cfg.Repeat) == 0 {
			w.shown = append(w.shown, r.Quantity.Value.Float64())
			w.shown = w.shown[max(0, len(w.shown)-3):]
		}
		if !w.away && w.scale.Load() == 0 && w.rested() {
			w.empty = level{display: w.mean(), low: slices.Min(w.shown), high: slices.Max(w.shown)}
		}
		if w.away {
			continue
		}
		w.halfWay()
		w.line = r
		w.est = w.tracker.Feed(r)
		w.course.see(w)
		w.note = ""
	}
}

func (w *wideTable) mean() float64 {
	sum := 0.0
	for _, x := range w.shown {
		sum += x
	}
	return sum / float64(len(w.shown))
}

// halfWay allows for a coin put down in two stages that nobody could tell from
// two coins: the scale calls the first stage stable, or has no sign and stands
// still.
func (w *wideTable) halfWay() {
	if w.course.split || w.course.style != "two-stage" || w.scale.Quiet() || len(w.shown) < 3 || w.there(w.display()) {
		return
	}
	still := slices.Max(w.shown)-slices.Min(w.shown) < w.d()/2
	if above := w.display() - w.empty.display; above > 5*w.d() && (w.scale.Display().Stable || w.cfg.Sign == simscale.SignNone && still) {
		w.course.split = true
		w.levels = append(w.levels, level{w.display(), w.display() - w.d(), w.display() + w.d(), above})
	}
}

// last is what the newest load was put on.
func (w *wideTable) last() level {
	if n := len(w.levels); n > 0 {
		return w.levels[n-1]
	}
	return w.empty
}

// touch notes what the display says as a hand comes.
func (w *wideTable) touch() {
	w.former = append(slices.Clone(w.levels), w.empty)
	w.touched = w.display()
}

func (w *wideTable) display() float64 {
	if len(w.shown) == 0 {
		return 0
	}
	return w.shown[len(w.shown)-1]
}

// references are the levels that a load at this display may be weighed from.
func (w *wideTable) references(display float64) []level {
	if !(math.Abs(display-w.touched) < 1.5*w.d()) {
		w.former = nil
	}
	return append(append([]level{w.empty}, w.levels...), w.former...)
}

// there reports whether a display is what the load on the pan should show.
func (w *wideTable) there(display float64) bool {
	load := float64(w.scale.Load())
	return math.Abs(display-w.empty.display-load) < 2*w.d()+0.002*load
}

// rested reports whether the display rests where it should: three displays within a
// step, no hand, and nothing still to come.
func (w *wideTable) rested() bool {
	if len(w.shown) < 3 || !w.scale.Quiet() {
		return false
	}
	if w.scale.Load() == 0 {
		// A zero may have gone anywhere while it wasn't seen.
		if w.now-w.cleared < response(w.cfg) {
			return false
		}
	} else if !w.there(w.mean()) {
		return false
	}
	return slices.Max(w.shown)-slices.Min(w.shown) < 1.5*w.d()
}

// rest waits until the display rests.
func (w *wideTable) rest(limit float64) {
	w.run(0.1)
	for end := w.now + limit; w.now < end && !w.rested(); {
		w.run(0.02)
	}
}

// quiet waits until no hand is at the pan.
func (w *wideTable) quiet() {
	for !w.scale.Quiet() {
		w.run(0.005)
	}
}

// put puts a new coin on what lies there.
func (w *wideTable) put(grams float64, how simscale.How) {
	w.touch()
	if w.rested() {
		w.course.rests(w)
	}
	if load := float64(w.scale.Load()); load != 0 && !w.away && w.there(w.display()) {
		w.levels = append(w.levels, level{w.display(), w.display(), w.display(), load})
	}
	w.note += "+" + string(how)
	w.course.coins = append(w.course.coins, &coinCourse{grams: grams, put: w.now, before: w.display()})
	w.scale.Put(mass.Grams(grams), how)
}

// take takes everything off: by fingers, or as a feeder does.
func (w *wideTable) take(sweep bool) {
	if w.rested() {
		w.course.rests(w)
	}
	w.touch()
	w.note += "-"
	w.levels = nil
	if sweep {
		w.scale.Sweep()
	} else {
		w.scale.Clear()
	}
	w.cleared = w.now
}
