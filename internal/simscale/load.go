package simscale

import (
	"math"
	"math/rand/v2"

	"panside/internal/mass"
)

// How says how a coin reaches the pan.
type How string

// The ways of putting a coin down.
const (
	// Gentle: set down by the fingers within about a tenth of a second.
	Gentle How = "gentle"
	// Dropped: falls from a few centimetres, bounces and rings.
	Dropped How = "dropped"
	// SlowHand: let down over most of a second by a finger that presses and
	// trembles, then lets go.
	SlowHand How = "slow"
	// Leaning: put down with a finger that leans on it for 0.2 to 1 s, by a
	// tenth of the coin's weight to many times it, steady or not, and lets go.
	Leaning How = "leaning"
	// TwoStage: about half of the weight rests for 0.3 to 1.2 s, then the rest
	// comes.
	TwoStage How = "two-stage"
	// Sliding: pushed onto the pan over 0.3 to 0.6 s, by jerks.
	Sliding How = "sliding"
)

// force is something that acts on the pan for a while. at gives the force in
// grams t seconds after it began; once done it leaves nothing behind.
type force struct {
	began float64
	lasts float64
	at    func(t float64) float64
}

// coin is a load on the pan.
type coin struct {
	grams  float64
	offset float64 // this placement's own error
}

func uniform(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

// smooth rises from 0 to 1 over 0 ≤ x ≤ 1 with level ends.
func smooth(x float64) float64 {
	x = math.Max(0, math.Min(1, x))
	return x * x * (3 - 2*x)
}

// halfSine is a pulse of height 1 over 0 ≤ x ≤ 1, nothing outside.
func halfSine(x float64) float64 {
	if x <= 0 || x >= 1 {
		return 0
	}
	return math.Sin(math.Pi * x)
}

// landing gives the force that a coin of g grams adds to its own resting
// weight while it arrives: −g before it touches, 0 when it rests.
func landing(r *rand.Rand, g float64, how How) force {
	switch how {
	case Dropped:
		return drop(r, g)
	case SlowHand:
		return letDown(r, g)
	case Leaning:
		return lean(r, g)
	case TwoStage:
		return inTwo(r, g)
	case Sliding:
		return slide(r, g)
	}
	takes := uniform(r, 0.04, 0.14)
	knock := uniform(r, 0, 0.6) * g
	return force{lasts: takes + 0.03, at: func(t float64) float64 {
		return g*(smooth(t/takes)-1) + knock*halfSine((t-takes)/0.03)
	}}
}

// drop: the momentum of each bounce arrives in a pulse of 8 ms; the coin is in
// the air between bounces. The pulse's impulse equals the weight missing while
// it flies, so the mean force of a whole bounce is g, as mechanics demands.
// Then the coin rings down like a spun disk.
func drop(r *rand.Rand, g float64) force {
	const pulse = 0.008
	flight := uniform(r, 0.03, 0.07)
	keeps := uniform(r, 0.3, 0.5) // of the flight time, from bounce to bounce
	var hits, flights []float64
	end := 0.0
	for len(hits) < 4 && flight > 0.006 {
		hits, flights = append(hits, end), append(flights, flight)
		end += pulse + flight
		flight *= keeps
	}
	dies := uniform(r, 0.04, 0.12)
	rings := ringing(uniform(r, 0, 0.3)*g, uniform(r, 8, 20), dies)
	return force{lasts: end + 6*dies, at: func(t float64) float64 {
		if t >= end {
			return rings(t - end)
		}
		f := -g
		for i, hit := range hits {
			// A half sine of height h has the impulse 2h·pulse/π.
			h := g * (flights[i] + pulse) * math.Pi / (2 * pulse)
			f += h * halfSine((t-hit)/pulse)
		}
		return f
	}}
}

// letDown: the coin's weight comes on over most of a second while the finger
// presses by anything up to tens of grams, trembling, and then lets go.
func letDown(r *rand.Rand, g float64) force {
	takes := uniform(r, 0.3, 1.1)
	press := uniform(r, 0, 1)
	press = 30 * press * press * press
	stays := takes + uniform(r, 0.05, 0.5)
	leaves := uniform(r, 0.03, 0.08)
	tremble := tremor(r, 0.02*g+0.15*press+0.05)
	return force{lasts: stays + leaves, at: func(t float64) float64 {
		carried := g * (smooth(t/takes) - 1)
		hand := press*halfSine(t/stays*0.6) + tremble(t)
		// A finger can hold up what is there, and no more.
		return math.Max(-g, carried+hand*(1-smooth((t-stays)/leaves))*smooth(t/0.05))
	}}
}

// lifting gives the force left behind when g grams are picked up: the fingers
// press first, then the weight goes.
func lifting(r *rand.Rand, g float64) force {
	press := uniform(r, 1, 15)
	grasp := uniform(r, 0.1, 0.35)
	takes := uniform(r, 0.03, 0.12)
	return force{lasts: grasp + takes, at: func(t float64) float64 {
		return press*halfSine(t/grasp) + g*(1-smooth((t-grasp)/takes))
	}}
}

// knock is a blow against the table.
func knock(r *rand.Rand) force {
	height, pitch, dies := uniform(r, 5, 60), uniform(r, 6, 18), uniform(r, 0.05, 0.15)
	swing := ringing(height, pitch, dies)
	return force{lasts: 8 * dies, at: swing}
}

// ringing is a damped swing of a given height, pitch and time of decay. What
// rests before and after has gained no momentum, so its integral is nil: it is
// the derivative of h/ω·e^(−t/T)·sin ωt.
func ringing(height, pitch, dies float64) func(t float64) float64 {
	w := 2 * math.Pi * pitch
	return func(t float64) float64 {
		return height * math.Exp(-t/dies) * (math.Cos(w*t) - math.Sin(w*t)/(w*dies))
	}
}

// tremor is a hand's shaking: three sines between 3 and 10 Hz, of standard
// deviation sd together.
func tremor(r *rand.Rand, sd float64) func(t float64) float64 {
	var pitch, phase [3]float64
	for i := range pitch {
		pitch[i], phase[i] = 2*math.Pi*uniform(r, 3, 10), uniform(r, 0, 2*math.Pi)
	}
	height := sd * math.Sqrt(2.0/3)
	return func(t float64) float64 {
		f := 0.0
		for i := range pitch {
			f += height * math.Sin(pitch[i]*t+phase[i])
		}
		return f
	}
}

// Put adds a coin of some grams to the pan, in one of the ways of How.
func (s *Scale) Put(grams mass.Grams, how How) {
	s.Touch()
	g := float64(grams)
	s.coins = append(s.coins, coin{g, float64(s.cfg.Placement) * s.rng.NormFloat64()})
	s.push(landing(s.rng, g, how))
}

// Lift takes the coin nearest in weight to grams off the pan. With no coin
// there it does nothing and returns false.
func (s *Scale) Lift(grams mass.Grams) bool {
	s.Touch()
	if len(s.coins) == 0 {
		return false
	}
	best := 0
	for i, c := range s.coins {
		if math.Abs(c.grams-float64(grams)) < math.Abs(s.coins[best].grams-float64(grams)) {
			best = i
		}
	}
	g := s.coins[best].grams
	s.coins = append(s.coins[:best], s.coins[best+1:]...)
	s.push(lifting(s.rng, g))
	return true
}

// Clear takes everything off at once.
func (s *Scale) Clear() {
	s.Touch()
	if g := float64(s.Load()); g != 0 {
		s.coins = nil
		s.push(lifting(s.rng, g))
	}
}

// Sweep takes everything off at once as a feeder's arm does: without a finger
// that presses first.
func (s *Scale) Sweep() {
	s.Touch()
	g, takes := float64(s.Load()), uniform(s.rng, 0.02, 0.06)
	s.coins = nil
	s.push(force{lasts: takes, at: func(t float64) float64 { return g * (1 - smooth(t/takes)) }})
}

// Bump knocks against the table.
func (s *Scale) Bump() { s.push(knock(s.rng)) }

// Press rests a trembling finger on the pan for a while.
func (s *Scale) Press(grams mass.Grams, seconds float64) {
	s.Touch()
	tremble := tremor(s.rng, 0.1*math.Abs(float64(grams))+0.05)
	s.push(force{lasts: seconds, at: func(t float64) float64 {
		return (float64(grams) + tremble(t)) * smooth(t/0.05) * (1 - smooth((t-seconds+0.05)/0.05))
	}})
}

func (s *Scale) push(f force) {
	f.began = s.now
	s.forces = append(s.forces, f)
}

// Load is the true mass on the pan, whatever the scale shows of it.
func (s *Scale) Load() mass.Grams {
	sum := 0.0
	for _, c := range s.coins {
		sum += c.grams
	}
	return mass.Grams(sum)
}

// Quiet reports whether no hand, bounce or knock acts on the pan.
func (s *Scale) Quiet() bool { return len(s.forces) == 0 }
