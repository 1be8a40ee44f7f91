package settle

import "math"

// A shape is a candidate for the scale's step response: the part of a load's
// weight that the display shows t seconds after the load was put on. Four
// families cover what firmware does to a load cell's signal:
//
//	first order    s(t) = 1 − e^(−x)                    x = t/τ
//	second order   s(t) = 1 − e^(−x)·(1 + x)
//	third order    s(t) = 1 − e^(−x)·(1 + x + x²/2)
//	moving average s(t) = t/W up to 1, its corners rounded over 0.15·W
//
// The first three are the step responses of one to three equal first-order
// lags in a row (the Erlang distribution function). Each family is laid out
// over a grid of speeds; a speed is written as t95, the time to 95 %.
type shape struct {
	family int
	rate   float64 // 1/t95
}

const (
	families  = 4
	fastest   = 0.10 // seconds to 95 %
	slowest   = 2.5
	tableTop  = 4.0 // in units of t95; beyond it a load counts as settled
	tableSize = 800
)

// gridRatio is the ratio of neighbouring speeds; the average's corner is sharp and
// needs more of them.
var gridRatio = [families]float64{1.05, 1.05, 1.05, 1.035}

// gridError is the relative standard deviation of a speed that lies anywhere
// between two of the grid, (ratio − 1)/√12.
var gridError = [families]float64{0.0144, 0.0144, 0.0144, 0.0101}

// x95 solves s(x) = 0.95 for each family.
var x95 = [families]float64{2.995732273553991, 4.743864518181605, 6.295793622116397, 1.0276633}

func response(family int, x float64) float64 {
	switch family {
	case 0:
		return -math.Expm1(-x)
	case 1:
		return 1 - math.Exp(-x)*(1+x)
	case 2:
		return 1 - math.Exp(-x)*(1+x+x*x/2)
	default:
		return rounded(x)
	}
}

// rounded is the integral of a window of width 1 that rises and falls over
// corner instead of at once: t/W with its corners cut.
func rounded(x float64) float64 {
	const corner = 0.05
	half := func(x float64) float64 { // integral of the rising ramp and what follows
		switch {
		case x <= 0:
			return 0
		case x < corner:
			return x * x / (2 * corner)
		default:
			return x - corner/2
		}
	}
	return half(x) - half(x-1)
}

// tables hold s over 0 ≤ t/t95 ≤ tableTop, so that a reading costs a few
// thousand look-ups and no exponentials.
var tables = func() (t [families][tableSize + 2]float64) {
	for f := range t {
		for i := range t[f] {
			t[f][i] = response(f, float64(i)*tableTop/tableSize*x95[f])
		}
	}
	return t
}()

// at returns s(t) and its slope s'(t) per second, for t ≥ 0.
func (s shape) at(t float64) (value, slope float64) {
	const scale = tableSize / tableTop
	x := t * s.rate * scale
	if x >= tableSize {
		return 1, 0
	}
	i := int(x)
	table := &tables[s.family]
	low, high := table[i], table[i+1]
	return low + (x-float64(i))*(high-low), (high - low) * scale * s.rate
}

// grid lists every shape, and flatPrior gives the logarithm of what each is
// worth before the first load: all families and all speeds alike on a
// logarithmic scale.
func grid() []shape {
	var all []shape
	for f := range families {
		for t := fastest; t <= slowest; t *= gridRatio[f] {
			all = append(all, shape{family: f, rate: 1 / t})
		}
	}
	return all
}
