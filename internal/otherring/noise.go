package otherring

import (
	"math"
	"math/rand/v2"
)

// Noise is what else is heard in the kitchen.
type Noise string

// The noises; Kitchen is several of them at once.
const (
	Fan     Noise = "fan"
	Fridge  Noise = "fridge"
	Dishes  Noise = "dishes"
	Voices  Noise = "voices"
	Kitchen Noise = "kitchen"
)

// Noises are all.
var Noises = []Noise{Fan, Fridge, Dishes, Voices, Kitchen}

// noise renders n samples of a kind, of any level.
func (s *Scene) noise(kind Noise, n int, rng *rand.Rand) []float64 {
	out := make([]float64, n)
	switch kind {
	case Fan:
		s.fan(out, rng)
	case Fridge:
		s.fridge(out, rng)
	case Dishes:
		s.dishes(out, rng)
	case Voices:
		s.voice(out, rng)
	case Kitchen:
		for _, k := range []Noise{Fan, Fridge, Dishes, Voices} {
			if rng.IntN(3) == 0 {
				continue
			}
			part := s.noise(k, n, rng)
			level := (0.2 + rng.Float64()) / math.Sqrt(power(part, 0, n)+1e-30)
			for i := range out {
				out[i] += level * part[i]
			}
		}
		hiss(out, 0.05, rng)
	}
	hiss(out, 0.03*math.Sqrt(power(out, 0, n)), rng)
	return out
}

func hiss(out []float64, level float64, rng *rand.Rand) {
	for i := range out {
		out[i] += level * rng.NormFloat64()
	}
}

// fan is noise that falls by 3 to 6 dB an octave, and its blades.
func (s *Scene) fan(out []float64, rng *rand.Rand) {
	blades, tilt := 60+120*rng.Float64(), 0.05+0.3*rng.Float64()
	low := 0.0
	for i := range out {
		x := rng.NormFloat64()
		low += 0.05 * (x - low)
		t := float64(i) / inner
		out[i] = (low*3 + tilt*x) * (1 + 0.15*math.Sin(2*math.Pi*blades*t/5))
		out[i] += 0.3*math.Sin(2*math.Pi*blades*t) + 0.1*math.Sin(6*math.Pi*blades*t+1)
	}
}

// fridge is the mains' even harmonics and a compressor's whine.
func (s *Scene) fridge(out []float64, rng *rand.Rand) {
	whine := 700 + 2500*rng.Float64()
	level := 0.02 + 0.1*rng.Float64()
	var harmonics []float64
	for k := range 14 {
		harmonics = append(harmonics, rng.ExpFloat64()/float64(k+1))
	}
	const steady = 1e6 // s, against which a clip is nothing
	for k, a := range harmonics {
		decaying(out, 0, 2*s.hum*float64(k+1), steady, a, float64(k*k))
	}
	decaying(out, 0, whine, steady, level, 0)
	hiss(out, 0.03, rng)
}

// dishes are china and cutlery: clusters of partials from 900 Hz on that die within 100 ms.
func (s *Scene) dishes(out []float64, rng *rand.Rand) {
	for t := 0.3 * rng.ExpFloat64(); t < float64(len(out))/inner; t += 0.02 + 0.25*rng.ExpFloat64() {
		base, loud := 900*math.Pow(5, rng.Float64()), math.Exp(0.8*rng.NormFloat64())
		for range 6 + rng.IntN(6) {
			hz := base * (1 + 5*rng.Float64()*rng.Float64())
			decaying(out, t, hz, 0.004+0.05*rng.Float64()*rng.Float64(), loud*rng.Float64(), 6*rng.Float64())
		}
	}
	hiss(out, 0.05*math.Sqrt(power(out, 0, len(out))), rng)
}

// voice is a source of pulses through three resonances that wander from vowel to vowel, with
// hissed consonants and pauses between.
func (s *Scene) voice(out []float64, rng *rand.Rand) {
	vowels := [][3]float64{{730, 1090, 2440}, {270, 2290, 3010}, {300, 870, 2240}, {530, 1840, 2480}, {570, 840, 2410}}
	pitch := 95 + 130*rng.Float64()
	now := vowels[rng.IntN(len(vowels))]
	for i := 0; i < len(out); {
		span := int(inner * (0.06 + 0.2*rng.Float64()))
		what := rng.IntN(8)
		to := vowels[rng.IntN(len(vowels))]
		syllable := make([]float64, min(span, len(out)-i))
		if what < 2 {
			for k := range syllable {
				syllable[k] = 0.25 * rng.NormFloat64()
			}
			second(syllable, bandPass, 3500+4000*rng.Float64(), 1.5)
		} else if what < 7 {
			phase, bend := 0.0, 1+0.2*rng.NormFloat64()
			for k := range syllable {
				phase += pitch * (1 + (bend-1)*float64(k)/float64(span)) / inner
				if phase >= 1 {
					phase--
					syllable[k] = 1
				}
				syllable[k] += 0.01 * rng.NormFloat64()
			}
			for f := range now {
				second(syllable, lowPass, now[f], 5-float64(f))
				now[f] += (to[f] - now[f]) * 0.7
			}
		}
		for k := range syllable {
			rise := math.Min(1, math.Min(float64(k), float64(len(syllable)-k))/(inner*0.012))
			out[i+k] += syllable[k] * rise
		}
		i += max(len(syllable), 1)
	}
}

// power is the mean square of x from the sample a to b.
func power(x []float64, a, b int) float64 {
	a, b = max(0, a), min(len(x), b)
	sum := 0.0
	for _, v := range x[a:max(a, b)] {
		sum += v * v
	}
	return sum / float64(max(1, b-a))
}
