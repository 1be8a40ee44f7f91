package ring

import "math"

const (
	// The envelope's width and step, in s.
	envelopeWidth = 0.010
	envelopeStep  = 0.0025
	// envelopeFrom is the step at which the line through it begins: when the knock has died.
	envelopeFrom = 5
	// beats is how many steps a beat of a split mode may last.
	beats = 24
)

// envelope is the amplitude of a line from one sample to another, every step samples, each
// over width samples under a Hann window that is centred there.
func (l *listener) envelope(hz float64, from, to int) []float64 {
	width, step := int(envelopeWidth*l.rate), int(envelopeStep*l.rate)
	w := l.narrow
	norm := 0.0
	for _, v := range w {
		norm += v
	}
	cs, sn := make([]float64, width), make([]float64, width)
	turn := 2 * math.Pi * hz / l.rate
	for i := range cs {
		s, c := math.Sincos(turn * float64(i))
		sn[i], cs[i] = w[i]*s, w[i]*c
	}
	out := make([]float64, 0, max(to-from, 0)/step+1)
	for c := from; c < to; c += step {
		re, im := 0.0, 0.0
		first := c - width/2
		for i := max(0, -first); i < min(width, len(l.x)-first); i++ {
			v := l.x[first+i]
			re += v * cs[i]
			im += v * sn[i]
		}
		out = append(out, 2*math.Hypot(re, im)/norm)
	}
	return out
}

// decay measures how a partial dies away: the slope of a line through the logarithm of its
// envelope while that stands clear of the noise. A mode split in two beats, so what counts is
// the largest of the next moments. Too weak a line keeps the decay of the window that found it.
func (l *listener) decay(p *partial, at float64) {
	start := int(at * l.rate)
	// Noise and what was there: from 80 to 12 ms before.
	past := l.envelope(p.Hz, max(start-int(0.08*l.rate), 0), max(start-int(0.012*l.rate), 0))
	sum := 0.0
	for _, v := range past {
		sum += v * v
	}
	if len(past) > 0 {
		p.noise = math.Sqrt(sum / float64(len(past)))
	}
	p.envelope = l.envelope(p.Hz, start, min(start+int(tail*l.rate), len(l.x)-int(envelopeWidth*l.rate)/2))
	upper := make([]float64, len(p.envelope))
	for i := range upper {
		for _, v := range p.envelope[i:min(i+beats, len(upper))] {
			upper[i] = math.Max(upper[i], v)
		}
	}
	if len(upper) <= envelopeFrom {
		return
	}
	top := upper[envelopeFrom]
	var n, st, sy, stt, sty float64
	var ts, ys []float64
	for i := envelopeFrom; i < len(upper); i++ {
		if upper[i] < 2.5*p.noise || upper[i] < top/50 {
			break
		}
		t, y := float64(i)*envelopeStep, math.Log(upper[i]*upper[i]-2*p.noise*p.noise)/2
		ts, ys = append(ts, t), append(ys, y)
		n, st, sy, stt, sty = n+1, st+t, sy+y, stt+t*t, sty+t*y
	}
	if n < 6 {
		return
	}
	slope := (n*sty - st*sy) / (n*stt - st*st)
	mean := (sy - slope*st) / n
	for i := range ts {
		d := ys[i] - mean - slope*ts[i]
		p.spread += d * d
	}
	p.spread = math.Sqrt(p.spread / n)
	p.fitted = n * envelopeStep
	p.Decay = 10.0 // doesn't die away
	if slope < -0.1 {
		p.Decay = -1 / slope
	}
}
