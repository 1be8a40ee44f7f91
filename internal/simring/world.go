// Package simring is the first world of rings: sounds that the ear in internal/ring is
// tuned on. What is measured here holds for this world; another one, by another hand, judges.
//
// A coin is a sum of damped sinusoids, its modes split in two, struck by wood for a fraction of
// a millisecond, with the room's early echoes; noise is a kitchen's: pink and white with hum.
package simring

import (
	"math"
	"math/rand/v2"
)

// Scene is what is rendered.
type Scene struct {
	Rate float64
	Rand *rand.Rand
	// Noise in dB: the ring's power in its first 60 ms over the noise's over the whole band.
	// Above 60: none.
	Noise float64
}

// Kind of sound.
type Kind string

// The kinds.
const (
	Coin     Kind = "coin"
	Click    Kind = "click"
	Voice    Kind = "voice"
	Music    Kind = "music"
	TwoCoins Kind = "two-coins"
	Bounce   Kind = "bounce"
	Silence  Kind = "silence"
	Clipping Kind = "clipping"
	Glass    Kind = "glass"
)

// Render gives seconds of sound: taps of the coin of those modes, or what the kind says. other
// are the modes of a second coin.
func (s Scene) Render(kind Kind, modes, other []float64, taps int) []float64 {
	n := int(s.Rate * (0.5 + 0.9*float64(max(taps, 1))))
	x := make([]float64, n)
	level := 0.25
	switch kind {
	case Silence:
		for i := range x {
			x[i] = 3e-5 * s.Rand.NormFloat64()
		}
		return x
	case Voice:
		s.voice(x)
	case Music:
		s.music(x)
	default:
		decays := make([]float64, len(modes))
		split := make([]float64, len(modes))
		for i := range decays {
			decays[i] = math.Exp(math.Log(0.02) + s.Rand.Float64()*math.Log(15)) // 20 to 300 ms
			split[i] = 0.004 * s.Rand.Float64()
		}
		for t := range max(taps, 1) {
			at := int(s.Rate * (0.35 + 0.9*float64(t) + 0.1*s.Rand.Float64()))
			switch kind {
			case Click:
				s.knock(x, at, 1)
			case Glass:
				base := 700 + 2500*s.Rand.Float64()
				s.strike(x, at, []float64{base, base * 2.32, base * 4.25, base * 6.6}, []float64{0.5, 0.35, 0.25, 0.2}, make([]float64, 4), 1)
			case Bounce:
				gap, a := 0.11+0.07*s.Rand.Float64(), 1.0
				for range 6 {
					s.strike(x, at, modes, decays, split, a)
					at += int(gap * s.Rate)
					gap *= 0.75
					a *= 0.75
				}
			case TwoCoins:
				s.strike(x, at, modes, decays, split, 1)
				s.strike(x, at, other, decays, split, 0.4+0.6*s.Rand.Float64())
			default:
				s.strike(x, at, modes, decays, split, 0.5+0.5*s.Rand.Float64())
			}
		}
	}
	top := 0.0
	for _, v := range x {
		top = max(top, math.Abs(v))
	}
	if top > 0 {
		for i := range x {
			x[i] *= level / top
		}
	}
	s.addNoise(x)
	if kind == Clipping {
		for i := range x {
			x[i] = max(-1, min(1, x[i]*12))
		}
	}
	return x
}

// strike adds a tap: each mode of a size that the place of the tap gives, the wood's knock.
func (s Scene) strike(x []float64, at int, modes, decays, split []float64, size float64) {
	contact := 0.00006 + 0.0001*s.Rand.Float64() // s
	for k, hz := range modes {
		a := size * math.Exp(-math.Pow(hz*contact, 2)) * (0.1 + 0.9*s.Rand.Float64())
		if k == 1 {
			a *= 0.5 // the finger's tip lies where (0,1) moves most
		}
		if k == 0 {
			a = size * math.Exp(-math.Pow(hz*contact, 2)) * (0.5 + 0.5*s.Rand.Float64())
		}
		share := 0.7 + 0.3*s.Rand.Float64()
		for half, f := range []float64{hz * (1 - split[k]/2), hz * (1 + split[k]/2)} {
			if f > 0.48*s.Rate {
				continue
			}
			b := a * share
			if half == 1 {
				b = a * (1 - share)
			}
			phase := 2 * math.Pi * s.Rand.Float64()
			for i := at; i < len(x); i++ {
				t := float64(i-at) / s.Rate
				if t > 8*decays[k] {
					break
				}
				rise := 1 - math.Exp(-t/0.0002)
				x[i] += b * rise * math.Exp(-t/decays[k]) * math.Sin(2*math.Pi*f*t+phase)
			}
		}
	}
	s.knock(x, at, size*0.4)
}

// knock is wood on something: low resonances that die at once, and a click.
func (s Scene) knock(x []float64, at int, size float64) {
	for range 4 {
		hz, decay, a := 300+2500*s.Rand.Float64(), 0.0015+0.003*s.Rand.Float64(), size*s.Rand.Float64()
		for i := at; i < min(at+int(0.04*s.Rate), len(x)); i++ {
			t := float64(i-at) / s.Rate
			x[i] += a * math.Exp(-t/decay) * math.Sin(2*math.Pi*hz*t)
		}
	}
	for i := at; i < min(at+int(0.0015*s.Rate), len(x)); i++ {
		x[i] += 0.3 * size * s.Rand.NormFloat64() * (1 - float64(i-at)/(0.0015*s.Rate))
	}
}

// voice: pulses of a gliding pitch through three resonances, syllables, hisses.
func (s Scene) voice(x []float64) {
	phase, f0 := 0.0, 100+130*s.Rand.Float64()
	formants := [3]float64{600, 1500, 2700}
	var y1, y2 [3]float64
	until, loud, hiss := 0, 0.0, false
	env := 0.0
	for i := range x {
		if i >= until {
			until = i + int(s.Rate*(0.05+0.2*s.Rand.Float64()))
			loud, hiss = s.Rand.Float64(), s.Rand.Float64() < 0.25
			formants = [3]float64{300 + 600*s.Rand.Float64(), 900 + 1400*s.Rand.Float64(), 2300 + 1200*s.Rand.Float64()}
		}
		env += (loud - env) * 0.002
		f0 *= 1 + 0.00002*s.Rand.NormFloat64()
		phase += f0 / s.Rate
		src := 0.0
		if phase >= 1 {
			phase--
			src = 20
		}
		if hiss {
			x[i] = env * 0.4 * s.Rand.NormFloat64()
			continue
		}
		out := 0.0
		for k, f := range formants {
			r := math.Exp(-math.Pi * 90 / s.Rate)
			y := src + 2*r*math.Cos(2*math.Pi*f/s.Rate)*y1[k] - r*r*y2[k]
			y2[k], y1[k] = y1[k], y
			out += y / float64(k+1)
		}
		x[i] = env * out
	}
}

// music: notes of some harmonics, plucked or blown, some of them high.
func (s Scene) music(x []float64) {
	for range 2 + len(x)/int(s.Rate)*5 {
		at := s.Rand.IntN(len(x))
		f := 110 * math.Pow(2, float64(s.Rand.IntN(60))/12)
		blown := s.Rand.Float64() < 0.5
		length := 0.2 + 0.6*s.Rand.Float64()
		for h := 1; h <= 8; h++ {
			if f*float64(h) > 0.45*s.Rate {
				break
			}
			a := s.Rand.Float64() / float64(h)
			for i := at; i < min(at+int(1.5*length*s.Rate), len(x)); i++ {
				t := float64(i-at) / s.Rate
				env := math.Exp(-t/length) * (1 - math.Exp(-t/0.003))
				if blown {
					env = math.Min(t/0.05, 1) * math.Max(0, math.Min(1, (1.5*length-t)/0.1))
				}
				x[i] += a * env * math.Sin(2*math.Pi*f*float64(h)*t)
			}
		}
	}
}

// addNoise adds a kitchen's: 60 % of its power pink, 30 % white, 10 % hum.
func (s Scene) addNoise(x []float64) {
	if s.Noise > 60 {
		for i := range x {
			x[i] += 1e-5 * s.Rand.NormFloat64()
		}
		return
	}
	// The ring's power in the 60 ms about the loudest.
	width := int(0.06 * s.Rate)
	best, sum := 0.0, 0.0
	for i, v := range x {
		sum += v * v
		if i >= width {
			sum -= x[i-width] * x[i-width]
		}
		best = max(best, sum)
	}
	power := best / float64(width) / math.Pow(10, s.Noise/10)
	noise := make([]float64, len(x))
	// A sum of first-order filters, an octave and a half apart.
	var b, keep, take [6]float64
	for k := range keep {
		keep[k] = 1 - math.Pow(0.25, float64(len(b)-1-k))*0.6
		take[k] = math.Sqrt(1 - keep[k]*keep[k])
	}
	var pinkPower float64
	pink := make([]float64, len(x))
	for i := range pink {
		w := s.Rand.NormFloat64()
		v := 0.0
		for k := range b {
			b[k] = b[k]*keep[k] + w*take[k]
			v += b[k]
		}
		pink[i] = v
		pinkPower += v * v
	}
	pinkPower /= float64(len(x))
	phase := 2 * math.Pi * s.Rand.Float64()
	for i := range noise {
		t := float64(i) / s.Rate
		noise[i] = math.Sqrt(0.6/pinkPower)*pink[i] + math.Sqrt(0.3)*s.Rand.NormFloat64() + math.Sqrt(0.2)*math.Sin(2*math.Pi*100*t+phase)
		x[i] += math.Sqrt(power) * noise[i]
	}
}
