package ring

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/stable"
)

// Something begins where the spectrum of a short frame stands out of that of the frames before
// it, bin by bin: see [listener.onsets].
const (
	frameLength = 256 // samples, 5 ms at 48 kHz
	hop         = 128
	// gap is how many hops back a frame shares no sample with this one, soon how many frames
	// before that are the last moment, and long how many the last while: 11 and 85 ms.
	gap  = 2
	soon = 4
	long = 32
	// fewest frames that something can be compared with.
	fewest = 8
	// hush is the power of a bin of noise of 5·10⁻⁵ of full scale: below it there is silence.
	hush = 2.5e-9 * frameLength * 3 / 8
	// risen is the mean of ln(1 + now/before) over the bins from which something began. In
	// steady noise it is 0.55, with a standard deviation of 0.06.
	begins = 0.85
	// width of an onset in hops, in which there is no other.
	width = 8
)

// onset is where something began.
type onset struct {
	at    float64 // s
	rise  float64 // mean logarithm over the bins
	broad float64 // share of the bins that rose fourfold
	power float64 // what the bins rose by
}

// framed adds to a list of spectra those of the frames that the samples now complete: as long as
// the window, step samples apart, two by one transform.
func (l *listener) framed(list [][]float64, f *fourier, window []float64, step int) [][]float64 {
	n := len(window)
	for start := len(list) * step; start+step+n <= len(l.x); start += 2 * step {
		a, b := make([]float64, n/2), make([]float64, n/2)
		for i, w := range window {
			l.one[i], l.two[i] = w*l.x[start+i], w*l.x[start+step+i]
		}
		f.powers(l.one[:n], l.two[:n], a, b)
		list = append(list, a, b)
	}
	return list
}

// onsets compares each frame with the larger of two means by bin, that of the last 11 ms
// and that of the last 85: what swells or beats never stands out of the first.
func (l *listener) onsets() []onset {
	bin := l.rate / frameLength
	low, high := int(300/bin)+1, min(int(highest/bin), frameLength/2-1)
	sums := make([]float64, high+1) // over the last while
	rises := make([]onset, len(l.frames))
	for t := range l.frames {
		if last := t - gap; last >= 0 {
			for k := low; k <= high; k++ {
				sums[k] += l.frames[last][k]
			}
		}
		n := min(t-gap+1, long)
		if first := t - gap - long; first >= 0 {
			for k := low; k <= high; k++ {
				sums[k] -= l.frames[first][k]
			}
		}
		if n < fewest {
			continue
		}
		o := &rises[t]
		product := 1.0
		for k := low; k <= high; k++ {
			recent := 0.0
			for i := range soon {
				recent += l.frames[t-gap-i][k]
			}
			before := math.Max(recent/soon, math.Max(sums[k], 0)/float64(n)) + hush
			now := l.frames[t][k]
			r := now / before
			if r > 4 {
				o.broad++
				o.power += now - before
			}
			if product *= 1 + r; product > 1e100 {
				o.rise += math.Log(product)
				product = 1
			}
		}
		o.rise = (o.rise + math.Log(product)) / float64(high-low+1)
		o.broad /= float64(high - low + 1)
	}
	var out []onset
	for t := range rises {
		if rises[t].rise < begins || !peak(rises, t) {
			continue
		}
		// It begins where it is half as far up.
		first := t
		for first > max(t-3, 0) && rises[first-1].rise > (rises[t].rise+0.55)/2 {
			first--
		}
		o := rises[t]
		o.at = (float64(first)*hop + 0.7*frameLength) / l.rate
		out = append(out, o)
	}
	// Lines that no blow is heard with.
	for _, at := range l.newLines() {
		near := slices.ContainsFunc(out, func(o onset) bool { return math.Abs(o.at-at) < lineFrame/2 })
		if !near {
			o := onset{at: at}
			for t := int(at*l.rate)/hop - width; t <= int(at*l.rate)/hop+width; t++ {
				if t >= 0 && t < len(rises) && rises[t].rise > o.rise {
					o = rises[t]
				}
			}
			o.at = at
			out = append(out, o)
		}
	}
	stable.Sort(out, func(a, b onset) int { return cmp.Compare(a.at, b.at) })
	return out
}

// A line in noise stands out of a longer frame only.
const (
	lineLength = 2048 // samples
	lineHop    = 512
	lineFrame  = 0.045 // s, about
	// apartFrames is how many hops back a frame shares no sample with this one.
	apartFrames = 5
	// newAbove is the height of a new line over the floor, as a power, and newRise by how much
	// it must rise.
	newAbove = 20.0
	newRise  = 6.0
	// floorBlock is how many of the bins share a floor.
	floorBlock = 32
)

// newLines is where lines begin, in s.
func (l *listener) newLines() (out []float64) {
	bin := l.rate / lineLength
	low, high := int(lowest/bin), min(int(highest/bin), lineLength/2-2)
	quiet := 0
	for t := apartFrames; t < len(l.longs); t++ {
		if t < quiet {
			continue
		}
		now, then := l.longs[t], l.longs[t-apartFrames]
		best := 0
		for k := low; k <= high; k++ {
			if now[k] < now[k-1] || now[k] < now[k+1] || best > 0 && now[k] < now[best] ||
				now[k] < newRise*max(then[k-1], then[k], then[k+1]) || now[k] < newAbove*floorOf(now, k) {
				continue
			}
			best = k
		}
		if best == 0 {
			continue
		}
		// It begins where its envelope is half as far up.
		from := max((t-1)*lineHop, 0)
		e := l.envelope(float64(best)*bin, from, min(t*lineHop+lineLength, len(l.x)))
		top := slices.Max(e)
		first := slices.IndexFunc(e, func(v float64) bool { return v > top/2 })
		out = append(out, (float64(from)+float64(first*int(envelopeStep*l.rate)))/l.rate)
		quiet = t + apartFrames
	}
	return out
}

// floorOf is the median of the bins about k, as a mean, and no less than silence.
func floorOf(p []float64, k int) float64 {
	var block [floorBlock]float64
	copy(block[:], p[min(max(k-floorBlock/2, 0), len(p)-floorBlock):])
	slices.Sort(block[:])
	return block[floorBlock/2]/math.Ln2 + hush*lineLength/frameLength
}

// peak reports whether nothing rises more nearby.
func peak(rises []onset, t int) bool {
	for i := max(t-width, 0); i <= min(t+width, len(rises)-1); i++ {
		if rises[i].rise > rises[t].rise || i < t && rises[i].rise == rises[t].rise {
			return false
		}
	}
	return true
}
