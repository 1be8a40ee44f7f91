package simscale

import (
	"math"
	"math/rand/v2"
)

// flickerTimes are the time constants, in seconds, of the first-order processes
// whose sum is the flicker: with equal variances and spaced by equal factors
// their spectrum is near 1/f between the ends.
var flickerTimes = [...]float64{0.3, 2, 13, 90}

// wanderTime is the correlation time of the wandering drift's rate, in seconds.
const wanderTime = 60.0

// drifting is what moves the signal without a change of load, beyond Drift and
// WarmUp. It has a generator of its own, so that scales without it are as they
// would be.
type drifting struct {
	rng     *rand.Rand
	begun   bool
	flicker [len(flickerTimes)]float64 // g
	rate    float64                    // g/s
	wander  float64                    // g
	late    float64                    // g, of the creep
}

func (d *drifting) grams() float64 {
	sum := d.wander + d.late
	for _, x := range d.flicker {
		sum += x
	}
	return sum
}

// next advances the random parts by one conversion. Each is an
// Ornstein–Uhlenbeck process, x ← a·x + √(1−a²)·σ·n with a = e^(−T/τ), begun in
// its stationary state.
func (d *drifting) next(cfg Config) {
	lag := func(x, tau, sd float64) float64 {
		a := math.Exp(-1 / (cfg.SampleRate * tau))
		if !d.begun {
			a = 0
		}
		return a*x + math.Sqrt(1-a*a)*sd*d.rng.NormFloat64()
	}
	if cfg.Flicker > 0 {
		sd := float64(cfg.Flicker) / math.Sqrt(float64(len(flickerTimes)))
		for i, tau := range flickerTimes {
			d.flicker[i] = lag(d.flicker[i], tau, sd)
		}
	}
	if cfg.Wander > 0 {
		d.rate = lag(d.rate, wanderTime, float64(cfg.Wander)/60)
		d.wander += d.rate / cfg.SampleRate
	}
	d.begun = true
}

// creep advances the creep under a force of f grams by a tick:
// late' = (Creep·f − late)/CreepTime.
func (d *drifting) creep(cfg Config, f float64) {
	if cfg.Creep != 0 && cfg.CreepTime > 0 {
		d.late += tick / cfg.CreepTime * (cfg.Creep*f - d.late)
	}
}
