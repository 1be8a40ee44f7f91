package otherring

import (
	"math"
	"math/rand/v2"
)

// inner is the rate at which all is rendered, Hz; the converter makes the clip's own of it.
const inner = 48000.0

// Scene is a kitchen, a phone in it and a hand's way of tapping.
type Scene struct {
	Rate float64 // of the clip, Hz: 48000 or 44100
	Wood string  // what the coin is tapped with

	contact  float64 // s, of a usual blow
	knock    float64 // of the stick, which sounds far less than the coin
	fingerAt float64 // where the coin lies on the finger, of its radius from the middle
	finger   float64 // what the finger takes, 1/s at a mean height of the shape
	table    float64 // the first echo
	tableLag int
	echoes   []echo
	lowCut   float64 // the microphone's, Hz
	peak     float64 // its resonance, Hz
	peakGain float64
	highCut  float64
	hum      float64 // Hz of the mains
	loud     float64 // of the whole, against full scale
	clock    float64 // relative error of the converter's
}

// NewScene draws one.
func NewScene(rng *rand.Rand) *Scene {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	s := &Scene{
		Rate: 48000, fingerAt: 0.25 * rng.Float64() * rng.Float64(), finger: between(2, 14),
		table: between(0, 0.6), tableLag: int(inner * between(0.0003, 0.0016)),
		lowCut: between(60, 200), peak: between(6000, 14000), peakGain: between(0, 1.2), highCut: between(13000, 20000),
		hum: 60, loud: math.Pow(10, between(-24, -5)/20), clock: 100e-6 * rng.NormFloat64(),
	}
	s.echoes = echoesOf(math.Pow(10, between(-16, -5)/10), between(0.25, 0.8), rng)
	if rng.IntN(3) == 0 {
		s.Rate = 44100
	}
	if rng.IntN(3) == 0 {
		s.hum = 50
	}
	switch rng.IntN(4) {
	case 0:
		s.Wood, s.contact, s.knock = "soft pencil", between(90e-6, 180e-6), between(0.1, 0.8)
	case 1:
		s.Wood, s.contact, s.knock = "chopstick", between(50e-6, 110e-6), between(0.2, 1)
	case 2:
		s.Wood, s.contact, s.knock = "spoon of beech", between(60e-6, 140e-6), between(0.3, 1.5)
	case 3:
		s.Wood, s.contact, s.knock = "thin skewer", between(35e-6, 80e-6), between(0.05, 0.4)
	}
	return s
}

// blow is the spectrum of a half-sine of force, 1 at 0 Hz.
func blow(f, contact float64) float64 {
	x := 2 * f * contact
	if math.Abs(x-1) < 1e-6 {
		return math.Pi / 4
	}
	return math.Abs(math.Cos(math.Pi*f*contact) / (1 - x*x))
}

// decaying adds a damped sine that begins at t, a part of a sample exactly.
func decaying(out []float64, t, hz, decay, amplitude, phase float64) {
	if hz <= 0 || hz >= inner/2 || amplitude == 0 || t < 0 {
		return
	}
	first := int(math.Ceil(t * inner))
	lag := float64(first)/inner - t
	a := amplitude * math.Exp(-lag/decay)
	step, w := math.Exp(-1/(inner*decay)), 2*math.Pi*hz
	// Two terms of the sine's own recurrence instead of a sine a sample.
	y1, y2 := math.Sin(phase+w*(lag-1/inner))/step, math.Sin(phase+w*(lag-2/inner))/(step*step)
	y1, y2 = a*y1, a*y2
	c, d := 2*step*math.Cos(w/inner), step*step
	for i, last := first, first+int(9*decay*inner); i < last && i < len(out); i++ {
		y := c*y1 - d*y2
		out[i] += y
		y1, y2 = y, y1
	}
}

// tap adds one blow on the coin at t; force is 1 for a usual one.
func (s *Scene) tap(out []float64, c Coin, t, force float64, rng *rand.Rand) {
	contact := s.contact * math.Exp(0.15*rng.NormFloat64()) * math.Pow(force, -0.2)
	at, around := 0.55+0.43*rng.Float64(), 2*math.Pi*rng.Float64()
	onFinger := s.fingerAt + 0.05*rng.Float64()
	grip := s.finger * math.Exp(0.3*rng.NormFloat64())
	for _, m := range c.modes {
		shape := m.at(at) / m.norm
		held := m.at(onFinger) / m.norm
		for k, hz := range m.hz {
			turn := 1.0
			switch {
			case m.n == 0 && k == 1:
				continue
			case m.n > 0 && k == 0:
				turn = math.Cos(float64(m.n) * (around - m.turned))
			case m.n > 0:
				turn = math.Sin(float64(m.n) * (around - m.turned))
			}
			radiates := hz / (hz + 6000) * math.Exp(0.35*rng.NormFloat64())
			a := force * shape * turn * blow(hz, contact) * radiates
			loss := math.Pi*hz/m.q + grip*(0.3+held*held) + hz/3000
			decaying(out, t, hz, 1/loss, a, 2*math.Pi*rng.Float64())
		}
	}
	s.knocks(out, t, s.knock*force*0.12, rng)
}

// knocks adds what the stick and the finger give: a few short, low partials and a thud.
func (s *Scene) knocks(out []float64, t, level float64, rng *rand.Rand) {
	for range 4 + rng.IntN(4) {
		hz := 250 * math.Pow(16, rng.Float64())
		q := 12 + 30*rng.Float64() // of wood in a hand
		decaying(out, t, hz, q/(math.Pi*hz), level*(0.2+rng.Float64())*blow(hz, 2*s.contact), 2*math.Pi*rng.Float64())
	}
	// The blow's own crack, a few tenths of a millisecond of noise.
	first := int(t * inner)
	for i := range int(inner * 0.002) {
		if k := first + i; k >= 0 && k < len(out) {
			out[k] += level * 0.5 * rng.NormFloat64() * math.Exp(-float64(i)/(inner*3*s.contact))
		}
	}
}

// hall puts the table's echo and the room's reverberation to what is in the air.
func (s *Scene) hall(dry []float64) []float64 {
	wet := make([]float64, len(dry))
	copy(wet, dry)
	for i := s.tableLag; i < len(wet); i++ {
		wet[i] += s.table * dry[i-s.tableLag]
	}
	sound := append([]float64(nil), dry...)
	from := 0
	for k, e := range s.echoes {
		if k%(echoesPerSecond/16) == 0 && k > 0 {
			second(sound, lowPass, 16000/(1+float64(k)/echoesPerSecond*8), 0.6) // walls take the high first
			from = 0
		}
		for from < len(sound) && sound[from] == 0 {
			from++
		}
		for i := from; i+e.lag < len(wet); i++ {
			wet[i+e.lag] += e.gain * sound[i]
		}
	}
	return wet
}

// echoesPerSecond is dense enough that no ear tells them from a room's; a velvet of single
// echoes of random sign has no color of its own.
const echoesPerSecond = 800

type echo struct {
	lag  int
	gain float64
}

// echoesOf are those of a room, level being their energy against the direct sound.
func echoesOf(level, rt60 float64, rng *rand.Rand) []echo {
	var all []echo
	energy := 0.0
	for k := range int(echoesPerSecond * rt60 / 2.5) { // 24 dB are enough under any noise
		t := (float64(k) + rng.Float64()) / echoesPerSecond
		gain := math.Pow(10, -3*t/rt60)
		energy += gain * gain
		if rng.IntN(2) == 0 {
			gain = -gain
		}
		all = append(all, echo{int(inner * (t + 0.0035)), gain})
	}
	for i := range all {
		all[i].gain *= math.Sqrt(level / energy)
	}
	return all
}

// microphone is a high pass, a resonance and a low pass, each of second order.
func (s *Scene) microphone(x []float64) {
	second(x, highPass, s.lowCut, 0.7)
	boost := append([]float64(nil), x...)
	second(boost, bandPass, s.peak, 1.5)
	for i := range x {
		x[i] += s.peakGain * boost[i]
	}
	second(x, lowPass, s.highCut, 0.7)
}

type pass int

const (
	lowPass pass = iota
	highPass
	bandPass
)

// second filters in place by a section of second order from the bilinear transform.
func second(x []float64, kind pass, hz, q float64) {
	k := math.Tan(math.Pi * math.Min(hz, 0.49*inner) / inner)
	norm := 1 / (1 + k/q + k*k)
	b0, b1, b2 := k*k, 2*k*k, k*k
	switch kind {
	case highPass:
		b0, b1, b2 = 1, -2, 1
	case bandPass:
		b0, b1, b2 = k/q, 0, -k/q
	}
	a1, a2 := 2*(k*k-1)*norm, (1-k/q+k*k)*norm
	var x1, x2, y1, y2 float64
	for i, in := range x {
		y := norm*(b0*in+b1*x1+b2*x2) - a1*y1 - a2*y2
		x2, x1, y2, y1 = x1, in, y1, y
		x[i] = y
	}
}

// convert resamples to the clip's rate by a Hann-windowed sinc of 32 samples and rounds to 16
// bits; beyond full scale it clips.
func (s *Scene) convert(x []float64) []float64 {
	ratio := inner / s.Rate * (1 + s.clock)
	out := make([]float64, int(float64(len(x))/ratio))
	kernels := sincs(math.Min(1, 1/ratio))
	for i := range out {
		at := float64(i) * ratio
		whole := int(at)
		part := (at - float64(whole)) * phases
		a := int(part)
		near, far, t := &kernels[a], &kernels[a+1], part-float64(a)
		y := 0.0
		for k := max(0, reach-1-whole); k < 2*reach && whole+k-reach+1 < len(x); k++ {
			y += x[whole+k-reach+1] * (near[k] + t*(far[k]-near[k]))
		}
		out[i] = math.Round(32767*math.Max(-1, math.Min(1, y))) / 32768
	}
	return out
}

const (
	reach  = 16  // samples to either side
	phases = 512 // between two samples; between two phases lies a straight line
)

// sincs are the kernels of convert, by where between two samples the new one lies. What is
// above the share cut of half the rate is taken away.
func sincs(cut float64) *[phases + 1][2 * reach]float64 {
	var all [phases + 1][2 * reach]float64
	for p := range all {
		for k := range all[p] {
			d := float64(p)/phases - float64(k-reach+1)
			all[p][k] = cut * (0.5 + 0.5*math.Cos(math.Pi*d/(reach+1)))
			if math.Abs(d) > 1e-9 {
				all[p][k] *= math.Sin(math.Pi*cut*d) / (math.Pi * cut * d)
			}
		}
	}
	return &all
}
