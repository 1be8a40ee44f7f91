package settle

import "math"

// belief is a weight's mean and standard deviation, with how long ago the load
// last changed.
type belief struct {
	mean, sd float64
	quiet    float64
}

// or is the mixture of two beliefs, the second with weight p.
func (a belief) or(b belief, p float64) belief {
	off := a.mean - b.mean
	return belief{
		mean:  a.mean + p*(b.mean-a.mean),
		sd:    math.Sqrt((1-p)*a.sd*a.sd + p*b.sd*b.sd + p*(1-p)*off*off),
		quiet: math.Min(a.quiet, b.quiet),
	}
}

func sq(x float64) float64 { return x * x }
