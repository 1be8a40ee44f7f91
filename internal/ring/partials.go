package ring

import "math"

const (
	ringLength = 4096 // samples looked at for partials, 85 ms at 48 kHz
	ringRise   = 0.003
	// leastLevel is how far below the strongest a partial counts, dB.
	leastLevel = -34.0
	// beside is how near, in Hz, two peaks are one mode's, split, or a window's side.
	beside = 90.0
	// mostPartials are looked at.
	mostPartials = 12
)

// partial is a peak with what judging it needs.
type partial struct {
	Peak
	amplitude float64
	height    float64 // over the floor, as a power
	envelope  []float64
	noise     float64 // of the envelope, from before the onset
	spread    float64 // of the logarithm of the envelope about its line
	early     float64 // the envelope before the onset as a part of its top
}

// ringWindow rises in 3 ms and falls over the rest, both as sin².
func ringWindow(rate float64) []float64 {
	w := make([]float64, ringLength)
	rise := int(ringRise * rate)
	for i := range w {
		var s float64
		if i < rise {
			s = math.Sin(math.Pi / 2 * float64(i) / float64(rise))
		} else {
			s = math.Cos(math.Pi / 2 * float64(i-rise) / float64(ringLength-rise))
		}
		w[i] = s * s
	}
	return w
}

// partials are the lines after an onset, strongest first.
func (l *listener) partials(at float64) []partial {
	from := int(at * l.rate)
	to := min(from+ringLength, len(l.x))
	if to-from < ringLength/4 {
		return nil
	}
	p := make([]float64, ringLength/2)
	newFourier(ringLength).power(l.x[from:to], ringWindow(l.rate), p)
	f := floors(p)
	bin := l.rate / ringLength
	var out []partial
	low, high := int(audible/bin), min(int(highest/bin), len(p)-2)
	for k := low; k <= high; k++ {
		if p[k] < p[k-1] || p[k] <= p[k+1] {
			continue
		}
		height := p[k] / floorAt(f, k)
		if height < lineAbove {
			continue
		}
		a, b, c := math.Log(p[k-1]), math.Log(p[k]), math.Log(p[k+1])
		d := (a - c) / (2 * (a - 2*b + c))
		out = append(out, partial{Peak: Peak{Hz: (float64(k) + d) * bin}, amplitude: math.Sqrt(math.Exp(b - (a-c)*d/4)), height: height})
	}
	strongestFirst(out)
	var kept []partial
	for _, q := range out {
		near := false
		for _, k := range kept {
			near = near || math.Abs(k.Hz-q.Hz) < beside
		}
		if q.Level = 20 * math.Log10(q.amplitude/out[0].amplitude); near || q.Level < leastLevel || len(kept) == mostPartials {
			continue
		}
		kept = append(kept, q)
	}
	for i := range kept {
		l.decay(&kept[i], at)
	}
	return kept
}

func strongestFirst(p []partial) {
	for i := 1; i < len(p); i++ {
		for j := i; j > 0 && p[j].amplitude > p[j-1].amplitude; j-- {
			p[j], p[j-1] = p[j-1], p[j]
		}
	}
}

// The envelope's width and step, in s.
const (
	envelopeWidth = 0.010
	envelopeStep  = 0.0025
	// envelopeFrom is the step at which the line through it begins.
	envelopeFrom = 3
)

// decay measures how a partial dies away: the slope of a line through the logarithm of its
// envelope while that stands clear of the noise.
func (l *listener) decay(p *partial, at float64) {
	width, step := int(envelopeWidth*l.rate), int(envelopeStep*l.rate)
	start := int(at * l.rate)
	// Noise and what was there: from 80 to 12 ms before.
	past := l.envelope(p.Hz, max(start-int(0.08*l.rate), 0), max(start-int(0.012*l.rate), 0), width, step)
	sum := 0.0
	for _, v := range past {
		sum += v * v
	}
	if len(past) > 0 {
		p.noise = math.Sqrt(sum / float64(len(past)))
	}
	p.envelope = l.envelope(p.Hz, start, min(start+int(tail*l.rate), len(l.x)-width/2), width, step)
	top := 0.0
	for _, v := range p.envelope[:min(len(p.envelope), 12)] {
		top = math.Max(top, v)
	}
	if top > 0 {
		p.early = p.noise / top
	}
	var n, st, sy, stt, sty float64
	var ts, ys []float64
	for i := envelopeFrom; i < len(p.envelope); i++ {
		if p.envelope[i] < 2*p.noise || p.envelope[i] < top/50 {
			break
		}
		t, y := float64(i)*envelopeStep, math.Log(p.envelope[i])
		ts, ys = append(ts, t), append(ys, y)
		n, st, sy, stt, sty = n+1, st+t, sy+y, stt+t*t, sty+t*y
	}
	if n < 3 {
		p.Decay = envelopeStep
	} else {
		slope := (n*sty - st*sy) / (n*stt - st*st)
		mean := (sy - slope*st) / n
		for i := range ts {
			d := ys[i] - mean - slope*ts[i]
			p.spread += d * d
		}
		p.spread = math.Sqrt(p.spread / n)
		p.Decay = 10.0 // doesn't die away
		if slope < -0.1 {
			p.Decay = -1 / slope
		}
	}
	// Cramér–Rao for a sinusoid of the window's effective length in white noise, and a fifth of
	// a bin for a split mode.
	bin := l.rate / ringLength
	p.U = math.Hypot(0.55*bin/math.Sqrt(p.height), bin/5)
}
