package simring

import "math"

// room adds what walls and table send back: a dozen early reflections, then a tail that falls by
// 60 dB in 0.2 to 0.7 s.
func (s Scene) room(x []float64) {
	dry := append([]float64(nil), x...)
	loud := s.between(0.1, 0.5)
	add := func(delay, a float64) {
		d := int(delay * s.Rate)
		if s.Rand.IntN(2) == 0 {
			a = -a
		}
		for i := d; i < len(x); i++ {
			x[i] += a * dry[i-d]
		}
	}
	for range 12 {
		delay := s.between(0.0008, 0.03)
		add(delay, loud*s.Rand.Float64()*math.Sqrt(0.0008/delay))
	}
	fall := s.between(0.2, 0.7) / 6.9 // s in which the amplitude falls to 1/e
	for range 60 {
		delay := 0.02 + 3*fall*s.Rand.Float64()
		add(delay, 0.25*loud*math.Exp(-delay/fall)*s.Rand.NormFloat64())
	}
}

// filter is one of second order: b over a, a[0] is one.
type filter struct{ b0, b1, b2, a1, a2 float64 }

func (f filter) run(x []float64) {
	var x1, x2, y1, y2 float64
	for i, v := range x {
		y := f.b0*v + f.b1*x1 + f.b2*x2 - f.a1*y1 - f.a2*y2
		x2, x1, y2, y1 = x1, v, y1, y
		x[i] = y
	}
}

// microphone is a telephone's.
type microphone []filter

// microphone has a peak of up to 9 dB between 7 and 13 kHz, loses what is below 80 to 300 Hz and,
// above 15 kHz to the end, what is high. The filters are the bilinear transform’s.
func (s Scene) microphone() microphone {
	var out microphone
	w := func(hz float64) (c, alpha float64) {
		w := 2 * math.Pi * hz / s.Rate
		return math.Cos(w), math.Sin(w)
	}
	c, sn := w(s.between(80, 300))
	al := sn / (2 * math.Sqrt2 / 2)
	out = append(out, filter{(1 + c) / 2 / (1 + al), -(1 + c) / (1 + al), (1 + c) / 2 / (1 + al), -2 * c / (1 + al), (1 - al) / (1 + al)})
	c, sn = w(s.between(7000, 13000))
	al = sn / (2 * s.between(0.8, 2.5))
	a := math.Pow(10, 9*s.Rand.Float64()/40)
	out = append(out, filter{(1 + al*a) / (1 + al/a), -2 * c / (1 + al/a), (1 - al*a) / (1 + al/a), -2 * c / (1 + al/a), (1 - al/a) / (1 + al/a)})
	c, sn = w(s.between(15000, 20000))
	al = sn / (2 * math.Sqrt2 / 2)
	out = append(out, filter{(1 - c) / 2 / (1 + al), (1 - c) / (1 + al), (1 - c) / 2 / (1 + al), -2 * c / (1 + al), (1 - al) / (1 + al)})
	return out
}

func (m microphone) hear(x []float64) {
	for _, f := range m {
		f.run(x)
	}
}
