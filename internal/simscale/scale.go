package simscale

import (
	"math"
	"math/rand/v2"
	"time"

	"panside/internal/mass"
)

const (
	tick        = 0.001 // seconds of one step of the mechanics
	warmUpTime  = 900.0 // seconds, of the drift after switching on
	draughtTime = 0.7   // seconds, correlation time of a draught
)

// Display is what the scale shows. Value has the scale's own digits and means
// nothing when Over, Under or Off is set.
type Display struct {
	Value  mass.Decimal
	Stable bool
	Zero   bool // stable at the centre of zero
	Over   bool
	Under  bool
	Off    bool

	Unmarked bool // the scale has no stable sign
}

// Scale is one simulated scale. It is not safe for use by several goroutines
// at once.
type Scale struct {
	cfg Config
	rng *rand.Rand
	d   float64

	ticks  uint64
	now    float64 // seconds since it was switched on first
	onAt   float64
	coins  []coin
	forces []force

	y, v       float64 // position and speed of the load cell, in g and g/s
	ySum       float64 // of y since the last conversion
	ySteps     float64
	filter     filter
	filtered   float64
	nextSample float64
	nextLine   float64
	lines      int
	draught    float64

	zero, tare float64
	tareWanted bool
	nearZero   float64 // seconds
	recent     []int64 // steps shown at the last refreshes, newest last
	drifting   drifting
	steadying  steadying
	idleSince  float64
	display    Display
}

// New switches a scale on with an empty pan. A field of cfg that must be above
// zero and is not takes DefaultConfig's value.
func New(cfg Config) *Scale {
	def := DefaultConfig()
	if cfg.Resolution.Sign() <= 0 {
		cfg.Resolution = def.Resolution
	}
	if cfg.Filter == "" {
		cfg.Filter = def.Filter
	}
	for _, f := range []struct {
		field *float64
		value float64
	}{
		{(*float64)(&cfg.Capacity), float64(def.Capacity)}, {(*float64)(&cfg.UnderLimit), float64(def.UnderLimit)},
		{&cfg.LineRate, def.LineRate}, {&cfg.SampleRate, def.SampleRate}, {&cfg.NaturalHz, def.NaturalHz},
		{&cfg.Damping, def.Damping}, {&cfg.FilterTime, def.FilterTime},
	} {
		if *f.field <= 0 {
			*f.field = f.value
		}
	}
	if cfg.StableCount <= 0 {
		cfg.StableCount = def.StableCount
	}
	s := &Scale{
		cfg:    cfg,
		rng:    rand.New(rand.NewPCG(cfg.Seed, 0x5ca1e)),
		d:      cfg.Resolution.Float64(),
		filter: newFilter(cfg),
	}
	s.drifting.rng = rand.New(rand.NewPCG(cfg.Seed, 0xd21f7))
	s.powerOn()
	return s
}

// powerOn takes whatever lies on the pan as zero, as such scales do.
func (s *Scale) powerOn() {
	s.onAt, s.idleSince = s.now, s.now
	s.nextSample, s.nextLine, s.lines = s.now, s.now, 0
	s.tare, s.tareWanted, s.nearZero, s.recent = 0, false, 0, s.recent[:0]
	s.steadying = steadying{}
	s.y, s.v, s.ySum, s.ySteps = float64(s.Load()), 0, 0, 0
	s.filtered = s.filter.reset(s.sensed(s.y))
	s.zero = s.filtered
	s.display = Display{Value: mass.NewDecimal(0, uint8(s.cfg.Resolution.Places())), Zero: s.cfg.Sign != SignNone, Unmarked: s.cfg.Sign == SignNone}
}

// Wake presses the power key of a scale that has switched itself off.
func (s *Scale) Wake() {
	if s.display.Off {
		s.powerOn()
	}
}

// Touch tells the scale that somebody uses it (a key, a read command), which
// puts off its switching off. A scale that is off
// stays off.
func (s *Scale) Touch() { s.idleSince = s.now }

// Tare presses the tare key: the next stable value becomes zero.
func (s *Scale) Tare() {
	s.Touch()
	s.tareWanted = !s.display.Off
}

// Display is what the scale shows now.
func (s *Scale) Display() Display { return s.display }

// Config is the scale's description, with every gap filled.
func (s *Scale) Config() Config { return s.cfg }

// Step advances time and returns how many lines a scale that sends by itself
// sends meanwhile: one each time that its display is refreshed, or Repeat.
func (s *Scale) Step(dt time.Duration) (lines int) {
	end := s.now + dt.Seconds()
	for {
		next := float64(s.ticks+1) * tick
		if next > end+tick*1e-6 {
			return lines
		}
		s.ticks++
		s.now = next
		s.mechanics()
		if s.display.Off {
			continue
		}
		if s.now >= s.nextSample {
			s.nextSample += 1 / s.cfg.SampleRate
			s.convert()
		}
		if s.now >= s.nextLine {
			if s.lines%max(1, s.cfg.Repeat) == 0 {
				s.refresh()
			}
			s.lines++
			s.nextLine = s.lineAfter()
			lines++
		}
	}
}

func (s *Scale) mechanics() {
	f := 0.0
	for _, c := range s.coins {
		f += c.grams*(1+s.cfg.GainError) + c.offset
	}
	live := s.forces[:0]
	for _, p := range s.forces {
		t := s.now - p.began
		if t < p.lasts {
			f += p.at(t)
			live = append(live, p)
		}
	}
	clear(s.forces[len(live):])
	s.forces = live
	w := 2 * math.Pi * s.cfg.NaturalHz
	s.v += tick * (w*w*(f-s.y) - 2*s.cfg.Damping*w*s.v)
	s.y += tick * s.v
	s.ySum += s.y
	s.ySteps++
	s.drifting.creep(s.cfg, f)
}

// sensed is the signal for position y with its drift, in grams.
func (s *Scale) sensed(y float64) float64 {
	t := s.now
	return y + s.drifting.grams() + float64(s.cfg.Drift)*t/3600 + float64(s.cfg.WarmUp)*(1-math.Exp(-t/warmUpTime))
}

func (s *Scale) convert() {
	a := math.Exp(-1 / (s.cfg.SampleRate * draughtTime))
	s.draught = a*s.draught + math.Sqrt(1-a*a)*float64(s.cfg.Draught)*s.rng.NormFloat64()
	mean := s.ySum / s.ySteps // a sigma-delta converter averages over its period
	s.ySum, s.ySteps = 0, 0
	s.drifting.next(s.cfg)
	s.filtered = s.filter.next(s.sensed(mean) + s.draught + float64(s.cfg.Noise)*s.rng.NormFloat64())
}

func (s *Scale) refresh() {
	gross := s.filtered - s.zero
	net := gross - s.tare
	s.track(net)
	now := Display{
		Over:  gross > float64(s.cfg.Capacity)+9*s.d,
		Under: gross < -float64(s.cfg.UnderLimit),
	}
	if !now.Over && !now.Under {
		steps := int64(math.Round(net / s.d))
		step := s.cfg.Resolution
		now.Value = mass.NewDecimal(steps*stepCoefficient(step), uint8(step.Places()))
		now.Stable = s.steady(steps, net/s.d)
		now.Zero = now.Stable && steps == 0
	} else {
		s.recent, s.steadying = s.recent[:0], steadying{}
	}
	if !now.Stable {
		s.idleSince = s.now
	}
	if s.tareWanted && now.Stable {
		s.tare, s.tareWanted = gross, false
		s.recent, s.steadying = s.recent[:0], steadying{}
		now = Display{Value: mass.NewDecimal(0, uint8(s.cfg.Resolution.Places()))}
	}
	if s.cfg.AutoOff > 0 && s.now-s.idleSince > s.cfg.AutoOff.Seconds() {
		now = Display{Off: true}
	}
	if s.cfg.Sign == SignNone {
		now.Stable, now.Zero, now.Unmarked = false, false, true
	}
	s.display = now
}

// stepCoefficient is 5 for a step of 0.05, 1 for 0.01.
func stepCoefficient(step mass.Decimal) int64 {
	return int64(math.Round(step.Float64() * math.Pow10(step.Places())))
}
