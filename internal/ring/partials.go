package ring

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/stable"
)

const (
	// lineAbove is the height of a line over the floor, as a power: 12.6 dB. In white noise
	// a bin reaches it once in 10⁸.
	lineAbove = 18.0
	// leastLevel is how far below the strongest a partial counts, dB.
	leastLevel = -34.0
	// split is how far apart, relative, two peaks are one mode's.
	split = 0.012
	// A second line so near stands over the skirt of the first by besideSkirt, over the floor by
	// besideHeight, and has besidePart of its power at least.
	besidePart   = 0.01
	besideHeight = 40.0
	besideSkirt  = 6.0
	// floorHz is how many Hz share a floor, and every how manyth bin it is taken of.
	floorHz    = 500.0
	floorEvery = 3
	// mostPartials are looked at, and mostLow below a coin's.
	mostPartials = 10
	mostLow      = 4
	// earlier is the most that a line may have had before the onset, as a part of what it has.
	earlier = 0.7
)

// The windows that lines are looked for under: from so long after the onset, rising for so long,
// falling to 1/e in so long; s. Of a damped sinusoid in noise the likelihood is largest under a
// window that dies away as it does. The later two begin when the knock has died away.
var windows = [...]struct{ after, rise, fall float64 }{
	{0.004, 0.003, 0.012}, {0.004, 0.003, 0.035}, {0.014, 0.005, 0.05}, {0.014, 0.005, 0.15},
}

// partial is a peak with what judging it needs.
type partial struct {
	Peak
	amplitude float64
	height    float64 // over the floor, as a power
	early     float64 // the line before the onset as a part of what it is
	under     int     // the window that it stood out most under
	width     float64 // Hz, from its peak to half its power, on the narrower side
	main      float64 // Hz of the clearest of the peaks that are one with it
	twin      float64 // how far another of them lies from that, relative

	envelope []float64
	noise    float64 // of the envelope, from before the onset
	spread   float64 // of the logarithm of the envelope about its line
	fitted   float64 // s of the envelope that the decay rests on, 0 for the window's
}

// spectrum is the power under one window.
type spectrum struct {
	power []float64
	floor []float64 // by blocks of floorHz
	sum   float64   // of the window's weights
	fall  float64
}

// dying fills into with the samples under a window from at on, or, mirrored, up to at.
func (l *listener) dying(into []float64, at, rise, fall float64, mirrored bool) (sum float64) {
	clear(into)
	start, way := int(at*l.rate), 1
	if mirrored {
		way = -1
	}
	up, end := int(rise*l.rate), min(int(tail*l.rate), len(into))
	keep := math.Exp(-1 / (fall * l.rate))
	w := 1.0
	for i := range end {
		j := start + way*i
		if j < 0 || j >= len(l.x) {
			break
		}
		v := w
		w *= keep
		if i < up {
			s := math.Sin(math.Pi / 2 * float64(i) / float64(up))
			v *= s * s
		}
		if left := end - i; 4*left < end { // so that it doesn't break off
			s := math.Sin(2 * math.Pi * float64(left) / float64(end))
			v *= s * s
		}
		into[i] = v * l.x[j]
		sum += v
	}
	return sum
}

// spectra are those after the onset under each of the windows, and those before it under the
// mirror images of the second and the last.
func (l *listener) spectra(at float64) (after [len(windows)]spectrum, before [2]spectrum) {
	n := l.fine.n
	for i := range after {
		after[i].power = make([]float64, n/2)
	}
	for i := 0; i < len(windows); i += 2 {
		for j, into := range [][]float64{l.one, l.two} {
			w := windows[i+j]
			after[i+j].sum, after[i+j].fall = l.dying(into, at+w.after, w.rise, w.fall, false), w.fall
		}
		l.fine.powers(l.one, l.two, after[i].power, after[i+1].power)
	}
	for i := range after {
		after[i].floor = l.floors(after[i].power)
	}
	for i, into := range [][]float64{l.one, l.two} {
		w := windows[1+2*i]
		before[i] = spectrum{power: make([]float64, n/2), fall: w.fall}
		before[i].sum = l.dying(into, at-0.006, w.rise, w.fall, true)
	}
	l.fine.powers(l.one, l.two, before[0].power, before[1].power)
	return after, before
}

// floors are the medians of the blocks of a spectrum, as means: of a noise's power, which
// is exponential, the mean is the median over ln 2.
func (l *listener) floors(p []float64) []float64 {
	size := int(floorHz / l.bin)
	out := make([]float64, len(p)/size)
	block := make([]float64, 0, size/floorEvery+1)
	for b := range out {
		block = block[:0]
		for k := b * size; k < (b+1)*size; k += floorEvery {
			block = append(block, p[k])
		}
		slices.Sort(block)
		out[b] = block[len(block)/2]/math.Ln2 + 1e-14
	}
	return out
}

// floorAt is the floor at a bin, on a line between the middles of blocks.
func (l *listener) floorAt(f []float64, k int) float64 {
	at := (float64(k)+0.5)/float64(int(floorHz/l.bin)) - 0.5
	b := int(math.Floor(at))
	if b < 0 {
		return f[0]
	}
	if b+1 >= len(f) {
		return f[len(f)-1]
	}
	t := at - float64(b)
	return f[b] + t*(f[b+1]-f[b])
}

// partials are the lines after an onset that weren't there before it, strongest first.
func (l *listener) partials(at float64) []partial {
	after, before := l.spectra(at)
	var all []partial
	for i := range after {
		if after[i].sum > 0 {
			all = append(all, l.lines(&after[i], &before[i/2], i)...)
		}
	}
	// The clearest first; the others of its window that are as near as a split mode's halves
	// are one with it, and what other windows show of it is left out.
	stable.Sort(all, func(a, b partial) int { return cmp.Compare(b.height, a.height) })
	var kept []partial
	var weights []float64
	high, low := 0, 0
	for _, q := range all {
		mine := -1
		for i := range kept {
			if math.Abs(q.Hz/kept[i].Hz-1) < split {
				mine = i
				break
			}
		}
		switch {
		case mine >= 0 && q.under == kept[mine].under:
			w := q.amplitude * q.amplitude
			if away := math.Abs(q.Hz/kept[mine].main - 1); away > kept[mine].twin && q.besides(&kept[mine]) {
				kept[mine].twin = away
			}
			kept[mine].Hz += (q.Hz - kept[mine].Hz) * w / (weights[mine] + w)
			weights[mine] += w
		case mine < 0 && q.Hz < lowest && low < mostLow, mine < 0 && q.Hz >= lowest && high < mostPartials:
			if q.Hz < lowest {
				low++
			} else {
				high++
			}
			kept, weights = append(kept, q), append(weights, q.amplitude*q.amplitude)
		}
	}
	stable.Sort(kept, func(a, b partial) int { return cmp.Compare(b.amplitude, a.amplitude) })
	// What is faint against the loudest that a coin may have is left out.
	loudest := 0.0
	for _, p := range kept {
		if p.Hz >= lowest {
			loudest = math.Max(loudest, p.amplitude)
		}
	}
	kept = slices.DeleteFunc(kept, func(p partial) bool { return 20*math.Log10(p.amplitude/loudest) < leastLevel })
	for i := range kept {
		kept[i].Level = 20 * math.Log10(kept[i].amplitude/kept[0].amplitude)
		l.decay(&kept[i], at)
	}
	return kept
}

// besides reports whether a peak near a clearer one is a line of its own, rather than noise on the
// skirt of the other, whose power falls as 1/(1 + (Δf/w)²) with its half width w.
func (q *partial) besides(p *partial) bool {
	away := (q.Hz - p.main) / p.width
	part := q.amplitude * q.amplitude / (p.amplitude * p.amplitude)
	return part > besidePart && q.height > besideHeight && part > besideSkirt/(1+away*away)
}

// halfWidth is how many bins from a peak the power is half of it, on the narrower side.
func halfWidth(p []float64, k int) float64 {
	least := float64(len(p))
	for _, way := range []int{-1, 1} {
		for i := 1; k+way*i >= 0 && k+way*i < len(p) && float64(i) < least; i++ {
			if p[k+way*i] < p[k]/2 {
				was, is := p[k+way*(i-1)], p[k+way*i]
				least = math.Min(least, float64(i-1)+(was-p[k]/2)/(was-is))
			}
		}
	}
	return least
}

// lines are the peaks of one spectrum that stand over its floor, over the skirt of its strongest
// and over what was there before.
func (l *listener) lines(s, was *spectrum, under int) (out []partial) {
	low, high := int(audible/l.bin), min(int(highest/l.bin), len(s.power)-2)
	top := low
	for k := low; k <= high; k++ {
		if s.power[k] > s.power[top] {
			top = k
		}
	}
	for k := low; k <= high; k++ {
		p := s.power
		if p[k] < p[k-1] || p[k] <= p[k+1] {
			continue
		}
		height := p[k] / l.floorAt(s.floor, k)
		skirt := math.Pi * s.fall * l.bin * float64(k-top)
		if height < lineAbove || k != top && p[k] < 6*p[top]/(1+skirt*skirt) {
			continue
		}
		a, b, c := math.Log(p[k-1]+1e-300), math.Log(p[k]), math.Log(p[k+1]+1e-300)
		d := (a - c) / (2 * (a - 2*b + c))
		q := partial{amplitude: 2 * math.Sqrt(math.Exp(b-(a-c)*d/4)) / s.sum, height: height, under: under}
		q.Hz, q.Decay = (float64(k)+d)*l.bin, s.fall
		q.main, q.width = q.Hz, l.bin*halfWidth(p, k)
		// Cramér–Rao for a sinusoid that dies away with the window in white noise, and what
		// a split mode leaves.
		q.U = math.Hypot(1/(2*math.Pi*s.fall*math.Sqrt(height)), q.Hz*0.001)
		if was.sum > 0 {
			before := 0.0
			for _, v := range was.power[k-2 : k+3] {
				before = math.Max(before, v)
			}
			q.early = 2 * math.Sqrt(before) / was.sum / q.amplitude
		}
		out = append(out, q)
	}
	return out
}
