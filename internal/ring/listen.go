package ring

import (
	"math"
	"slices"

	"panside/internal/stable"
)

// How an onset is found. The test of each stands in world_test.go.
const (
	frameLength = 2048 // samples, 43 ms at 48 kHz
	hop         = 512
	// before is how many hops earlier a frame shares no sample with this one.
	before = 5
	// lineAbove is the height of a line over the floor, as a power: 14 dB. In white noise
	// a bin reaches it once in 10⁸.
	lineAbove = 25.0
	// lineRise is by how much a line must rise to be new: 10 dB.
	lineRise = 10.0
	// knock is by how much the whole band must rise for a tap without lines: 8 dB.
	knock = 6.0
	// lowest and highest partial of a coin, in Hz, and the lowest line looked at.
	lowest  = 3200.0
	highest = 22000.0
	audible = 400.0
	// quiet is the mean square below which there is silence: −66 dB of full scale.
	quiet = 2.5e-7
	// settle is how long nothing new is looked for after an onset, tail how much of the
	// sound after it is looked at; s.
	settle = 0.08
	tail   = 0.30
	// apart is how far taps must lie apart not to be a coin that bounces, s.
	apart = 0.24
	// among is how near to words, notes and bounces a ring isn't believed, s.
	among = 1.2
)

// slowest is the lowest rate of samples that is enough, in Hz.
const slowest = 32000

// Listen finds the rings in a clip of one channel, full scale ±1, at least 32,000 samples a
// second. Samples that aren't numbers are taken for zero.
func Listen(samples []float64, rate float64) Heard {
	if !(rate >= slowest) || len(samples) < 2*frameLength {
		return Heard{Refused: []Refusal{{0, Silence}}}
	}
	x := make([]float64, len(samples))
	power := 0.0
	for i, v := range samples {
		if v == v && !math.IsInf(v, 0) {
			x[i] = v
			power += v * v
		}
	}
	if power/float64(len(x)) < quiet/100 || loudest(x) < 2e-3 {
		return Heard{Refused: []Refusal{{0, Silence}}}
	}
	l := newListener(x, rate)
	var out Heard
	onsets := l.onsets()
	for n := 0; n < len(onsets); n++ {
		at := onsets[n]
		// Taps that follow too soon are one event: a coin that bounces.
		last := n
		for last+1 < len(onsets) && onsets[last+1].at-onsets[last].at < apart {
			last++
		}
		peaks, why := l.event(at)
		if (why == "" || why == Glass) && last > n {
			why = Bounce
		}
		n = last
		if why != "" {
			out.Refused = append(out.Refused, Refusal{at.at, why})
			continue
		}
		out.Rings = append(out.Rings, Ring{at.at, peaks})
	}
	out.trust()
	if len(out.Rings)+len(out.Refused) == 0 {
		out.Refused = []Refusal{{0, Faint}}
	}
	return out
}

// trust takes back rings that lie among sounds of another kind: between words and notes one is
// now and then like a coin's, and a coin that bounced rings on.
func (h *Heard) trust() {
	h.Rings = slices.DeleteFunc(h.Rings, func(r Ring) bool {
		for _, o := range h.Refused {
			switch o.Why {
			case Voice, Music, Bounce, TwoCoins:
				if math.Abs(o.At-r.At) < among {
					return true
				}
			}
		}
		return false
	})
}

func loudest(x []float64) float64 {
	top := 0.0
	for _, v := range x {
		top = max(top, math.Abs(v))
	}
	return top
}

// listener holds a clip and its frames.
type listener struct {
	x      []float64
	rate   float64
	frames [][]float64 // power by bin
	floors [][]float64 // of blocks of bins
	bin    float64     // Hz
}

// floorBlock is how many bins share a floor.
const floorBlock = 32

func newListener(x []float64, rate float64) *listener {
	l := &listener{x: x, rate: rate, bin: rate / frameLength}
	f, w := newFourier(frameLength), hann(frameLength)
	for start := 0; start+frameLength <= len(x); start += hop {
		p := make([]float64, frameLength/2)
		f.power(x[start:start+frameLength], w, p)
		l.frames = append(l.frames, p)
		l.floors = append(l.floors, floors(p))
	}
	return l
}

// floors are the medians of the blocks of a spectrum, as means: of a noise's power, which
// is exponential, the mean is the median over ln 2.
func floors(p []float64) []float64 {
	out := make([]float64, len(p)/floorBlock)
	var block [floorBlock]float64
	for b := range out {
		copy(block[:], p[b*floorBlock:])
		slices.Sort(block[:])
		out[b] = block[floorBlock/2]/math.Ln2 + 1e-14
	}
	return out
}

// floorAt is the floor at a bin, on a line between the middles of blocks.
func floorAt(f []float64, k int) float64 {
	at := (float64(k)+0.5)/floorBlock - 0.5
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

// onset is where something began.
type onset struct {
	at     float64 // s
	hz     float64 // of the strongest new line, 0 for none
	height float64 // of that over the floor
}

// onsets are found frame by frame: where a line is new, or the band's power is.
func (l *listener) onsets() []onset {
	var out []onset
	low, high := int(audible/l.bin), min(int(highest/l.bin), frameLength/2-2)
	band := int(lowest / l.bin)
	quietFor := 0 // the frame up to which nothing is looked for
	for t := before; t < len(l.frames); t++ {
		if t < quietFor {
			continue
		}
		now, then := l.frames[t], l.frames[t-before]
		best, height := 0, 0.0
		sum, was := 0.0, 1e-12
		for k := low; k <= high; k++ {
			if k >= band {
				sum += now[k]
				was += then[k]
			}
			if now[k] < now[k-1] || now[k] < now[k+1] {
				continue
			}
			h := now[k] / floorAt(l.floors[t], k)
			if h < lineAbove || now[k] < lineRise*max(then[k-1], then[k], then[k+1]) {
				continue
			}
			if now[k] > height*1 && (best == 0 || now[k] > now[best]) {
				best, height = k, h
			}
		}
		if best == 0 && sum < knock*was {
			continue
		}
		o := onset{height: height}
		if best > 0 {
			o.hz = float64(best) * l.bin
		}
		o.at = l.attack(t, o.hz)
		if len(out) > 0 && o.at-out[len(out)-1].at < settle/2 {
			continue
		}
		out = append(out, o)
		quietFor = t + int(settle*l.rate/hop)
	}
	return out
}

// attack is when an onset seen in frame t began, in s: where the power of the band, by
// blocks of 1.3 ms, rises most within the frame.
func (l *listener) attack(t int, hz float64) float64 {
	const block = 64
	from := max(t*hop-hop, 0)
	to := min(t*hop+frameLength, len(l.x))
	if hz > 0 {
		// Of a line: its own envelope, which noise in the rest of the band doesn't hide.
		e := l.envelope(hz, from, to, 240, block)
		top := slices.Max(e)
		for i, v := range e {
			if v > top/2 {
				return math.Max(float64(from+i*block)/l.rate-0.001, 0)
			}
		}
	}
	best, rise, was := from, 0.0, 0.0
	for i := from; i+block <= to; i += block {
		p := 0.0
		for j := max(i, 2); j < i+block; j++ {
			d := l.x[j] - 2*l.x[j-1] + l.x[j-2] // leaves out what is low
			p += d * d
		}
		if p-was > rise {
			best, rise = i, p-was
		}
		was = p
	}
	return float64(best) / l.rate
}

// envelope is the amplitude of a line from one sample to another, every step samples, each
// over width samples under a Hann window that is centred there.
func (l *listener) envelope(hz float64, from, to, width, step int) []float64 {
	w := hann(width)
	norm := 0.0
	for _, v := range w {
		norm += v
	}
	turn := 2 * math.Pi * hz / l.rate
	cs, sn := make([]float64, width), make([]float64, width)
	for i := range cs {
		sn[i], cs[i] = math.Sincos(turn * float64(i))
	}
	out := make([]float64, 0, (to-from)/step+1)
	for c := from; c < to; c += step {
		re, im := 0.0, 0.0
		for i := range width {
			j := c - width/2 + i
			if j < 0 || j >= len(l.x) {
				continue
			}
			v := w[i] * l.x[j]
			re += v * cs[i]
			im += v * sn[i]
		}
		out = append(out, 2*math.Hypot(re, im)/norm)
	}
	return out
}

// byHz sorts partials from the lowest.
func byHz(p []Peak) {
	stable.Sort(p, func(a, b Peak) int {
		switch {
		case a.Hz < b.Hz:
			return -1
		case a.Hz > b.Hz:
			return 1
		}
		return 0
	})
}
