package otherscale

import (
	"math"
	"math/rand/v2"
)

// Way is how a hand puts a coin down or takes it off.
type Way string

// The ways. Lifted takes a coin off, Pressed presses on it first.
const (
	Gentle  Way = "gentle"
	Dropped Way = "drop"
	Slid    Way = "slide"
	Leaned  Way = "lean"
	HalfWay Way = "two-stage"
	Spun    Way = "spin" // it rolls on its rim before it lies
	Lifted  Way = "lift"
	Pressed Way = "press-lift"
)

// Hand is what a hand does to the pan: a force, and when it first touches and
// last touches.
type Hand struct {
	Force       []Point
	Touch, Free float64
}

// Put lays a coin of so many grams down from a time on. The scale decides how
// long a rest half way seems one, and how hard a hand can lean at all.
func Put(way Way, grams, at float64, c Config, rng *rand.Rand) Hand {
	h := Hand{Touch: at}
	b := builder{at: at, rng: rng}
	b.corner(0, 0)
	switch way {
	case Dropped:
		b.drop(grams)
	case Slid:
		// The coin's rim comes over the pan's first, and the finger drags.
		b.ramp(0.1+0.2*rng.Float64(), grams*(0.3+0.4*rng.Float64()))
		b.tremble(0.1+0.3*rng.Float64(), grams*0.12)
		b.ramp(0.05+0.1*rng.Float64(), grams)
	case Spun:
		b.ramp(0.05, grams)
		b.spin(grams)
	case Leaned:
		// From a touch to many times the coin; a small scale goes over.
		lean := math.Min(grams*between(rng, 0.1, 12), 1.3*c.Capacity)
		b.ramp(0.03+0.12*rng.Float64(), grams*(0.2+0.8*rng.Float64())+lean)
		b.tremble(0.2+0.8*rng.Float64(), lean*(0.05+0.2*rng.Float64()))
		b.ramp(0.04+0.1*rng.Float64(), grams)
		b.sway(lean*0.01*rng.Float64(), rng)
	case HalfWay:
		b.ramp(0.05+0.1*rng.Float64(), grams*(0.4+0.2*rng.Float64()))
		b.corner(halfWayRest(c), b.force)
		b.ramp(0.05+0.1*rng.Float64(), grams*(1+0.03*rng.Float64()))
		b.ramp(0.1+0.2*rng.Float64(), grams)
	default:
		b.ramp(0.04+0.15*rng.Float64(), grams*(1+0.3*rng.Float64()*rng.Float64()))
		b.ramp(0.02+0.05*rng.Float64(), grams)
	}
	h.Force, h.Free = b.course, math.Max(b.free, h.Touch)
	if b.free == 0 {
		h.Free = b.at
	}
	return h
}

// halfWayRest is how long a load stands half put down: the display rests for a
// dozen lines or a little less than the sign needs, as it was recorded.
func halfWayRest(c Config) float64 {
	rest := 12 * c.LineGap()
	if c.Sign.Works() {
		rest = math.Min(rest, 0.8*c.Sign.Wait(c.DisplayRate))
	}
	return math.Min(0.6*c.Response(), 1.2) + rest
}

// Take lifts so many grams off.
func Take(way Way, grams, at float64, rng *rand.Rand) Hand {
	h := Hand{Touch: at}
	b := builder{at: at, rng: rng}
	b.corner(0, 0)
	if way == Pressed {
		press := grams * between(rng, 0.1, 6)
		b.ramp(0.03+0.1*rng.Float64(), press)
		b.tremble(0.1+0.5*rng.Float64(), press*(0.1+0.2*rng.Float64()))
	}
	b.ramp(0.03+0.12*rng.Float64(), -grams)
	h.Force, h.Free = b.course, b.at
	return h
}

// Knock shakes the table: a ringing of some hertz that dies out, on the mass of
// pan and load.
func Knock(at float64, rng *rand.Rand) Hand {
	b := builder{at: at, rng: rng}
	b.corner(0, 0)
	amplitude, hertz, fade := between(rng, 0.1, 6), between(rng, 3, 15), between(rng, 0.05, 0.35)
	if rng.IntN(2) == 0 {
		amplitude = -amplitude
	}
	for quarter := 1; float64(quarter)/(4*hertz) < 5*fade; quarter++ {
		t := float64(quarter) / (4 * hertz)
		b.ramp(1/(4*hertz), amplitude*math.Exp(-t/fade)*math.Sin(2*math.Pi*hertz*t))
	}
	b.ramp(0.02, 0)
	return Hand{Force: b.course, Touch: at, Free: b.at}
}

// sway lets what a hand has moved come to rest: up to a hundredth of its force
// dies out within two seconds of the last touch, as a raw cell showed.
func (b *builder) sway(left float64, rng *rand.Rand) {
	b.free = b.at
	fade, bare := 0.15+0.35*rng.Float64(), b.force
	for range 20 {
		left *= math.Exp(-0.2)
		b.corner(0.2*fade, bare+left)
	}
	b.corner(0.1, bare)
}

// spin rolls the coin on its rim, ever quicker and flatter: it swings about its
// weight by up to a sixth.
func (b *builder) spin(grams float64) {
	lasts := 0.3 + 0.9*b.rng.Float64()
	began, sign := b.at, 1.0
	for b.at < began+lasts {
		done := (b.at - began) / lasts
		b.ramp(1/(2*(4+14*done)), grams*(1+sign*0.16*(1-done)))
		sign = -sign
	}
	b.ramp(0.03, grams)
}

// Draft is moving air on the pan: for some seconds a force that comes and goes,
// with a standard deviation in grams.
func Draft(at, seconds, spread float64, rng *rand.Rand) Hand {
	b := builder{at: at, rng: rng}
	b.corner(0, 0)
	force := 0.0
	for b.at < at+seconds {
		force = 0.8*force + 0.6*spread*rng.NormFloat64()
		b.ramp(0.12, force)
	}
	b.ramp(0.1, 0)
	return Hand{Force: b.course, Touch: at, Free: b.at}
}

// builder makes a course corner by corner.
type builder struct {
	at, force float64
	free      float64 // when the hand was gone
	rng       *rand.Rand
	course    []Point
}

// corner holds the force for a while and then sets another.
func (b *builder) corner(after, force float64) {
	b.at, b.force = b.at+after, force
	b.course = append(b.course, Point{b.at, force})
}

func (b *builder) ramp(in, force float64) { b.corner(in, force) }

// tremble holds the force as a hand can: with slow swings and a quick tremor of
// some ten hertz.
func (b *builder) tremble(seconds, spread float64) {
	const step = 0.03
	centre, swing := b.force, 0.0
	for t := step; t < seconds; t += step {
		swing = 0.93*swing + 0.37*b.rng.NormFloat64()
		b.corner(step, math.Max(0, centre+spread*(swing+0.35*b.rng.NormFloat64())))
	}
}

// drop lets the coin fall some millimetres and bounce: each blow is a triangle
// of force with the momentum m·v·(1+e), between blows the pan is bare.
func (b *builder) drop(grams float64) {
	const gravity = 9.81
	speed := math.Sqrt(2 * gravity * between(b.rng, 0.001, 0.02))
	back := 0.2 + 0.3*b.rng.Float64()
	for {
		length := between(b.rng, 0.004, 0.015)
		// Its weight goes on during the blow.
		blow := 2*grams*speed*(1+back)/gravity/length + 2*grams
		b.ramp(length/2, blow)
		speed *= back
		flight := 2 * speed / gravity
		if flight < 0.008 {
			b.ramp(length/2, grams)
			return
		}
		b.ramp(length/2, 0)
		b.corner(flight, 0)
	}
}
