package simring

import "math"

// coin is a disc as it lies on the finger's tip.
type coin []half

// half is one of the two that a mode is split in.
type half struct {
	hz, decay float64
	mode      int
	second    bool
}

// coin splits modes by up to a percent, and gives each a decay of 20 to 600 ms. One without nodal
// diameters is no pair, so nothing splits it.
func (s Scene) coin(modes []float64) (out coin) {
	for k, hz := range modes {
		split, decay := s.between(0.0005, 0.01), s.between(0.02, 0.6)
		for i, f := range []float64{hz * (1 - split/2), hz * (1 + split/2)} {
			long := decay * s.between(0.7, 1.4)
			switch whole := k < len(diameters) && diameters[k] == 0; {
			case !whole:
				out = append(out, half{f, long, k, i == 1})
			case i == 0:
				out = append(out, half{hz, long, k, false})
			}
		}
	}
	return out
}

// diameters are the nodal diameters of the modes: where a mode has some, the place of the tap
// against the split's axes says how much of each half is struck.
var diameters = [...]float64{2, 0, 3, 1, 4}

// tap strikes coins with wood, each as loud as chance gives it.
func (s Scene) tap(x []float64, at int, size float64, coins ...coin) {
	n := min(len(x)-at, int(2*s.Rate))
	if n <= 0 {
		return
	}
	struck := make([]float64, n)
	contact := s.between(0.0003, 0.002)
	for i, c := range coins {
		one := make([]float64, n)
		s.ring(one, c, contact)
		loud := 1.0
		if i > 0 {
			loud = s.between(0.4, 1) * math.Sqrt(power(struck, s.Rate)/power(one, s.Rate))
		}
		for j, v := range one {
			struck[j] += loud * v
		}
	}
	wood := make([]float64, n)
	s.knock(wood, 0, 1)
	scale(wood, math.Sqrt(power(struck, s.Rate)/power(wood, s.Rate))*math.Pow(10, s.Knock/20))
	whole := size / (loudest(struck) + loudest(wood))
	for i := range struck {
		x[at+i] += whole * (struck[i] + wood[i])
	}
}

// power of a tap in its first 20 ms.
func power(x []float64, rate float64) (sum float64) {
	for _, v := range x[:min(len(x), int(0.02*rate))] {
		sum += v * v
	}
	return sum + 1e-30
}

// ring adds a coin's halves. The force of wood that touches for T is half a sine:
//
//	|F(f)| ~ |cos(πfT)| / |1 − (2fT)²|
//
// and rough wood fills its holes.
func (s Scene) ring(x []float64, c coin, contact float64) {
	place := 2 * math.Pi * s.Rand.Float64()
	near := s.between(0.5, 1) // how far out the tap lies
	for _, h := range c {
		if h.hz > 0.48*s.Rate {
			continue
		}
		u := 2 * h.hz * contact
		a := math.Hypot(math.Cos(math.Pi/2*u), 0.3) / math.Abs(1-u*u)
		n := 0.0
		if h.mode < len(diameters) {
			n = diameters[h.mode]
		}
		switch {
		case n == 0:
			a *= 0.35 // the finger's tip lies where it moves most, and taps near its nodal circle
		case h.second:
			a *= math.Abs(math.Sin(n*place)) * math.Pow(near, n)
		default:
			a *= math.Abs(math.Cos(n*place)) * math.Pow(near, n)
		}
		decay := h.decay * math.Exp(0.3*s.Rand.NormFloat64())
		decay = max(0.015, min(0.7, decay))
		ring(x, h.hz, a, decay, 2*math.Pi*s.Rand.Float64(), s.Rate)
	}
}

// ring adds a damped sinusoid that rises in a fraction of a millisecond.
func ring(x []float64, hz, a, decay, phase, rate float64) {
	turn := complex(math.Cos(2*math.Pi*hz/rate), math.Sin(2*math.Pi*hz/rate))
	turn *= complex(math.Exp(-1/(decay*rate)), 0)
	z := complex(a*math.Cos(phase), a*math.Sin(phase))
	for i := range min(len(x), int(9*decay*rate)) {
		x[i] += imag(z) * (1 - math.Exp(-float64(i)/(0.0002*rate)))
		z *= turn
	}
}

// knock is wood on something: four to nine modes between 150 and 8000 Hz, and the blow itself,
// which has all frequencies for a millisecond or two. Wood loses a hundredth to a twentieth of its
// energy a radian (its loss factor η, from memory), so that a mode dies away to 1/e in 1/(πfη):
// 60 ms or so at 200 Hz, 4 at 3 kHz. Held in the hand it loses more.
func (s Scene) knock(x []float64, at int, size float64) {
	if at >= len(x) {
		return
	}
	loss := s.between(0.01, 0.05)
	for range 4 + s.Rand.IntN(6) {
		hz := s.between(150, 8000)
		decay := min(0.06, 1/(math.Pi*hz*loss*s.between(0.6, 1.6)))
		ring(x[at:], hz, size*s.Rand.Float64()*min(1, 2000/hz), decay, 2*math.Pi*s.Rand.Float64(), s.Rate)
	}
	length := s.between(0.0005, 0.003) * s.Rate
	loud := size * s.between(0.1, 1)
	was := 0.0
	for i := range int(6 * length) {
		if at+i >= len(x) {
			break
		}
		was = 0.5*was + s.Rand.NormFloat64()
		x[at+i] += loud * was * math.Exp(-float64(i)/length)
	}
}
