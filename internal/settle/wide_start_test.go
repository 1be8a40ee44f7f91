package settle_test

import "panside/internal/simscale"

// wideStarts is how a sitting begins, with a stream that the server joins: its
// first placement.
var wideStarts = []wideStyle{
	{"start waits", 0.25, start(2, 4)},
	{"start at once", 0.5, start(0, 1)},
	{"start lying", 0.15, startLying},
	{"start landing", 0.1, startLanding},
}

// join begins to listen: as the scale is switched on, or up to five minutes later,
// in which its zero may have drifted. The lines by which a format is learnt
// tell no weight; the program's first is the one after them.
func (w *wideTable) join(on func()) {
	if w.rng.IntN(3) > 0 {
		w.run(w.between(0.1, 60) * float64(1+4*w.rng.IntN(2)))
	}
	w.run(float64(w.rng.IntN(4)) / w.cfg.LineRate)
	if len(w.shown) > 0 {
		w.empty.display = w.display()
		w.empty.low, w.empty.high = w.display(), w.display()
	}
	if w.scale.Display().Off {
		w.scale.Wake()
		w.shown, w.lines, w.empty = nil, 0, level{}
	}
	on()
	w.away = false
	w.note += "lines"
}

// start: the first coin comes some seconds after the first line.
func start(low, high float64) func(*wideTable, *wideCourse) {
	return func(w *wideTable, c *wideCourse) {
		w.join(func() {})
		for end := w.now + 3; w.line.At.IsZero() && w.now < end; {
			w.run(0.005)
		}
		w.run(w.between(low, high))
		w.put(wideCoin(w.rng), w.anyHow())
		w.look()
	}
}

// startLying: a coin lies there when the lines begin.
func startLying(w *wideTable, c *wideCourse) {
	w.join(func() {
		w.put(wideCoin(w.rng), simscale.Gentle)
		w.quiet()
		w.rest(10)
		w.run(w.between(0.5, 10))
	})
	w.look()
}

// startLanding: the first coin is coming on when the lines begin.
func startLanding(w *wideTable, c *wideCourse) {
	w.join(func() {
		w.put(wideCoin(w.rng), w.anyHow())
		w.run(w.between(0, 1))
	})
	w.look()
}
