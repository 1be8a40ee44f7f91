package settle_test

import (
	"fmt"
	"math"

	"panside/internal/mass"
)

const withheld mass.Phase = "withheld"

// sureOff is the u up to which a weight could name an alloy, and how far off it must be
// then, and by four times that u, to count as told too surely: a quarter of what lies
// between two alloys of one coin, in g. Such weights are what wrong names are
// made of, but more frequent.
const sureOff = 0.15

// wideCourse is one placement, from the first touch to the pan at rest again:
// usually one coin, none, two, or a pile.
type wideCourse struct {
	index    int
	style    string
	handed   bool   // a hand stays on the coin, or somebody knocks
	clean    bool   // neither, and one coin
	loose    bool   // numbers may be fewer: nobody could see all of the coins
	split    bool   // one coin came like two
	posed    string // the cent that a steady hand weighed like, by the scale's own sign
	anyOrder bool   // a load may be named by any of the coins
	first    uint64 // number of the first coin
	coins    []*coinCourse
	glass    wideGlass
	lines    []courseLine

	got     int    // numbers given
	broken  string // what was wrong about a settled weight, with the time
	atRest  bool   // it was so while the display rested, and not only as a hand came
	wrong   string // the wrong name of a cent or of another load
	sure    string // a weight told far too surely, on its way or at rest
	kept    int    // coins of which the weight was withheld at the end
	vague   int    // coins at rest that never were settled
	seconds float64
}

// coinCourse is what was seen of one coin.
type coinCourse struct {
	grams  float64
	put    float64
	before float64 // the display when it was put down

	moved, named, stable float64 // when, 0 for never
	told                 float64 // when the first estimate of it came, 0 for never
	ended                bool    // its end was judged
	moving               [21]held
	settledFirst         held
	settledLast          held
}

// held reports whether an interval held the weight.
type held struct{ seen, in bool }

// courseLine is one line for TestWideCourse.
type courseLine struct {
	t       float64
	reading mass.Reading
	est     mass.Estimate
	name    string
	load    float64
	note    string
	verdict string
}

func (c *wideCourse) newest() *coinCourse {
	if len(c.coins) == 0 {
		return nil
	}
	return c.coins[len(c.coins)-1]
}

// about is the coin that an estimate is of: the one with its number, or the one
// coming on; nil for a number without a coin.
func (c *wideCourse) about(e mass.Estimate) *coinCourse {
	if len(c.coins) == 0 || e.Placement >= c.first+uint64(len(c.coins)) {
		return nil
	}
	if e.Placement >= c.first {
		return c.coins[e.Placement-c.first]
	}
	return c.coins[0]
}

// see judges one line's estimate.
func (c *wideCourse) see(w *wideTable) {
	e, wrongs := w.est, ""
	name := c.glass.offer(e, w.at)
	display := math.NaN()
	if w.line.HasValue {
		display = w.line.Quantity.Value.Float64()
	}
	if e.Phase == mass.PhaseSettled {
		off := math.Inf(1)
		for _, l := range w.references(display) {
			off = math.Min(off, l.off(float64(e.Mean), display))
		}
		if !(off <= 1.5*w.d()) {
			wrongs = fmt.Sprintf("settled %.4f at display %v, empty %.4f", e.Mean, w.line.Quantity.Value, w.empty.display)
			if c.broken == "" {
				c.broken = fmt.Sprintf("%s at %.2f s", wrongs, w.now)
			}
			if w.rested() && !c.atRest {
				c.atRest = true
				c.broken = fmt.Sprintf("%s at rest at %.2f s", wrongs, w.now)
			}
		}
	}
	if name != "" && !c.allows(name, e, w) {
		wrongs += " named " + name
		if c.wrong == "" {
			c.wrong = fmt.Sprintf("%s at %.2f s: %.3f ± %.3f, number %d", name, w.now, e.Mean, e.U, e.Placement)
		}
	}
	if n := c.newest(); n != nil {
		c.times(n, e, name, display, w)
		c.covers(n, e, w)
	}
	if w.record {
		c.lines = append(c.lines, courseLine{w.now, w.line, e, name, float64(w.scale.Load()), w.note, wrongs})
	}
}

// allows reports whether a name is right of the load that it is about.
func (c *wideCourse) allows(name string, e mass.Estimate, w *wideTable) bool {
	right := func(m float64) bool { s := centOf(m); return s == name || s == "?" }
	if d := w.scale.Display(); d.Stable && !w.there(d.Value.Float64()) && right(d.Value.Float64()-w.last().display) {
		c.posed = name
	}
	if name == c.posed || c.split {
		return true
	}
	coin, newest := c.about(e), c.newest()
	moves := e.Phase != mass.PhaseSettled
	switch {
	case newest == nil:
		return false
	case coin == nil:
		return right(newest.grams) // one too many, which is counted elsewhere
	case right(coin.grams), right(newest.grams) && (moves || c.anyOrder):
		return true
	case coin != newest, newest.moved == 0, w.now-newest.moved < 0.3:
		// One was missed or counted twice, or the newest isn't seen yet, or only
		// while the glass still holds the name before.
		for _, n := range c.coins[max(0, len(c.coins)-2):] {
			if right(n.grams) {
				return true
			}
		}
	}
	// Two as one load.
	load := float64(w.scale.Load())
	return right(load-w.last().load) || right(load)
}

// times notes when the newest coin was seen, named and called stable.
func (c *wideCourse) times(n *coinCourse, e mass.Estimate, name string, display float64, w *wideTable) {
	if n.moved == 0 && !(math.Abs(display-n.before) < 1.5*w.d()) {
		n.moved = w.now
	}
	there := math.Abs(display-w.last().display-(float64(w.scale.Load())-w.last().load)) < 3*w.d()+0.003*n.grams
	if n.stable == 0 && n.moved > 0 && there && e.ScaleStable {
		n.stable = w.now
	}
	if n.named == 0 && n.moved > 0 && name != "" && name == centOf(n.grams) && (c.about(e) == n || e.Placement < c.first+uint64(len(c.coins))-1) {
		n.named = w.now
	}
}

// covers notes whether the interval held the weight, for one coin alone.
func (c *wideCourse) covers(n *coinCourse, e mass.Estimate, w *wideTable) {
	if len(c.coins) != 1 || !e.HasLoad() || e.Placement > c.first || w.scale.Load() == 0 {
		return
	}
	if n.told == 0 {
		n.told = w.now
	}
	if off := math.Abs(float64(e.Mean) - n.grams); e.U < sureOff && off > math.Max(4*float64(e.U), sureOff) && c.sure == "" && !c.split {
		c.sure = fmt.Sprintf("%.3f ± %.3f at %.2f s for %.3f", e.Mean, e.U, w.now, n.grams)
	}
	h := held{true, math.Abs(float64(e.Mean)-n.grams) <= 1.96*float64(e.U)}
	if e.Phase == mass.PhaseSettled {
		if n.settledLast = h; !n.settledFirst.seen {
			n.settledFirst = h
		}
		return
	}
	k := int(math.Round((w.now - n.told) * 10))
	if k < len(n.moving) && !n.moving[k].seen {
		n.moving[k] = h
	}
}

// rests judges the newest coin at its end, when the display rests and before
// the next hand comes.
func (c *wideCourse) rests(w *wideTable) {
	n := c.newest()
	if n == nil || n.ended {
		return
	}
	n.ended = true
	switch e := w.est; e.Phase {
	case withheld:
		c.kept++
	case mass.PhaseSettled:
		load, off, allowed := float64(w.scale.Load()), math.Inf(1), 0.0
		for _, l := range append([]level{w.empty}, w.levels...) {
			truth := load - l.load
			if o := math.Abs(float64(e.Mean) - truth); o < off {
				off, allowed = o, 4*w.d()+0.001*math.Abs(truth)
			}
		}
		if off > allowed && !c.atRest {
			c.atRest = true
			c.broken = fmt.Sprintf("ended settled %.4f for %.4f g at %.2f s", e.Mean, n.grams, w.now)
		}
	default:
		c.vague++
	}
}

// missed and doubled compare the numbers with the coins.
func (c *wideCourse) missed() int {
	if c.loose {
		return 0
	}
	return max(0, len(c.coins)-c.got-c.kept)
}

func (c *wideCourse) doubled() int {
	coins := len(c.coins)
	if c.split {
		coins++
	}
	return max(0, c.got-coins)
}
