package otherring

import (
	"math"
	"math/rand/v2"
)

// measured is the time after each tap over which its power is taken, s.
const measured = 0.1

// Rung is a clip of a coin tapped so many times, 0.3 to 1.5 s apart, in a noise of the kind, db
// under it. Samples are within ±1, at the scene's rate.
func (s *Scene) Rung(c Coin, taps int, kind Noise, db float64, rng *rand.Rand) []float64 {
	t := 0.25 + 0.2*rng.Float64()
	pace := 0.3 + 1.2*rng.Float64()*rng.Float64()
	times := make([]float64, taps)
	for i := range times {
		times[i] = t
		t += math.Min(1.5, math.Max(0.3, pace*(1+0.15*rng.NormFloat64())))
	}
	dry := make([]float64, int(inner*(times[taps-1]+0.5)))
	for _, at := range times {
		s.tap(dry, c, at, math.Exp(0.25*rng.NormFloat64()), rng)
	}
	return s.record(dry, times, kind, db, rng)
}

// record takes dry sound, with what begins at times in it, through room, noise and microphone.
func (s *Scene) record(dry, times []float64, kind Noise, db float64, rng *rand.Rand) []float64 {
	x := s.hall(dry)
	level, top := 0.0, 1e-9
	for _, t := range times {
		a := int(t * inner)
		level += power(x, a, a+int(measured*inner)) / float64(len(times))
	}
	for _, v := range x {
		top = math.Max(top, math.Abs(v))
	}
	if kind != "" {
		n := s.noise(kind, len(x), rng)
		gain := math.Sqrt(level / (power(n, 0, len(n)) + 1e-30) * math.Pow(10, -db/10))
		for i := range x {
			x[i] += gain * n[i]
		}
	}
	// A phone sets its gain so that little clips.
	for _, v := range x {
		top = math.Max(top, 0.7*math.Abs(v))
	}
	for i := range x {
		x[i] *= s.loud / top
	}
	s.microphone(x)
	return s.convert(x)
}
