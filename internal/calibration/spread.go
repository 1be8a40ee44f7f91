package calibration

import (
	"math"

	"panside/internal/mass"
	"panside/internal/stats"
)

const (
	// minFree is how many degrees of freedom make a measurement.
	minFree = 4
	// hidden is the spread, in steps, below which nothing can be said of its
	// lower end.
	hidden = 0.8
	k95    = 1.96
)

// Spread is the repeatability found.
type Spread struct {
	// Measured tells that there were placements enough. The rest counts even
	// without, if Free is above zero.
	Measured   bool
	Placements int
	Free       int        // degrees of freedom ν
	S          mass.Grams // pooled standard deviation of the displays
	Low, High  mass.Grams // its 95 % interval
	Used       mass.Grams // what stands in u
	Range      mass.Grams // largest difference between displays of one weight
}

// spread is described in the package's documentation.
func (r *Record) spread() Spread {
	var s Spread
	sum := 0.0
	for j := range r.Weights {
		net := r.nets(j, r.Placements)
		m := mean(net)
		low, high := math.Inf(1), math.Inf(-1)
		for _, x := range net {
			sum += (x - m) * (x - m)
			low, high = math.Min(low, x), math.Max(high, x)
		}
		s.Placements += len(net)
		s.Free += len(net) - 1
		s.Range = max(s.Range, mass.Grams(high-low))
	}
	if s.Free == 0 {
		return s
	}
	s.Measured = s.Free >= minFree
	variance := sum / float64(s.Free)
	if variance < 1e-12*float64(r.Resolution*r.Resolution) {
		variance = 0 // what binary fractions leave of equal displays
	}
	s.S = mass.Grams(math.Sqrt(variance))
	s.Low, s.High = spreadInterval(float64(s.S), float64(r.Resolution), s.Free)
	s.Used = s.S * mass.Grams(stats.StudentQuantile(0.975, s.Free)/k95)
	return s
}

// spreadInterval is the 95 % interval of the spread behind a standard deviation
// s of displays with step d.
func spreadInterval(s, d float64, free int) (low, high mass.Grams) {
	nu := float64(free)
	rounding := d * d / 12
	if s >= hidden*d {
		low = mass.Grams(math.Sqrt((s*s - rounding) * nu / stats.ChiSquareQuantile(0.975, free)))
	}
	high = mass.Grams(math.Sqrt(math.Max(s*s, rounding) * nu / stats.ChiSquareQuantile(0.025, free)))
	return low, high
}
