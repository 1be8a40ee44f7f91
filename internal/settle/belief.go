package settle

import "math"

// belief is a weight's mean and standard deviation, with how long ago the load
// last changed.
type belief struct {
	mean, sd float64
	quiet    float64
	half     float64 // chance, beyond what is let pass, that a hand holds or leans on it,
	whole    float64 // and the standard deviation if none does; not set if half is 0
}

// or is the mixture of two beliefs, the second with weight p.
func (a belief) or(b belief, p float64) belief {
	off := a.mean - b.mean
	spread := func(a, b float64) float64 { return math.Sqrt((1-p)*a*a + p*b*b + p*(1-p)*off*off) }
	return belief{
		mean:  a.mean + p*(b.mean-a.mean),
		sd:    spread(a.sd, b.sd),
		quiet: math.Min(a.quiet, b.quiet),
		half:  a.half + p*(b.half-a.half),
		whole: spread(a.ifWhole(), b.ifWhole()),
	}
}

// ifWhole is the standard deviation if no hand is on the load.
func (a belief) ifWhole() float64 {
	if a.half > 0 {
		return a.whole
	}
	return a.sd
}

// wider is a belief with both standard deviations joined to another one, and
// multiplied.
func (a belief) wider(sd, factor float64) belief {
	a.whole = factor * math.Hypot(a.ifWhole(), sd)
	a.sd = factor * math.Hypot(a.sd, sd)
	return a
}

func sq(x float64) float64 { return x * x }
