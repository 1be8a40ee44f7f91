package simring

import "math"

// glass has a low tone and some above it that ring on for long.
func (s Scene) glass(x []float64, at int) {
	base := 700 + 2500*s.Rand.Float64()
	for k, times := range []float64{1, 2.32, 4.25, 6.6} {
		if hz := base * times; hz < 0.48*s.Rate {
			ring(x[at:], hz, 0.2+0.8*s.Rand.Float64(), []float64{0.5, 0.35, 0.25, 0.2}[k], 2*math.Pi*s.Rand.Float64(), s.Rate)
		}
	}
	s.knock(x, at, 0.3)
}

// crockery is a plate or a pan set down: many tones from 900 Hz up, none in the ratios of
// another, which die away in 8 to 60 ms, and the knock.
func (s Scene) crockery(x []float64, at int, size float64) {
	for range 8 + s.Rand.IntN(10) {
		ring(x[at:], s.between(900, 12000), size*s.Rand.Float64()*0.5, s.between(0.008, 0.06), 2*math.Pi*s.Rand.Float64(), s.Rate)
	}
	s.knock(x, at, size*0.5)
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
