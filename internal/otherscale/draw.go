package otherscale

import (
	"math"
	"math/rand/v2"
)

// DrawConfig draws a scale as they stand on kitchen tables and in workshops.
func DrawConfig(rng *rand.Rand) Config {
	var c Config
	c.Places = pick(rng, []int{1, 2, 3}, []float64{0.25, 0.55, 0.2})
	d := c.D()
	c.DisplayRate = pick(rng, []float64{1, 2, 4, 5, 8, 10, 15, 20}, []float64{0.04, 0.06, 0.15, 0.15, 0.1, 0.35, 0.07, 0.08})
	c.Oversample = 1
	for c.DisplayRate*float64(c.Oversample) < 8 {
		c.Oversample *= 2
	}
	c.SincOrder = 1 + rng.IntN(4)
	conversions := c.DisplayRate * float64(c.Oversample)
	for {
		c.Filter = drawFilter(rng)
		// A filter that takes longer than this nobody would weigh coins with.
		if c.Filter.Conversions()/conversions < 5 {
			break
		}
	}
	c.Omega = 2 * math.Pi * between(rng, 2.5, 15)
	c.Zeta = between(rng, 0.2, 0.9)

	c.Sign = drawSign(c.DisplayRate, rng)
	c.Format = ValueOnly
	if c.Sign.Kind != NoSign {
		c.Format = pick(rng, []Format{StatusComma, TrailingFlag, LeadingMark, PrintLine, UnitAtRest}, []float64{0.4, 0.18, 0.18, 0.18, 0.06})
	}
	if c.Sign.Kind == Never && c.Format == UnitAtRest {
		c.Format = StatusComma // without a unit ever there would be no weight
	}
	c.Repeat = pick(rng, []int{1, 2, 3, 4}, []float64{0.7, 0.1, 0.12, 0.08})
	c.Every = pick(rng, []int{1, 2, 5}, []float64{0.95, 0.03, 0.02})
	if c.Every > 1 {
		c.Repeat = 1
	}
	c.Uneven = c.DisplayRate >= 4 && rng.Float64() < 0.08

	if rng.Float64() < 0.12 {
		c.Burst = between(rng, 0.05, 0.3)
	}
	if rng.Float64() < 0.2 {
		c.Sticky = 0.5 + 0.3*rng.Float64()
	}

	c.Gain = 0.0004 * (2*rng.Float64() - 1)
	c.CreepShare = 0.0006 * rng.Float64() * rng.Float64()
	c.CreepTime = between(rng, 15, 120)
	c.Drift = 0.003 * (2*rng.Float64() - 1) * math.Min(1, d/0.001)
	if rng.Float64() < map[int]float64{1: 0.35, 2: 0.1, 3: 0.05}[c.Places] {
		c.Wander = 1.3 * d
	}
	c.Floor = d * between(rng, 0.02, 0.1)
	c.White = d * between(rng, 0.05, 0.3)
	c.Capacity = map[int]float64{1: 1000, 2: 200, 3: pick(rng, []float64{20, 50}, []float64{1, 2})}[c.Places]
	c.Tracking = pick(rng, []Tracking{NoTracking, Continuous, Stepped}, []float64{0.2, 0.45, 0.35})
	if c.Places < 3 && rng.Float64() < 0.35 {
		c.AutoOff = 45
	}
	c.Boot = between(rng, 0.8, 2.5)
	return c
}

func drawFilter(rng *rand.Rand) Filter {
	kind := pick(rng, []FilterKind{Bare, Average, Exponential, Adaptive, TwoStage}, []float64{0.15, 0.35, 0.2, 0.2, 0.1})
	f := Filter{Kind: kind}
	switch kind {
	case Average:
		f.Samples = 4 + rng.IntN(13)
	case Exponential:
		f.Samples = 4 + rng.IntN(13)
	case TwoStage:
		f.Samples = 3 + rng.IntN(3)
	case Adaptive:
		f.Samples = pick(rng, []int{10, 20, 50}, []float64{1, 1, 1})
		f.Band = pick(rng, []float64{2, 4}, []float64{2, 1})
	}
	return f
}

func drawSign(rate float64, rng *rand.Rand) Sign {
	switch kind := pick(rng, []SignKind{NoSign, Equal, InBand, Clinging, Late, Never}, []float64{0.2, 0.4, 0.2, 0.09, 0.08, 0.03}); kind {
	case Equal:
		return Sign{Kind: kind, Displays: 4 + rng.IntN(5)}
	case InBand:
		return Sign{Kind: kind, Band: pick(rng, []float64{0.5, 0.75, 1, 1.5, 2, 3}, []float64{1, 1, 1, 1, 1, 0.5}), Seconds: pick(rng, []float64{0.4, 0.5, 0.6, 0.7, 1}, []float64{1, 1, 1, 1, 1})}
	case Clinging:
		return Sign{Kind: kind, Displays: 4 + rng.IntN(5)}
	case Late:
		// Two recorded ones took 11 and 37 displays at about ten a second.
		return Sign{Kind: kind, Displays: max(8, int((11+26*rng.Float64())*math.Min(1, rate/10)))}
	default:
		return Sign{Kind: kind}
	}
}

// pick draws one of several, by weights that need not sum to 1.
func pick[T any](rng *rand.Rand, of []T, weights []float64) T {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	x := rng.Float64() * sum
	for i, w := range weights {
		if x -= w; x < 0 {
			return of[i]
		}
	}
	return of[len(of)-1]
}

// between draws evenly on a logarithmic scale.
func between(rng *rand.Rand, lo, hi float64) float64 {
	return lo * math.Pow(hi/lo, rng.Float64())
}
