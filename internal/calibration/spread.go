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
	// Measured: there were placements enough. The rest counts even without, if
	// DegreesOfFreedom is above zero.
	Measured         bool       `json:"measured"`
	Placements       int        `json:"placements"`
	DegreesOfFreedom int        `json:"degrees_of_freedom"` // ν
	S                mass.Grams `json:"s_g"`                // pooled standard deviation of the displays
	Low              mass.Grams `json:"low_g"`              // its 95 % interval
	High             mass.Grams `json:"high_g"`
	InU              mass.Grams `json:"in_u_g"` // what stands in u
	Range            mass.Grams `json:"-"`      // largest difference between displays of one weight
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
		s.DegreesOfFreedom += len(net) - 1
		s.Range = max(s.Range, mass.Grams(high-low))
	}
	if s.DegreesOfFreedom == 0 {
		return s
	}
	s.Measured = s.DegreesOfFreedom >= minFree
	variance := sum / float64(s.DegreesOfFreedom)
	if variance < 1e-12*float64(r.Resolution*r.Resolution) {
		variance = 0 // what binary fractions leave of equal displays
	}
	s.S = mass.Grams(math.Sqrt(variance))
	s.Low, s.High = spreadInterval(float64(s.S), float64(r.Resolution), s.DegreesOfFreedom)
	s.InU = s.S * mass.Grams(stats.StudentQuantile(0.975, s.DegreesOfFreedom)/k95)
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
