package figures

import (
	"math"

	"panside/internal/otherscale"
)

// happening is something that comes to pass at the table, and how often.
type happening struct {
	kind   string
	weight float64
	play   func(*table)
}

var happenings = []happening{
	{"gentle", 20, func(t *table) { t.one(otherscale.Gentle) }},
	{"drop", 12, func(t *table) { t.one(otherscale.Dropped) }},
	{"slide", 8, func(t *table) { t.one(otherscale.Slid) }},
	{"lean", 16, func(t *table) { t.one(otherscale.Leaned) }},
	{"two-stage", 5, func(t *table) { t.one(otherscale.HalfWay) }},
	{"spin", 3, func(t *table) { t.one(otherscale.Spun) }},
	{"bump", 6, func(t *table) { shaken(t, (*table).knock) }},
	{"draft", 2, func(t *table) { shaken(t, (*table).draft) }},
	{"shaken while empty", 2, shakenEmpty},
	{"idle", 1, idle},
	{"swap", 4, swap},
	{"pile", 2, func(t *table) { pile(t, false) }},
	{"pile quick", 1.5, func(t *table) { pile(t, true) }},
	{"two at once", 2, together},
	{"line away", 2, away},
	{"power off", 0.8, powerOff},
	{"woken empty", 0.3, wokenEmpty},
	{"feeder", 1.5, feeder},
}

// sit plays some happenings on one scale.
func (t *table) sit(coins int) {
	sum := 0.0
	for _, h := range happenings {
		sum += h.weight
	}
	for done := 0; done < coins; {
		x := t.rng.Float64() * sum
		for _, h := range happenings {
			if x -= h.weight; x < 0 {
				t.begin(h.kind)
				h.play(t)
				done += max(1, len(t.coins))
				t.end()
				break
			}
		}
	}
}

// between is a time drawn evenly.
func (t *table) between(lo, hi float64) float64 { return lo + (hi-lo)*t.rng.Float64() }

// rest waits until the load has been seen: most people wait for the stable
// sign, or for a display that stands, some only until it has about stopped.
func (t *table) rest() {
	t.untilFree()
	start := t.now()
	if t.rng.Float64() < 0.3 {
		t.run(t.cfg.Response() + 1/t.cfg.DisplayRate + t.between(0.3, 1))
		return
	}
	for t.now()-start < 7 {
		t.run(0.1)
		if t.now()-start > 0.5*t.cfg.Response() && (t.scale.Stable() || !t.cfg.Sign.Works() && t.scale.Rest() > 0.8) {
			break
		}
	}
	t.run(t.between(0.2, 1.2))
}

func (t *table) untilFree() {
	if d := t.hands - t.now(); d > 0 {
		t.run(d + 0.001)
	}
}

// emptied waits until the empty pan has been seen, by hunters of any pace.
func (t *table) emptied() {
	t.untilFree()
	t.run(t.cfg.Response() + 2/t.cfg.DisplayRate + t.between(0.2, 1.5))
	for range 50 {
		if t.sawEmpty() {
			return
		}
		t.run(0.1)
	}
}

func (t *table) aWayOff() otherscale.Way {
	if t.rng.IntN(4) == 0 {
		return otherscale.Pressed
	}
	return otherscale.Lifted
}

func (t *table) one(way otherscale.Way) {
	t.lay(way)
	t.rest()
	t.take(t.aWayOff())
	t.emptied()
}

// known sets a coin apart that the display never showed, or not what it lies on.
func (t *table) known(c *laid) {
	switch {
	case c.apart != "":
	case !c.shown, !c.rested && c.follows == nil:
		c.apart = "never shown"
	case t.unseen(c):
		c.apart = "swap unseen"
	}
}

func shaken(t *table, shake func(*table)) {
	t.lay(otherscale.Gentle)
	if t.rng.IntN(2) == 0 {
		t.run(t.between(0.1, 1))
	} else {
		t.rest()
	}
	shake(t)
	t.rest()
	t.take(t.aWayOff())
	t.emptied()
}

func shakenEmpty(t *table) {
	t.run(t.between(0.2, 1))
	if t.rng.IntN(2) == 0 {
		t.knock()
	} else {
		t.draft()
	}
	t.emptied()
}

func idle(t *table) { t.run(t.between(10, 30)) }

// swap exchanges one coin for another: the pan is empty for an instant.
func swap(t *table) {
	first := t.lay(otherscale.Gentle)
	t.run(t.between(0.8, 2))
	t.follow(first, t.between(0.2, 0.5))
	t.rest()
	t.take(t.aWayOff())
	t.emptied()
}

// follow lifts a coin and lays the next after a gap.
func (t *table) follow(c *laid, gap float64) *laid {
	t.untilFree()
	t.take(otherscale.Lifted)
	t.untilFree()
	t.run(gap)
	next := t.lay(otherscale.Gentle)
	next.single, next.follows = false, c
	return next
}

func pile(t *table, quick bool) {
	n := 3 + t.rng.IntN(6)
	for range n {
		if t.load()+20 > t.cfg.Capacity { // a small scale is full soon
			break
		}
		c := t.lay(pickWay(t))
		if quick {
			t.run(math.Max(0, 1.3-(t.now()-c.touch)))
		} else {
			t.rest()
		}
		t.untilFree()
	}
	t.rest()
	if t.rng.IntN(3) == 0 {
		t.take(t.aWayOff())
		t.rest()
	}
	t.clear(t.aWayOff())
	t.emptied()
}

// load is what truly lies on the pan.
func (t *table) load() (grams float64) {
	for _, c := range t.pan {
		grams += c.coin.Grams
	}
	return grams
}

func pickWay(t *table) otherscale.Way {
	return []otherscale.Way{otherscale.Gentle, otherscale.Gentle, otherscale.Dropped, otherscale.Slid, otherscale.Leaned}[t.rng.IntN(5)]
}

// together lays two coins within 0.8 s.
func together(t *table) {
	a := t.lay(otherscale.Gentle)
	t.run(t.between(0.01, 0.8))
	b := t.lay(otherscale.Gentle)
	for _, c := range []*laid{a, b} {
		c.single, c.together, c.apart = false, true, "two at once"
	}
	t.truths = append(t.truths, truth{a.coin.Grams + b.coin.Grams, a.zero, 0})
	t.rest()
	t.clear(t.aWayOff())
	t.emptied()
}

// away exchanges the coin, takes it or adds one while no lines come.
func away(t *table) {
	a := t.lay(otherscale.Gentle)
	t.rest()
	to := t.now() + t.between(2, 10)
	t.scale.Hush(t.now(), to)
	t.run(t.between(0.2, 1))
	switch t.rng.IntN(4) {
	case 0: // nothing happens
	case 1:
		t.take(otherscale.Lifted)
	case 2:
		b := t.lay(otherscale.Gentle)
		b.single, b.apart = false, "line away"
		t.truths = append(t.truths, truth{a.coin.Grams + b.coin.Grams, a.zero, 0})
	case 3:
		t.take(otherscale.Lifted)
		t.run(0.6)
		b := t.lay(otherscale.Gentle)
		b.single, b.apart = false, "line away"
	}
	t.run(math.Max(0, to-t.now()))
	t.rest()
	t.clear(t.aWayOff())
	t.emptied()
}

// powerOff leaves a coin for so long that the scale switches itself off.
func powerOff(t *table) {
	if t.cfg.AutoOff == 0 {
		return
	}
	a := t.lay(otherscale.Gentle)
	a.apart = "power off"
	for range 120 {
		if t.run(0.5); t.scale.Off() {
			break
		}
	}
	t.run(t.between(0.5, 4))
	t.scale.Wake()
	t.empty, t.levels, t.was, t.woke = nowhere, nil, nil, t.now()
	if t.rng.IntN(2) == 0 { // the coin is taken, the next comes while it starts
		t.take(otherscale.Lifted)
		t.untilFree()
		t.run(t.between(0, t.cfg.Boot))
	} else { // it sets its zero with the coin on, which then is taken
		t.run(t.cfg.Boot + t.cfg.Response() + t.between(0.5, 2))
		t.take(otherscale.Lifted)
		t.truths = []truth{{-a.coin.Grams, t.scale.Zero(), 0}} // as a cup that is lifted
		t.emptied()
	}
	t.levels = nil
	b := t.lay(otherscale.Gentle)
	b.single, b.apart = false, "power off"
	t.rest()
	t.take(t.aWayOff())
	t.truths = []truth{{-b.coin.Grams, t.scale.Zero(), 0}}
	t.emptied()
}

// wokenEmpty lets the scale switch itself off with nothing on it.
func wokenEmpty(t *table) {
	if t.cfg.AutoOff == 0 {
		return
	}
	for range 120 {
		if t.run(0.5); t.scale.Off() {
			break
		}
	}
	t.run(t.between(0.5, 20))
	t.scale.Wake()
	t.run(t.cfg.Boot)
	t.empty, t.levels, t.was, t.woke = nowhere, nil, nil, t.now()
	t.emptied()
	t.one(otherscale.Gentle)
}

// feeders are paces at which coin after coin is laid: seconds for which the pan
// is empty, and for which the coin lies, each with the time the hand takes.
var feeders = []struct {
	name     string
	gap, lie float64
}{
	{"30 a minute, empty 0.2 s", 0.2, 1.8},
	{"30 a minute, on for 0.8 s", 1.2, 0.8},
	{"60 a minute, 0.2 s and 0.8 s", 0.2, 0.8},
}

func feeder(t *table) {
	k := feeders[t.rng.IntN(len(feeders))]
	c := t.lay(otherscale.Gentle)
	lie := func() {
		t.untilFree()
		t.run(k.lie)
	}
	for range 9 {
		lie()
		c = t.follow(c, k.gap)
	}
	lie()
	t.take(otherscale.Lifted)
	t.emptied()
	t.fed = k.name
}
