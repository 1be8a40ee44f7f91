package simring

import "math"

// addNoise adds a kitchen's, as the microphone hears it.
func (s Scene) addNoise(x []float64, ear microphone) {
	if s.Noise > 60 {
		for i := range x {
			x[i] += 1e-5 * s.Rand.NormFloat64()
		}
		return
	}
	// The tap's power in the 60 ms about the loudest.
	width := int(0.06 * s.Rate)
	best, sum := 0.0, 0.0
	for i, v := range x {
		sum += v * v
		if i >= width {
			sum -= x[i-width] * x[i-width]
		}
		best = max(best, sum)
	}
	noise := s.kitchen(len(x))
	ear.hear(noise)
	own := 0.0
	for _, v := range noise {
		own += v * v
	}
	loud := math.Sqrt(best / float64(width) / math.Pow(10, s.Noise/10) / (own / float64(len(noise))))
	for i, v := range noise {
		x[i] += loud * v
	}
}

// kitchen is noise of power one: air, pink and white, some hum, and half of it one more thing.
func (s Scene) kitchen(n int) []float64 {
	out := s.pink(n)
	mix := func(y []float64, share float64) {
		p := 1e-30
		for _, v := range y {
			p += v * v
		}
		a := math.Sqrt(share * float64(n) / p)
		for i, v := range y {
			out[i] += a * v
		}
	}
	white := make([]float64, n)
	for i := range white {
		white[i] = s.Rand.NormFloat64()
	}
	mix(white, s.between(0.1, 0.6))
	y := make([]float64, n)
	switch s.Rand.IntN(5) {
	case 0: // a fan: its blades' tone and air that comes and goes with it
		s.hum(y, s.between(80, 400), 6)
		mix(y, 0.5)
	case 1: // a refrigerator
		s.hum(y, 50, 12)
		mix(y, 0.7)
	case 2: // water: bubbles, each a short tone
		for range n / int(s.Rate*0.002) {
			at := s.Rand.IntN(n)
			ring(y[at:], s.between(400, 9000), s.Rand.Float64(), s.between(0.001, 0.008), 2*math.Pi*s.Rand.Float64(), s.Rate)
		}
		mix(y, 1)
	case 3: // crockery, now and then
		for range 1 + n/int(s.Rate*0.7) {
			s.crockery(y, s.Rand.IntN(n), s.Rand.Float64())
		}
		mix(y, 0.2)
	default:
		s.hum(y, 100, 2)
		mix(y, 0.1)
	}
	return out
}

// pink is noise of power one that falls by 3 dB an octave: the sum of filters of first order,
// each two octaves above the last.
func (s Scene) pink(n int) []float64 {
	out := make([]float64, n)
	for hz := 20.0; hz < 0.4*s.Rate; hz *= 4 {
		keep := math.Exp(-2 * math.Pi * hz / s.Rate)
		take := math.Sqrt(1 - keep*keep)
		v := 0.0
		for i := range out {
			v = v*keep + take*s.Rand.NormFloat64()
			out[i] += v
		}
	}
	p := 1e-30
	for _, v := range out {
		p += v * v
	}
	scale(out, math.Sqrt(float64(n)/p))
	return out
}

// hum is a tone and its harmonics, each weaker.
func (s Scene) hum(x []float64, hz float64, harmonics int) {
	for h := 1; h <= harmonics; h++ {
		a, phase := s.Rand.Float64()/float64(h), 2*math.Pi*s.Rand.Float64()
		for i := range x {
			x[i] += a * math.Sin(2*math.Pi*hz*float64(h)*float64(i)/s.Rate+phase)
		}
	}
}
