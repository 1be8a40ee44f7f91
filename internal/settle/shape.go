package settle

import "math"

// A shape is a candidate for the scale's step response: the part of a load's
// weight that the display shows t seconds after the load was put on. Nine
// families cover what firmware does to a load cell's signal:
//
//	first order    s(t) = 1 − e^(−x)                    x = t/τ
//	second order   s(t) = 1 − e^(−x)·(1 + x)
//	third order    s(t) = 1 − e^(−x)·(1 + x + x²/2)
//	fourth order   s(t) = 1 − e^(−x)·(1 + x + x²/2 + x³/6)
//	moving average s(t) = x up to 1                     x = t/W
//	two averages   s(t) = 2x² up to ½, 1 − 2(1−x)² up to 1
//	average, lag   s(t) = x − τ(1 − e^(−x/τ)) up to 1, then
//	               1 − τ(1 − e^(−1/τ))·e^(−(x−1)/τ)     τ = 1/3, and 1/10
//	swing          s(t) = 1 − e^(−x/2)·(cos wx + sin wx/√3), w = √3/2
//
// The first four are the step responses of one to four equal first-order lags
// in a row (the Erlang distribution function), the last that of a pan damped
// half. The average's corners are rounded over 0.05·W. Each family is laid out
// over a grid of speeds; a speed is written as t95, the time to 95 %.
type shape struct {
	family int
	rate   float64 // 1/t95
}

const (
	families  = 9
	fastest   = 0.10 // seconds to 95 %
	slowest   = 2.5
	tableTop  = 4.0 // in units of t95; beyond it a load counts as settled
	tableSize = 800
)

// gridRatio is the ratio of neighbouring speeds; an average's corner is sharp and
// needs more of them.
var gridRatio = [families]float64{1.05, 1.05, 1.05, 1.05, 1.035, 1.05, 1.05, 1.035, 1.05}

// gridError is the relative standard deviation of a speed that lies anywhere
// between two of the grid, (ratio − 1)/√12.
var gridError = [families]float64{0.0144, 0.0144, 0.0144, 0.0144, 0.0101, 0.0144, 0.0144, 0.0101, 0.0144}

// x95 is where each family stays within 5 % of 1.
var x95 = [families]float64{2.995732273553991, 4.743864518181605, 6.295793622116397, 7.753656528230163, 1.0276633, 0.8418861, 1.6152880, 1.0693102, 5.2894}

func response(family int, x float64) float64 {
	switch family {
	case 0:
		return -math.Expm1(-x)
	case 1:
		return 1 - math.Exp(-x)*(1+x)
	case 2:
		return 1 - math.Exp(-x)*(1+x+x*x/2)
	case 3:
		return 1 - math.Exp(-x)*(1+x+x*x/2+x*x*x/6)
	case 4:
		return rounded(x)
	case 5:
		switch {
		case x < 0.5:
			return 2 * x * x
		case x < 1:
			return 1 - 2*(1-x)*(1-x)
		}
		return 1
	case 6:
		return averageAndLag(x, 1.0/3)
	case 7:
		return averageAndLag(x, 0.1)
	default:
		w := math.Sqrt(3) / 2
		return 1 - math.Exp(-x/2)*(math.Cos(w*x)+math.Sin(w*x)/math.Sqrt(3))
	}
}

// averageAndLag is the step response of an average over 1 and then a lag.
func averageAndLag(x, lag float64) float64 {
	if x < 1 {
		return x + lag*math.Expm1(-x/lag)
	}
	return 1 + lag*math.Expm1(-1/lag)*math.Exp(-(x-1)/lag)
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
