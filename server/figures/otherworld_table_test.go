package figures

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"panside/internal/dialect"
	"panside/internal/mass"
	"panside/internal/otherscale"
	"panside/internal/verdict"
)

// phaseWithheld is that of a load at rest whose weight can't be told.
const phaseWithheld = mass.Phase("withheld")

// follower is what is judged: the tracker, or one known to be bad.
type follower interface {
	Feed(mass.Reading) mass.Estimate
}

// span is a range of displays in grams; empty if hi < lo.
type span struct{ lo, hi float64 }

func (s span) near(g, slack float64) bool { return g >= s.lo-slack && g <= s.hi+slack }

func (s span) width() float64 { return s.hi - s.lo }

// nowhere is the empty span.
var nowhere = span{math.Inf(1), math.Inf(-1)}

// laid is one coin put down, with what was made of it.
type laid struct {
	coin   otherscale.Coin
	named  map[string]bool // alloys that may be named for it
	alloy  string          // the one that its weight should get named, "" if none
	way    otherscale.Way
	clean  bool // no hand leans, drags or rests
	single bool // put on an empty pan that was seen, alone

	force       []otherscale.Point
	touch, free float64
	lift        float64 // +Inf while it lies
	left        float64 // when the display showed that it is gone; +Inf before
	level       span    // display before it was touched
	rested      bool    // that was a level at rest
	total       float64 // true load on the pan with it
	zero        float64 // true zero when it was touched

	changed          float64 // first line that shows something new; 0 before
	shownFrom        float64 // since when its full load has been displayed; 0 if not
	shownLines       int     // for how many lines
	shown            bool    // for long enough to be known
	lowest           float64 // display since the coin before was lifted, until it was
	follows          *laid   // the coin that was lifted for it just before
	mean             float64 // last told under its number
	together         bool    // a second one came within 0.8 s
	motion           bool    // a line after the change was not marked stable
	decided, settled float64 // right alloy on the glass; the scale's stable sign

	wrong, broken, flat bool
	class               class // of broken
	loose               bool  // settled off the display by more than one step
	stays               bool  // told wrongly at rest when it was lifted
	withheld            bool
	apart               string // why it can't be known, "" if it can
	numbers             int
	under               uint64 // number at which it was lifted; 0 if the pan was told empty
}

// truth is what the newest load may be said to weigh. The display before may
// have stood off its own rest by tail: a slow filter that seemed to have stopped.
type truth struct{ grams, zero, tail float64 }

// was is what lay on the pan before a change, and the display of it.
type was struct {
	truths []truth
	level  span
}

// table is a scale, its table, and who sits at it.
type table struct {
	scale    *otherscale.Scale
	cfg      otherscale.Config
	decoder  *dialect.Decoder
	follower follower
	rng      *rand.Rand
	origin   time.Time
	den      string
	year     int
	d, slack float64 // step; what a display may be off by, see slackOf

	lines     []otherscale.Line // of the last seconds
	empty     span              // display of the empty pan when last seen at rest
	emptyZero float64           // true zero then
	levels    []span            // rested displays of this happening
	truths    []truth
	was       []was   // good while the display has not left them
	dip       float64 // lowest display since a coin was lifted
	fed       string  // the feeder's pace
	rested    bool    // the load last disturbed had come to rest on the display
	hands     float64 // a hand or a knock acts until then
	pan       []*laid // now on the pan
	coins     []*laid // of this happening
	ghosts    ghosts
	course    []told  // lines of this happening and some before
	stands    []stand // that each line of the course belongs to
	claims    []claim
	close     []claim // perhaps off the display by more than one step
	woke      float64 // what was displayed before the scale woke counts no more

	last     mass.Estimate
	bad      bool // it is a settled weight that breaks the rules
	numbers  map[uint64]*number
	base     uint64
	glass    glass
	asked    mass.Estimate
	answer   answer
	answered bool
	score    *otherScore
	kind     string
	told     string
}

// number is a placement number that the tracker gave out.
type number struct {
	is     uint64
	first  float64
	mean   mass.Grams // at rest, or the most that was told while it moved
	rested bool
}

// ghosts are claims about nothing.
type ghosts struct {
	wrong, broken bool
	class         class
}

// slackOf is by how much a claim may differ from the difference of two
// displays: one step, half a step of rounding (or what the display sticks by) at
// each end, and three standard deviations of the display's own noise.
func slackOf(c otherscale.Config) float64 {
	return (1+2*math.Max(0.5, c.Sticky))*c.D() + 3*c.Noise()
}

func newTable(seed uint64, f follower, s *otherScore) *table {
	rng := rand.New(rand.NewPCG(seed, 0x7ab1e))
	cfg := otherscale.DrawConfig(rng)
	t := &table{
		scale: otherscale.New(cfg, rng.Uint64()), cfg: cfg, decoder: dialect.NewDecoder(dialect.Options{}), follower: f,
		rng: rng, origin: time.Unix(1_750_000_000, 0), d: cfg.D(), slack: slackOf(cfg), score: s,
		numbers: map[uint64]*number{},
	}
	t.den = []string{"cent", "cent", "cent", "cent", "dime", "quarter", "nickel"}[rng.IntN(7)]
	if t.den == "cent" && rng.IntN(2) == 0 {
		t.year = 1982
	}
	t.empty, t.dip = nowhere, math.Inf(1)
	t.run(math.Max(4, 8/cfg.DisplayRate))
	t.sawEmpty()
	return t
}

// run lets time pass.
func (t *table) run(seconds float64) {
	t.scale.Advance(seconds, func(l otherscale.Line) {
		at := t.timeOf(l.At)
		t.see(l)
		for _, r := range t.decoder.Feed(l.Bytes, at) {
			e := t.follower.Feed(r)
			t.judge(e, l, at)
		}
	})
}

func (t *table) timeOf(at float64) time.Time {
	return t.origin.Add(time.Duration(at * float64(time.Second)))
}

// now is the time of the scale.
func (t *table) now() float64 { return t.scale.Now() }

// see keeps the line and what can be read off the display without any tracker.
func (t *table) see(l otherscale.Line) {
	t.lines = append(t.lines, l)
	t.course = append(t.course, told{Line: l})
	if len(t.lines) > 400 {
		t.lines = append(t.lines[:0], t.lines[200:]...)
	}
	g := float64(l.Steps) * t.d
	now, _ := t.window(0, 2)
	t.was = slices.DeleteFunc(t.was, func(w was) bool { return now.lo > w.level.hi+t.slack+3*t.d || now.hi < w.level.lo-t.slack-3*t.d })
	for _, c := range t.coins {
		if math.IsInf(c.left, 1) && l.At > c.lift && c.gone(t, l.At, g) {
			c.left = l.At
		}
	}
	t.dip = math.Min(t.dip, g)
	if len(t.pan) == 0 {
		return
	}
	c := t.pan[len(t.pan)-1]
	c.lowest = math.Min(c.lowest, g)
	if l.At <= c.touch || c != t.newest() {
		return
	}
	if c.changed == 0 && !c.level.near(g, 1.2*t.d) {
		c.changed = l.At
	}
	if c.changed > 0 && l.At < c.free && l.At > c.changed+0.5 && t.flat(l) && !c.levelWith(t).near(g, t.slack) && len(t.truths) < 9 {
		t.heldStill(c, l)
	}
	if c.changed > 0 && !l.Stable {
		c.motion = true
	}
	full := c.levelWith(t).near(g, t.slack) && !l.Over
	switch {
	case !full || l.At <= c.free:
		c.shownFrom, c.shownLines = 0, 0
	case c.shownFrom == 0:
		c.shownFrom, c.shownLines = l.At, 1
	default:
		c.shownLines++
		c.shown = c.shown || l.At-c.shownFrom >= 0.3 && c.shownLines >= 3*max(1, t.cfg.Repeat)
	}
	if l.Stable && full && c.motion && c.settled == 0 && l.At > c.free {
		c.settled = l.At
	}
}

// levelWith is the display that the coin should lead to.
func (c *laid) levelWith(t *table) span {
	up := c.total*(1+t.cfg.Gain) + t.scale.Zero() - t.emptyZero
	return span{t.empty.lo + up, t.empty.hi + up}
}

// window is the range of the displays of the last seconds, of two lines at least.
func (t *table) window(seconds float64, atLeast int) (s span, flat float64) {
	s = span{math.Inf(1), math.Inf(-1)}
	for i := len(t.lines) - 1; i >= 0; i-- {
		l := t.lines[i]
		if len(t.lines)-i > atLeast && l.At < t.now()-seconds {
			break
		}
		g := float64(l.Steps) * t.d
		s.lo, s.hi = math.Min(s.lo, g), math.Max(s.hi, g)
	}
	return s, s.hi - s.lo
}

// disturb notes that the load is about to change: what is displayed now is the
// level before.
func (t *table) disturb(until float64) span {
	level, width := t.window(1, 2)
	short, narrow := t.window(0.35, 2)
	t.rested = t.now() >= t.hands && narrow <= t.slack
	if t.rested {
		if width > t.slack {
			level = short
		}
		t.levels = append(t.levels, level)
	}
	if t.now() >= t.hands {
		at, _ := t.window(0.3, 2)
		t.was = append(t.was, was{t.truths, at})
	}
	t.hands = math.Max(t.hands, until)
	return level
}

// lay puts a coin down now.
func (t *table) lay(way otherscale.Way) *laid {
	c := &laid{coin: otherscale.Draw(t.den, t.rng), way: way, lift: math.Inf(1), left: math.Inf(1), lowest: t.dip}
	h := otherscale.Put(way, c.coin.Grams, t.now(), t.cfg, t.rng)
	t.scale.Push(h.Force)
	c.clean = way == otherscale.Gentle || way == otherscale.Dropped
	c.single = len(t.pan) == 0
	c.force = h.Force
	c.touch, c.free, c.zero = h.Touch, h.Free, t.scale.Zero()
	c.level, c.rested = t.disturb(h.Free), t.rested
	c.total = c.coin.Grams + t.load()
	tail := 0.0
	if n := len(t.pan); n > 0 {
		under := t.pan[n-1].levelWith(t)
		tail = math.Max(0, math.Max(c.level.lo-under.hi, under.lo-c.level.hi))
		// A hand's level that a slow filter still shows is no rest.
		c.rested = c.rested && tail <= t.slack
	}
	t.truths = []truth{{c.coin.Grams, c.zero, tail}}
	t.pan, t.coins = append(t.pan, c), append(t.coins, c)
	t.name(c)
	return c
}

// take lifts the newest coin off.
func (t *table) take(way otherscale.Way) {
	n := len(t.pan) - 1
	off := t.pan[n].coin.Grams
	t.lift(way, t.pan[n:])
	t.pan, t.dip = t.pan[:n], math.Inf(1)
	if n > 0 {
		t.truths = []truth{{-off, t.scale.Zero(), 0}}
	}
}

// clear lifts all off in one go.
func (t *table) clear(way otherscale.Way) {
	if len(t.pan) == 0 {
		return
	}
	t.lift(way, t.pan)
	t.pan = nil
}

// lift takes coins off in one go.
func (t *table) lift(way otherscale.Way, coins []*laid) {
	sum := 0.0
	for _, c := range coins {
		sum += c.coin.Grams
	}
	h := otherscale.Take(way, sum, t.now(), t.rng)
	t.disturb(h.Free)
	t.scale.Push(h.Force)
	for _, c := range coins {
		c.lift, c.withheld = h.Touch, t.last.Phase == phaseWithheld
		c.stays = t.bad && c == t.newest()
	}
	if t.last.HasLoad() || t.last.Phase == phaseWithheld {
		coins[len(coins)-1].under = t.last.Placement
	}
	t.truths = nil
}

// knock shakes the table, draft blows over it.
func (t *table) knock() { t.shake(otherscale.Knock(t.now(), t.rng)) }

func (t *table) draft() {
	t.shake(otherscale.Draft(t.now(), t.between(0.5, 2.5), t.d*t.between(3, 15), t.rng))
}

func (t *table) shake(h otherscale.Hand) {
	t.scale.Push(h.Force)
	t.hands = math.Max(t.hands, h.Free)
}

// sawEmpty notes the display of the empty pan and reports whether it stands.
func (t *table) sawEmpty() bool {
	s, width := t.window(1, 2)
	if len(t.pan) > 0 || t.now() < t.hands || width > t.slack {
		return false
	}
	t.empty, t.emptyZero = s, t.scale.Zero()
	return true
}

// unseen reports whether the display never showed that the coin before was gone:
// it has to fall below both by a tenth and five steps.
func (t *table) unseen(c *laid) bool {
	if c.follows == nil {
		return false
	}
	low := math.Min(c.coin.Grams, c.follows.coin.Grams)
	return c.lowest > t.empty.lo+low-math.Max(5*t.d, 0.1*low)
}

// name finds what the coin may be called: what an exact weighing, or one within
// what a settled weight may be off by, would have it called. Its own alloy is
// never wrong.
func (t *table) name(c *laid) {
	c.named = map[string]bool{}
	g, off := c.coin.Grams, 3*t.d+0.001*c.coin.Grams
	for _, at := range []float64{0, -off, -off / 2, off / 2, off} {
		a := ask(t.den, t.year, mass.Estimate{Mean: mass.Grams(g + at), U: mass.UnprovenScale(mass.Grams(t.d), mass.Grams(g)).U()}, mass.Grams(t.d))
		if a.call != verdict.Ordinary {
			continue
		}
		own := c.coin.Alloy != "" && strings.Contains(a.alloy, c.coin.Alloy)
		if own && at == 0 {
			c.alloy = a.alloy
		}
		if at == 0 || c.coin.Alloy == "" {
			c.named[a.alloy] = true
		}
	}
}

// mayBeCalled reports whether an alloy is right for the coin.
func (c *laid) mayBeCalled(alloy string) bool {
	return c.named[alloy] || c.coin.Alloy != "" && strings.Contains(alloy, c.coin.Alloy)
}
