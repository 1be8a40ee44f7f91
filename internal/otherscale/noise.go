package otherscale

import (
	"math"
	"math/rand/v2"
)

// floorPerSpread is the smallest Allan deviation of the flicker sum over the
// standard deviation of one of its parts, measured in the tests.
const floorPerSpread = 0.85

// flicker is a 1/f noise over about two decades of time: Ornstein-Uhlenbeck
// processes of equal variance with time constants spaced by four.
type flicker struct {
	spread float64
	keep   [5]float64
	state  [5]float64
}

func newFlicker(floor, dt float64, rng *rand.Rand) *flicker {
	f := &flicker{spread: floor / floorPerSpread}
	for i := range f.keep {
		f.keep[i] = math.Exp(-dt / (0.5 * math.Pow(4, float64(i))))
		f.state[i] = f.spread * rng.NormFloat64()
	}
	return f
}

func (f *flicker) next(rng *rand.Rand) float64 {
	sum := 0.0
	for i, k := range f.keep {
		f.state[i] = k*f.state[i] + math.Sqrt(1-k*k)*f.spread*rng.NormFloat64()
		sum += f.state[i]
	}
	return sum
}

// wander is a zero that walks both ways while a scale warms up: its slope is an
// Ornstein-Uhlenbeck process.
type wander struct {
	spread, keep float64 // of the slope, grams a second
	slope, at    float64
	dt           float64
}

// wanderTime is the time constant of the slope, in seconds.
const wanderTime = 60

func newWander(perMinute, dt float64, rng *rand.Rand) *wander {
	// The recorded extreme of about a dozen minutes is taken as two deviations.
	w := &wander{spread: perMinute / 60 / 2, keep: math.Exp(-dt / wanderTime), dt: dt}
	w.slope = w.spread * rng.NormFloat64()
	return w
}

func (w *wander) next(rng *rand.Rand) float64 {
	w.slope = w.keep*w.slope + math.Sqrt(1-w.keep*w.keep)*w.spread*rng.NormFloat64()
	w.at += w.slope * w.dt
	return w.at
}
