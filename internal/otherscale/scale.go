package otherscale

import (
	"math"
	"math/rand/v2"
)

// Config is one scale. All masses in grams, times in seconds, rates a second.
type Config struct {
	Places      int     // digits after the point; the step d is 10^-Places
	DisplayRate float64 // new display values a second
	Oversample  int     // conversions a display value
	SincOrder   int     // periods of a conversion that a step takes
	Filter      Filter  // over conversions
	Sign        Sign

	Format Format
	Repeat int     // lines a display value
	Every  int     // above 1: only every so many displays send a line
	Burst  float64 // above 0: lines arrive together, every so many seconds
	Uneven bool    // lines at 0.17 to 1.8 s instead, whatever the display does

	Omega, Zeta float64 // of the pan: natural angular frequency, damping below 1
	Gain        float64 // error of the gain: 0.0004 shows 0.04 % too much
	CreepShare  float64 // of the load
	CreepTime   float64 // time constant
	Drift       float64 // of the zero, g/min
	Wander      float64 // of a zero that warms up: its fastest, g/min; 0 none
	White       float64 // standard deviation in one conversion
	Floor       float64 // Allan deviation where averaging stops helping
	Capacity    float64

	Sticky   float64 // d by which the display must be off before it changes; 0 rounds
	Tracking Tracking
	AutoOff  float64 // of an unchanged display; 0 never
	Boot     float64 // from waking to the first line
}

// Tracking is how a scale follows its zero.
type Tracking string

// The kinds of zero tracking.
const (
	NoTracking Tracking = "none"
	Continuous Tracking = "continuous" // a thirtieth of it each display
	Stepped    Tracking = "stepped"    // once a second, the whole of it
)

// The band of continuous tracking in d, and its limit in d a second (usual
// settings of indicators).
const (
	trackBand  = 0.5
	trackShare = 1.0 / 30
	trackLimit = 0.5
)

// D is the step.
func (c Config) D() float64 { return math.Pow10(-c.Places) }

// Noise is the standard deviation of the display before rounding.
func (c Config) Noise() float64 {
	return math.Hypot(c.White*c.Filter.Gain(), 1.5*c.Floor)
}

// Response is about how long the display of a load that lies still takes to
// come to rest.
func (c Config) Response() float64 {
	conversions := c.DisplayRate * float64(c.Oversample)
	return 4/(c.Zeta*c.Omega) + (float64(c.SincOrder)+c.Filter.Conversions())/conversions + 1/c.DisplayRate
}

// subSpans is into how many spans a conversion period is cut.
const subSpans = 8

// Scale is one scale at work. It knows the loads only as forces on its pan.
type Scale struct {
	cfg    Config
	rng    *rand.Rand
	pan    pan
	forces forces

	span    float64 // length of one, seconds
	spans   int     // so far
	creep   float64 // load that has crept in
	box     *boxes
	filter  func(float64) float64
	flicker *flicker
	wander  *wander

	fine    float64 // filtered, in grams, before the zero is taken off
	zero    float64
	fix     float64 // time of the last stepped zero
	lamp    lamp
	stable  bool
	display int // in steps

	nextLine float64
	waiting  []Line // for the next burst
	burstAt  float64
	still    float64 // since when the display has not changed
	stillAt  int
	off      bool
	wakeAt   float64
	awoke    float64
	hush     [2]float64
}

// New returns a scale that has been on for long, empty, at time 0.
func New(cfg Config, seed uint64) *Scale {
	rng := rand.New(rand.NewPCG(seed, 0x0ca1e))
	conversion := 1 / (cfg.DisplayRate * float64(cfg.Oversample))
	s := &Scale{
		cfg: cfg, rng: rng, pan: pan{omega: cfg.Omega, zeta: cfg.Zeta}, span: conversion / subSpans,
		box: newBoxes(cfg.SincOrder, subSpans), filter: cfg.Filter.start(cfg.D()),
		flicker: newFlicker(cfg.Floor, conversion, rng), wander: newWander(cfg.Wander, conversion, rng),
		lamp: lamp{Sign: cfg.Sign}, wakeAt: math.Inf(1), awoke: math.Inf(-1),
	}
	s.nextLine = s.lineGap() * rng.Float64()
	return s
}

// Line is one line with what the world knows of that moment.
type Line struct {
	At     float64
	Bytes  []byte
	Steps  int  // displayed, in steps d
	Over   bool // overload: no value
	Stable bool // the scale's own sign
}

// Now is the time that the scale has come to.
func (s *Scale) Now() float64 { return float64(s.spans) * s.span }

// Push adds a force; its corners may not lie in the past.
func (s *Scale) Push(c []Point) { s.forces.add(c) }

// Hush loses all lines for a while.
func (s *Scale) Hush(from, to float64) { s.hush = [2]float64{from, to} }

// Off reports whether the scale has switched itself off.
func (s *Scale) Off() bool { return s.off }

// Wake presses the power key.
func (s *Scale) Wake() {
	if s.off && math.IsInf(s.wakeAt, 1) {
		s.wakeAt = s.Now() + s.cfg.Boot
	}
}

// Zero is what the display would be off by at an empty pan, in grams, without
// the scale's own zero taken off: drift and wander.
func (s *Scale) Zero() float64 { return s.cfg.Drift/60*s.Now() + s.wander.at }

// Rest tells since when the display has not changed by more than a step.
func (s *Scale) Rest() float64 { return s.Now() - s.still }

// Stable is the scale's own sign.
func (s *Scale) Stable() bool { return s.stable }

// Advance lets time pass and hands every line to emit.
func (s *Scale) Advance(seconds float64, emit func(Line)) {
	for end := s.Now() + seconds; s.Now() < end; {
		from := s.Now()
		s.spans++
		to := s.Now()
		mean := s.forces.move(&s.pan, from, to)
		s.creep += (mean - s.creep) * s.span / s.cfg.CreepTime
		raw := s.box.push((1+s.cfg.Gain)*mean + s.cfg.CreepShare*s.creep + s.Zero())
		if s.spans%subSpans == 0 {
			s.convert(raw)
		}
		for s.nextLine <= to {
			s.line(emit)
		}
		if s.cfg.Burst > 0 && to >= s.burstAt {
			for _, l := range s.waiting {
				l.At = to
				emit(l)
			}
			s.waiting, s.burstAt = s.waiting[:0], s.burstAt+s.cfg.Burst
		}
	}
}

// convert takes one conversion, and shows every so many of them.
func (s *Scale) convert(raw float64) {
	s.wander.next(s.rng)
	raw += s.cfg.White*s.rng.NormFloat64() + s.flicker.next(s.rng)
	if s.off {
		s.boot(raw)
		return
	}
	if since := s.Now() - s.awoke; since < switchOnTime {
		raw += switchOnStep * s.cfg.D() * (1 - since/switchOnTime)
	}
	s.fine = s.filter(raw)
	if s.spans/subSpans%s.cfg.Oversample == 0 {
		s.show()
	}
}

// The readings of the first moments after switching on are off by so many d
// (recorded stream).
const (
	switchOnStep = 5
	switchOnTime = 0.3
)

func (s *Scale) boot(raw float64) {
	if s.Now() < s.wakeAt {
		return
	}
	s.off, s.wakeAt, s.awoke = false, math.Inf(1), s.Now()
	s.filter = s.cfg.Filter.start(s.cfg.D())
	for range 400 { // the filter fills while the scale shows its first picture
		s.fine = s.filter(raw)
	}
	s.zero, s.still, s.nextLine = s.fine, s.Now(), s.Now()
	s.display, s.stable = switchOnStep, false
	s.lamp.reset()
}

func (s *Scale) show() {
	now, d := s.Now(), s.cfg.D()
	steps := (s.fine - s.zero) / d
	if s.cfg.Sticky == 0 || math.Abs(steps-float64(s.display)) > s.cfg.Sticky {
		s.display = int(math.Round(steps))
	}
	s.stable = s.lamp.see(now, s.display, steps)
	s.track(now, steps)
	if diff := s.display - s.stillAt; diff > 1 || diff < -1 {
		s.still, s.stillAt = now, s.display
	}
	if s.cfg.AutoOff > 0 && now-s.still > s.cfg.AutoOff {
		s.off = true
	}
}

func (s *Scale) track(now, steps float64) {
	d := s.cfg.D()
	switch s.cfg.Tracking {
	case Continuous:
		limit := trackLimit / s.cfg.DisplayRate
		if math.Abs(steps) <= trackBand {
			s.zero += math.Max(-limit, math.Min(limit, steps*trackShare)) * d
		}
	case Stepped:
		if now-s.fix < 1 {
			return
		}
		s.fix = now
		if math.Abs(steps) <= 1 && now-s.still >= 1 {
			s.zero += steps * d
		}
	}
}

// overBand is how many d above its capacity a scale still shows (usual in
// manuals).
const overBand = 9

// LineGap is the mean time between lines.
func (c Config) LineGap() float64 {
	if c.Uneven {
		return unevenMean
	}
	return float64(max(1, c.Every)) / (c.DisplayRate * float64(max(1, c.Repeat)))
}

// The uneven lines of a radio scale, as reported: mean, least and most seconds.
const (
	unevenMean  = 0.249
	unevenLeast = 0.166
	unevenMost  = 1.766
)

// line sends what is displayed.
func (s *Scale) line(emit func(Line)) {
	at := s.nextLine
	s.nextLine += s.lineGap()
	if s.off || at >= s.hush[0] && at < s.hush[1] {
		return
	}
	l := Line{At: at, Steps: s.display, Stable: s.Stable()}
	l.Over = float64(s.display) > s.cfg.Capacity/s.cfg.D()+overBand
	if l.Over {
		l.Stable = false
	}
	l.Bytes = write(s.cfg.Format, l.Steps, s.cfg.Places, l.Over, l.Stable)
	if s.cfg.Burst > 0 {
		s.waiting = append(s.waiting, l)
		return
	}
	emit(l)
}

// lineGap draws the time to the next line. Most uneven ones come shortly after
// the least, a few anywhere up to the most, which gives the reported mean and
// spread of 0.17 s.
func (s *Scale) lineGap() float64 {
	if !s.cfg.Uneven {
		return s.cfg.LineGap()
	}
	if s.rng.Float64() < 0.04 {
		return unevenLeast + (unevenMost-unevenLeast)*s.rng.Float64()
	}
	return math.Min(unevenMost, unevenLeast+0.053*s.rng.ExpFloat64())
}
