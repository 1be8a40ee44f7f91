package settle_test

import (
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"time"

	"panside/internal/mass"
	"panside/internal/settle"
	"panside/internal/simscale"
)

// long reports whether the long proofs are wanted.
var long = os.Getenv("PANSIDE_LONG") != ""

// slow reports whether all takes ten times as long: the cases are thinned out then,
// since the same ones run at full speed elsewhere.
const slow = raceEnabled || runtime.GOARCH == "wasm"

// thin gives every nth of the cases where all is slow, all of them elsewhere.
func thin[T any](cases []T, n int) (some []T) {
	if !slow || long {
		return cases
	}
	for i := 0; i < len(cases); i += n {
		some = append(some, cases[i])
	}
	return some
}

// table plays an evening at one simulated scale: coins are put down and taken
// off, and every estimate is noted with what it should have been.
type table struct {
	scale   *simscale.Scale
	tracker *settle.Tracker
	rng     *rand.Rand
	at      time.Time
	now     float64 // seconds
	shown   mass.Estimate
	stable  bool // the scale's own sign
	see     func(mass.Estimate)
}

// reading is the line a scale would send now, without the detour by bytes.
func reading(s *simscale.Scale, at time.Time) mass.Reading {
	d := s.Display()
	r := mass.Reading{At: at, Resolution: s.Config().Resolution, Status: d.Status()}
	if !d.Over && !d.Under && !d.Off {
		r.Quantity = mass.Quantity{Value: d.Value, Unit: mass.Gram}
		r.HasValue = true
	}
	return r
}

func newTable(cfg simscale.Config, props settle.Properties) *table {
	b := &table{
		scale:   simscale.New(cfg),
		tracker: settle.New(props),
		rng:     rand.New(rand.NewPCG(cfg.Seed, 7)),
		at:      time.Unix(1_000_000, 0),
		see:     func(mass.Estimate) {},
	}
	b.run(2)
	return b
}

// run lets time pass.
func (b *table) run(seconds float64) {
	const step = 5 * time.Millisecond
	for end := b.now + seconds; b.now < end; {
		b.at = b.at.Add(step)
		b.now += step.Seconds()
		if b.scale.Step(step) > 0 {
			b.stable = b.scale.Display().Stable
			b.shown = b.tracker.Feed(reading(b.scale, b.at))
			b.see(b.shown)
		}
	}
}

// until lets time pass until done or the limit.
func (b *table) until(limit float64, done func() bool) bool {
	for end := b.now + limit; b.now < end; {
		if done() {
			return true
		}
		b.run(0.02)
	}
	return done()
}

func (b *table) between(low, high float64) float64 { return low + (high-low)*b.rng.Float64() }

// coin draws a mass: one of two cents, or anything from 0.8 to 27 g, alike on a
// logarithmic scale.
func (b *table) coin() float64 {
	switch b.rng.IntN(3) {
	case 0:
		return 0.8 * math.Exp(math.Log(27/0.8)*b.rng.Float64())
	case 1:
		return zinc
	}
	return bronze
}

// glimpse is one estimate of a coin.
type glimpse struct {
	mass.Estimate
	age      float64 // s since the first estimate of this coin
	since    float64 // s since it was put down
	numbered bool
}

type playedCoin struct {
	grams  float64
	put    float64
	stable float64 // s from putting it down to the scale's stable sign, 0 if none came
	seen   []glimpse
}

type played struct {
	style string
	coins []*playedCoin
	first uint64 // number of the first coin
	last  mass.Estimate
	shows float64 // the display at the end, g
}

// styles of a placement with their shares.
var styles = []struct {
	name  string
	share float64
}{
	{"gentle", 0.40}, {"dropped", 0.26}, {"slow", 0.12}, {"bump", 0.08}, {"double", 0.08}, {"swap", 0.06},
}

// play puts down a coin, or two, and takes everything off again: gently,
// dropped, by a slow and trembling hand, with a bump against the table up to 3 s
// later, with a second coin up to 1.5 s after the first has settled, or swapped for another
// within 0.8 to 2 s.
func (b *table) play(style string) played {
	p := played{style: style, first: b.shown.Placement + 1}
	put := func(how simscale.How) {
		c := &playedCoin{grams: b.coin(), put: b.now}
		p.coins = append(p.coins, c)
		b.scale.Put(mass.Grams(c.grams), how)
	}
	b.see = func(e mass.Estimate) { b.note(&p, e) }
	switch style {
	case "dropped":
		put(simscale.Dropped)
	case "slow":
		put(simscale.SlowHand)
	default:
		put(simscale.Gentle)
	}
	settled := func() bool { return b.shown.Phase == mass.PhaseSettled }
	switch style {
	case "bump":
		b.run(b.between(0.05, 3))
		b.scale.Bump()
		b.run(0.5)
	case "double":
		b.until(8, settled)
		b.run(b.between(0, 1.5))
		put([]simscale.How{simscale.Gentle, simscale.Dropped}[b.rng.IntN(2)])
	case "swap":
		b.until(8, settled)
		b.run(b.between(0, 2))
		b.scale.Clear()
		b.run(b.between(0.8, 2))
		put(simscale.Gentle)
	}
	last := p.coins[len(p.coins)-1]
	b.until(8, func() bool { return last.stable > 0 && settled() })
	b.run(b.between(0.1, 2))
	b.until(4, settled)
	p.last, p.shows = b.shown, b.scale.Display().Value.Float64()
	b.see = func(mass.Estimate) {}
	b.scale.Clear()
	b.until(10, func() bool { return b.shown.Phase == mass.PhaseEmpty })
	b.run(b.between(0.2, 1.5))
	return p
}

// note assigns an estimate to the coin whose number it carries; before a coin
// has its number, to the one that is coming on.
func (b *table) note(p *played, e mass.Estimate) {
	last := p.coins[len(p.coins)-1]
	if b.stable && last.stable == 0 && b.now-last.put > 0.3 {
		last.stable = b.now - last.put
	}
	if !e.HasLoad() || e.Placement >= p.first+uint64(len(p.coins)) {
		return
	}
	c, numbered := p.coins[0], e.Placement >= p.first
	if numbered {
		c = p.coins[e.Placement-p.first]
	}
	g := glimpse{Estimate: e, since: b.now - c.put, numbered: numbered}
	if len(c.seen) > 0 {
		g.age = g.since - c.seen[0].since
	}
	c.seen = append(c.seen, g)
}

// rightNumbers reports whether each coin of p got one number.
func (p played) rightNumbers() bool {
	return p.last.Placement == p.first+uint64(len(p.coins))-1
}

// draw picks a style by its share.
func (b *table) draw() string {
	x := b.rng.Float64()
	for _, s := range styles {
		if x -= s.share; x < 0 {
			return s.name
		}
	}
	return styles[0].name
}

// variety draws a scale: filter and its speed, noise, line rate, stable rule.
// Half of them are unproven, half were measured with check weights.
func variety(seed uint64) (simscale.Config, settle.Properties) {
	r := rand.New(rand.NewPCG(seed, 99))
	in := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	cfg := simscale.DefaultConfig()
	cfg.Seed = seed
	cfg.AutoOff = 0
	cfg.LineRate = in(5, 12)
	cfg.Jitter = in(0, 0.006)
	cfg.NaturalHz = in(10, 25)
	cfg.Damping = in(0.05, 0.4)
	cfg.SampleRate = cfg.LineRate * float64(2+r.IntN(7)) // the display shows every nth conversion
	switch r.IntN(8) {
	case 0, 1, 2, 3:
		cfg.Filter, cfg.FilterTime = simscale.FilterExponential, in(0.15, 0.45)
	case 4, 5:
		cfg.Filter, cfg.FilterTime = simscale.FilterAverage, in(0.4, 1.2)
	case 6:
		cfg.Filter, cfg.FilterTime = simscale.FilterCascade, in(0.1, 0.25)
	default:
		cfg.Filter, cfg.FilterTime = simscale.FilterMixed, in(0.3, 0.8)
	}
	cfg.Noise = mass.Grams(in(0.001, 0.012))
	cfg.Draught = mass.Grams(in(0, 0.002))
	cfg.StableCount = int(math.Round(cfg.LineRate * in(0.7, 1.2)))
	props := settle.Properties{}
	own := mass.UnprovenScale(0.01, 5)
	if r.IntN(2) == 0 {
		own = mass.Scale{Repeatability: 0.003, Calibration: 0.003}
		props = settle.Properties{Scale: own, Measured: true}
	}
	// The scale's own errors are as large as props say they are, drawn anew at
	// each placement.
	cfg.Placement = mass.Grams(math.Hypot(float64(own.Repeatability), float64(own.Calibration)))
	return cfg, props
}
