package ring

import "math"

// The modes of a free disc against (2,0), over the coins' Poisson's ratios and thicknesses,
// and how far each may lie off; see package plate for what they are.
var (
	ratios = [...]float64{1, 1.74, 2.29, 3.86, 4}
	off    = [...]float64{0.018, 0.07, 0.05, 0.06, 0.07}
)

const (
	// foreign is how far below the strongest a partial that the disc hasn't got is another's,
	// dB, how long it rings at least, s, since wood's and a pan's die away sooner, and how far it
	// stands above the floor, as a power.
	foreign       = -14.0
	foreignFor    = 0.018
	foreignHeight = 40.0
)

// oneDisc keeps the partials that a disc has, of the disc that has the most of what was heard.
// The lowest mode is always heard of a coin tapped near its rim, so it is one of the partials:
// two that are modes of no disc but one whose lowest is silent are of two coins. It is false
// where something loud is left over.
func oneDisc(coins []partial) ([]partial, bool) {
	best, most := -1, 0.0
	for i, p := range coins {
		sum := 0.0
		for _, q := range coins {
			if isMode(q.Hz / p.Hz) {
				sum += q.amplitude * q.amplitude
			}
		}
		if sum > most*1.0001 || sum > most*0.9999 && best >= 0 && p.Hz < coins[best].Hz {
			best, most = i, sum
		}
	}
	var out []partial
	for _, q := range coins {
		switch {
		case isMode(q.Hz / coins[best].Hz):
			out = append(out, q)
		case q.Level > foreign && q.Decay > foreignFor && q.height > foreignHeight:
			return nil, false
		}
	}
	return out, true
}

// isMode reports whether a frequency over that of the lowest mode is of a mode.
func isMode(ratio float64) bool {
	for k, r := range ratios {
		if math.Abs(ratio/r-1) < off[k] {
			return true
		}
	}
	return false
}
