package settle_test

import (
	"math/rand/v2"

	"panside/internal/mass"
	"panside/internal/simscale"
)

// wideStyle is something that happens at the pan, with its share.
type wideStyle struct {
	name  string
	share float64
	play  func(*wideTable, *wideCourse)
}

// wideStyles are what happens at the pan. A style whose name ends in “slow” goes
// too fast for its scale to come to rest: coins may be missed then, but nothing may
// be wrong.
var wideStyles = []wideStyle{
	{"gentle", 0.15, single(simscale.Gentle)},
	{"dropped", 0.10, single(simscale.Dropped)},
	{"slow", 0.06, single(simscale.SlowHand)},
	{"leaning", 0.10, single(simscale.Leaning)},
	{"two-stage", 0.06, single(simscale.TwoStage)},
	{"sliding", 0.06, single(simscale.Sliding)},
	{"bump", 0.07, bumped},
	{"double", 0.06, second},
	{"two-at-once", 0.03, atOnce},
	{"swap", 0.10, swapped},
	{"feeder-1.8", 0.015, feeder(1.8, 0.2)},
	{"feeder-0.8", 0.015, feeder(0.8, 1.2)},
	{"pile-patient", 0.025, pile(3)},
	{"pile-quick", 0.025, pile(1.3)},
	{"gap", 0.06, gap},
	{"power-off", 0.02, powerOff},
	{"bump-empty", 0.03, func(w *wideTable, c *wideCourse) {
		c.handed = true
		w.note += "bump"
		w.scale.Bump()
		w.run(2)
	}},
	{"finger-empty", 0.03, func(w *wideTable, c *wideCourse) {
		c.handed = true
		w.note += "finger"
		w.scale.Press(mass.Grams(1+30*w.rng.Float64()*w.rng.Float64()), w.between(0.3, 1.5))
		w.quiet()
		w.run(2)
	}},
}

// play plays one placement and leaves the pan empty and at rest.
func (w *wideTable) play(index int) *wideCourse {
	w.rng = rand.New(rand.NewPCG(w.seed, 1000+uint64(index)))
	c := &wideCourse{index: index, first: w.est.Placement + 1}
	w.course = c
	began := w.now
	x := w.rng.Float64()
	styles := wideStyles
	if index == 0 {
		styles = wideStarts
	}
	for _, s := range styles {
		if x -= s.share; x < 0 {
			s = w.person.instead(w, s)
			c.style = s.name
			s.play(w, c)
			break
		}
	}
	if w.scale.Load() != 0 {
		w.take(w.rng.IntN(3) == 0)
	}
	w.rest(10)
	w.run(w.between(0.6, 1.8))
	c.got = int(int64(w.est.Placement+1) - int64(c.first))
	c.seconds = w.now - began
	return c
}

func (w *wideTable) anyHow() simscale.How {
	hows := []simscale.How{simscale.Gentle, simscale.Gentle, simscale.Dropped, simscale.Leaning, simscale.Sliding}
	if w.person == letsGo {
		hows = hows[:3]
	}
	return hows[w.rng.IntN(len(hows))]
}

// look waits until the display rests, and a little longer: for a few lines at
// least.
func (w *wideTable) look() {
	w.rest(10)
	w.run(w.between(0.5, 2) + 4*float64(max(1, w.cfg.Repeat))/w.cfg.LineRate)
}

func single(how simscale.How) func(*wideTable, *wideCourse) {
	return func(w *wideTable, c *wideCourse) {
		c.clean = how == simscale.Gentle || how == simscale.Dropped
		c.handed = !c.clean
		w.put(wideCoin(w.rng), how)
		w.look()
	}
}

func bumped(w *wideTable, c *wideCourse) {
	c.handed = true
	w.put(wideCoin(w.rng), simscale.Gentle)
	w.run(w.between(0.05, 3))
	w.note += "bump"
	w.scale.Bump()
	w.look()
}

// second: another coin 0.3 to 1.6 s after the first. Two within 0.8 s may be
// one load.
func second(w *wideTable, c *wideCourse) {
	w.put(wideCoin(w.rng), simscale.Gentle)
	after := w.between(0.3, 1.6)
	c.loose = after < 0.8 || response(w.cfg) > 0.6
	w.run(after)
	w.put(wideCoin(w.rng), w.anyHow())
	w.look()
}

func atOnce(w *wideTable, c *wideCourse) {
	c.loose, c.anyOrder = true, true
	w.put(wideCoin(w.rng), simscale.Gentle)
	w.run(w.between(0, 0.1))
	w.put(wideCoin(w.rng), simscale.Gentle)
	w.look()
}

// swapped: the coin that rests goes, and after 0.2 to 0.5 s the same or another
// comes. A display that never fell far can't tell.
func swapped(w *wideTable, c *wideCourse) {
	g := wideCoin(w.rng)
	w.put(g, w.anyHow())
	w.look()
	w.take(w.rng.IntN(2) == 0)
	w.quiet()
	w.run(w.between(0.2, 0.5))
	c.loose = w.line.HasValue && w.line.Quantity.Value.Float64()-w.empty.display > 0.5*g
	if c.loose {
		c.style = "swap-slow"
	}
	if w.rng.IntN(2) == 0 {
		g = wideCoin(w.rng)
	}
	w.put(g, simscale.Gentle)
	w.look()
}

func feeder(on, off float64) func(*wideTable, *wideCourse) {
	return func(w *wideTable, c *wideCourse) {
		if r := response(w.cfg); r > 0.8*on || r > 4*off {
			c.style += "-slow"
			c.loose = true
		}
		for i := range 10 {
			if i > 0 {
				w.quiet()
				w.run(off)
			}
			w.put(wideCoin(w.rng), simscale.Gentle)
			w.run(on)
			w.take(true)
		}
	}
}

func pile(every float64) func(*wideTable, *wideCourse) {
	return func(w *wideTable, c *wideCourse) {
		if response(w.cfg) > 0.5*every {
			c.style += "-slow"
			c.loose = true
		}
		for range 10 {
			w.put(wideCoin(w.rng), w.anyHow())
			w.run(every * w.between(0.9, 1.1))
		}
		w.look()
	}
}

// gap: 2 to 10 s without lines, in which the coin stays, goes, is exchanged, or
// comes.
func gap(w *wideTable, c *wideCourse) {
	what := []string{"untouched", "taken", "exchanged", "put"}[w.rng.IntN(4)]
	c.style += " " + what
	if what != "put" {
		w.put(wideCoin(w.rng), simscale.Gentle)
		w.look()
	}
	w.away = true
	w.run(w.between(1, 4))
	if what == "taken" || what == "exchanged" {
		w.take(false)
		w.quiet()
		w.run(w.between(0.2, 1))
	}
	if what == "put" || what == "exchanged" {
		c.loose, c.anyOrder = true, true
		w.put(wideCoin(w.rng), simscale.Gentle)
	}
	w.run(w.between(1, 6))
	w.away = false
	w.note += "lines again"
	w.look()
}

// powerOff: the empty pan is left alone until the scale goes off by itself; it
// is woken, zeroes itself, and weighs on.
func powerOff(w *wideTable, c *wideCourse) {
	for end := w.now + 120; w.now < end && !w.scale.Display().Off; {
		w.run(0.1)
	}
	w.run(w.between(1, 20))
	if w.scale.Display().Off {
		w.scale.Wake()
		w.shown, w.lines = nil, 0
		w.note += "awake"
	}
	w.rest(5)
	w.run(w.between(0, 2))
	for range 2 {
		w.put(wideCoin(w.rng), simscale.Gentle)
		w.look()
		w.take(false)
		w.rest(10)
		w.run(1)
	}
}
