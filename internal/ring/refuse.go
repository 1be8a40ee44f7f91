package ring

import (
	"math"
	"slices"
)

// What one disc's ring is like. world_test.go has a sound for each.
const (
	// clippedAt is how near to full scale a sample is clipped, clippedFor how many are.
	clippedAt  = 0.985
	clippedFor = 4
	// shortest and longest decay of a coin's partial, s.
	shortest = 0.006
	longest  = 0.45
	// risen is the most that the line may have had before the onset, as a part of its top.
	risen = 0.35
	// lowLevel is how far below the strongest partial a low tone counts, dB, and lowDecay how
	// long it must last to be one, s.
	lowLevel = -12.0
	lowDecay = 0.02
	// strong is how far below the strongest a partial must be explained, dB.
	strong = -24.0
	// again is by how much the envelope may rise over what it was in the sixty ms before.
	again = 1.35
	// attacked is by how much what lies beneath the lines jumps at an attack, as a logarithm.
	attacked = 1.4
	// fewest dB that the strongest partial stands above the floor, as a power.
	clear = 40.0
)

// event judges what follows an onset.
func (l *listener) event(o onset) ([]Peak, Why) {
	if l.clipped(o.at) {
		return nil, Clipped
	}
	all := l.partials(o.at)
	if len(all) == 0 {
		return nil, Click
	}
	var coins, low []partial
	top := math.Inf(-1) // level of the strongest partial that dies away as a coin's
	for _, p := range all {
		if p.Hz < lowest {
			low = append(low, p)
			continue
		}
		if p.Decay < shortest || p.early > risen {
			continue
		}
		coins = append(coins, p)
		top = math.Max(top, p.Level)
	}
	for _, p := range low {
		if p.Level < top+lowLevel || p.Decay < lowDecay || p.early > risen && len(coins) > 0 {
			continue
		}
		switch {
		case p.early < risen/3 && p.Decay > 0.12 && p.spread < 0.25:
			return nil, Glass
		case p.Decay > longest:
			return nil, Music
		}
		return nil, Voice
	}
	if len(coins) == 0 {
		for _, p := range all {
			if p.early > risen || p.Decay > longest {
				return nil, Music
			}
		}
		return nil, Click
	}
	first := coins[0]
	switch {
	case first.height < clear:
		return nil, Faint
	case first.Decay > longest:
		return nil, Glass
	case l.risesAgain(coins) || l.struckAgain(o.at):
		return nil, Bounce
	}
	for i := range coins {
		coins[i].Level -= top
	}
	if !oneDisc(coins) {
		return nil, TwoCoins
	}
	var out []Peak
	for _, p := range coins {
		if p.Decay <= longest {
			out = append(out, p.Peak)
		}
	}
	byHz(out)
	return out, ""
}

// clipped reports whether samples around the onset stand at full scale.
func (l *listener) clipped(at float64) bool {
	from := max(int((at-0.005)*l.rate), 0)
	n := 0
	for i := from; i < min(from+int(0.06*l.rate), len(l.x)); i++ {
		if math.Abs(l.x[i]) >= clippedAt {
			n++
		}
	}
	return n > clippedFor
}

// risesAgain reports whether the partials were struck anew: their common envelope jumps
// over all of the sixty ms before it. Two near modes that beat never do.
func (l *listener) risesAgain(coins []partial) bool {
	coins = coins[:min(len(coins), 3)]
	n := len(coins[0].envelope)
	sum := make([]float64, n)
	noise := 0.0
	for _, p := range coins {
		for i := range min(n, len(p.envelope)) {
			sum[i] += p.envelope[i] * p.envelope[i]
		}
		noise += p.noise * p.noise
	}
	const gap, look, width = 4, 24, 4 // steps of the envelope
	for i := 12; i+width <= n; i++ {
		most := 0.0
		for j := max(i-look, 2); j <= i-gap; j++ {
			most = math.Max(most, sum[j])
		}
		least := math.Inf(1)
		for j := i; j < i+width; j++ {
			least = math.Min(least, sum[j])
		}
		if least > again*again*most && least > 20*noise {
			return true
		}
	}
	return false
}

// struckAgain reports whether there is a second attack in the band while the ring lasts: what
// lies beneath the lines jumps up for a moment, as where a coin meets the table again.
func (l *listener) struckAgain(at float64) bool {
	const length, step = 512, 128
	f, w := newFourier(length), hann(length)
	p := make([]float64, length/2)
	from, to := int(lowest/l.rate*length), min(int(20000/l.rate*length), length/2)
	var level []float64
	for start := int(at * l.rate); start+length < min(int((at+tail)*l.rate), len(l.x)); start += step {
		f.power(l.x[start:start+length], w, p)
		sum, n := 0.0, 0.0
		for k := from; k+floorBlock/2 <= to; k += floorBlock / 2 {
			var block [floorBlock / 2]float64
			copy(block[:], p[k:])
			slices.Sort(block[:])
			sum += math.Log(block[floorBlock/4] + 1e-14)
			n++
		}
		level = append(level, sum/n)
	}
	first, gap, look := int(0.03*l.rate)/step, int(0.012*l.rate)/step, int(0.035*l.rate)/step
	for i := first; i < len(level); i++ {
		most := math.Inf(-1)
		for j := max(i-look, 0); j <= i-gap; j++ {
			most = math.Max(most, level[j])
		}
		if level[i] > most+attacked {
			return true
		}
	}
	return false
}

// The modes of a free disc against (2,0), over the coins' Poisson's ratios and thicknesses,
// and how far each may lie off; see package plate for what they are.
var (
	ratios = [...]float64{1, 1.755, 2.275, 3.85, 3.93}
	off    = [...]float64{0.018, 0.065, 0.035, 0.06, 0.06}
)

// oneDisc reports whether all strong partials are modes of one disc.
func oneDisc(coins []partial) bool {
	// The strongest may be any of the modes.
	for k, r := range ratios {
		base := coins[0].Hz / r
		good := true
		for _, p := range coins {
			if p.Level < strong {
				continue
			}
			fits := false
			for j, x := range ratios {
				fits = fits || math.Abs(p.Hz/base/x-1) < math.Hypot(off[j], off[k])
			}
			good = good && fits
		}
		if good {
			return true
		}
	}
	return false
}
