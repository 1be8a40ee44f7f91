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
	// doubled is how far apart two partials of one mode are two coins', and doubleLevel how far
	// below the strongest the second counts, dB: nothing but a coin rings just there.
	doubled     = 0.018
	doubleLevel = -26.0
	// whole is the mode without nodal diameters: no design splits it, so two lines of it, twins
	// apart, are of two coins.
	whole = 1
	twins = 0.004
)

// oneDisc keeps the partials that a disc has, of the disc that has the most of what was heard.
// The lowest mode is always heard of a coin tapped near its rim, so it is one of the partials:
// two that are modes of no disc but one whose lowest is silent are of two coins. It is false
// where something loud is left over, or two have one mode.
func oneDisc(coins []partial) ([]partial, bool) {
	best, most := -1, 0.0
	for i, p := range coins {
		sum := 0.0
		for _, q := range coins {
			if mode(q.Hz/p.Hz) >= 0 {
				sum += q.amplitude * q.amplitude
			}
		}
		if sum > most*1.0001 || sum > most*0.9999 && best >= 0 && p.Hz < coins[best].Hz {
			best, most = i, sum
		}
	}
	var out []partial
	var of [len(ratios)]float64 // the strongest of each mode, Hz
	for _, q := range coins {   // strongest first
		k := mode(q.Hz / coins[best].Hz)
		rings := q.fitted > 0 && q.Decay > foreignFor && q.height > foreignHeight
		switch {
		case k < 0 && rings && q.Level > foreign:
			return nil, false
		case k < 0:
			continue
		case k == whole && rings && q.twin > twins:
			return nil, false
		case of[k] == 0:
			of[k] = q.Hz
		case k < 3 && rings && q.Level > doubleLevel && math.Abs(q.Hz/of[k]-1) > doubled:
			return nil, false
		}
		out = append(out, q)
	}
	return out, true
}

// mode is the index of the mode whose frequency over that of the lowest this may be, −1 for none.
func mode(ratio float64) int {
	for k, r := range ratios {
		if math.Abs(ratio/r-1) < off[k] {
			return k
		}
	}
	return -1
}
