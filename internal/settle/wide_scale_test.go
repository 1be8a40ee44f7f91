package settle_test

import (
	"math"
	"math/rand/v2"
	"time"

	"panside/internal/mass"
	"panside/internal/simscale"
)

// wideScale draws a scale of any step, converter, filter and sign: what manuals
// say and recorded streams show, widened. None of them was checked with weights.
// The same seed gives the same scale.
func wideScale(seed uint64) simscale.Config {
	r := rand.New(rand.NewPCG(seed, 0x71de))
	in := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	geometric := func(low, high float64) float64 { return low * math.Exp(math.Log(high/low)*r.Float64()) }

	cfg := simscale.Config{Seed: seed, Capacity: 300, UnderLimit: 20, AutoOff: 45 * time.Second}
	switch x := r.Float64(); {
	case x < 0.25:
		cfg.Resolution = mass.NewDecimal(1, 1)
	case x < 0.75:
		cfg.Resolution = mass.NewDecimal(1, 2)
	default:
		cfg.Resolution = mass.NewDecimal(1, 3)
	}
	d := cfg.Resolution.Float64()

	displays := 0.0 // a second
	switch x := r.Float64(); {
	case x < 0.55:
		displays = geometric(2, 20)
		cfg.LineRate, cfg.Jitter = displays, in(0, 0.006)
	case x < 0.6:
		displays = 1
		cfg.LineRate = 1
	case x < 0.85:
		displays, cfg.Repeat = geometric(4, 13), 2+r.IntN(3)
		cfg.LineRate = displays * float64(cfg.Repeat)
	default:
		displays = 4
		cfg.LineRate, cfg.Uneven = displays, in(0.3, 0.7)
	}

	cfg.NaturalHz, cfg.Damping = geometric(3, 25), in(0.2, 0.9)
	cfg.SampleRate = displays * float64(1+r.IntN(8))
	for cfg.SampleRate < 5 {
		cfg.SampleRate *= 2
	}
	samples := func(low, high int) float64 { return float64(low+r.IntN(high-low+1)) / math.Min(cfg.SampleRate, 20) }
	switch r.IntN(7) {
	case 0, 1:
		cfg.Filter, cfg.FilterTime = simscale.FilterExponential, geometric(0.1, 0.6)
	case 2:
		cfg.Filter, cfg.FilterTime = simscale.FilterAverage, samples(4, 16)
	case 3:
		cfg.Filter, cfg.FilterTime = simscale.FilterCascade, in(0.08, 0.25)
	case 4:
		cfg.Filter, cfg.FilterTime = simscale.FilterMixed, in(0.3, 0.9)
	case 5:
		cfg.Filter, cfg.FilterTime = simscale.FilterTriangle, in(0.3, 1)
	default:
		cfg.Filter, cfg.FilterBand, cfg.FilterSamples = simscale.FilterAdaptive, in(2, 8), 10+r.IntN(41)
		cfg.SampleRate = math.Max(displays, in(5, 25))
	}

	cfg.Noise = mass.Grams(d * in(0.1, 0.6))
	cfg.Draught = mass.Grams(d * in(0, 0.12))
	cfg.Flicker = mass.Grams(d * in(0, 0.12))
	cfg.Drift = mass.Grams(in(-0.18, 0.18)) // an hour: up to 3 mg a minute
	if r.IntN(2) == 0 {
		cfg.Wander = mass.Grams(d * in(0, 1.3))
	}
	if r.IntN(2) == 0 {
		cfg.Creep, cfg.CreepTime = in(-2e-4, 2e-4), in(10, 60)
	}
	cfg.GainError = math.Max(-7e-4, math.Min(7e-4, 4e-4*r.NormFloat64()))
	cfg.Placement = mass.Grams(d * in(0, 0.4))
	switch r.IntN(3) {
	case 0:
		cfg.NoTracking = true
	case 1:
		cfg.TrackSteps = true
	}

	cfg.StableCount, cfg.StableBand = 4+r.IntN(8), r.IntN(2)
	if r.IntN(6) == 0 {
		cfg.StableCount = 12 + r.IntN(26)
	}
	switch x := r.Float64(); {
	case x < 0.4:
	case x < 0.7:
		cfg.Sign, cfg.StableTime, cfg.StableWithin = simscale.SignTime, in(0.4, 1), in(0.5, 2)
	case x < 0.85:
		cfg.Sign = simscale.SignSticky
	default:
		cfg.Sign = simscale.SignNone
	}
	return cfg
}

// kinds are the rows of the board that a scale belongs to.
func kinds(cfg simscale.Config) []string {
	lines := "lines plain"
	switch {
	case cfg.Repeat > 1:
		lines = "lines repeated"
	case cfg.Uneven > 0:
		lines = "lines uneven"
	case cfg.LineRate < 3:
		lines = "lines rare"
	}
	sign := string(cfg.Sign)
	if cfg.Sign == simscale.SignCount {
		sign = "count"
	}
	return []string{"step " + cfg.Resolution.String(), "filter " + string(cfg.Filter), "sign " + sign, lines}
}

// response is about how long the display takes to come to within a hundredth of
// a new load, in seconds.
func response(cfg simscale.Config) float64 {
	filter := cfg.FilterTime
	switch cfg.Filter {
	case simscale.FilterExponential:
		filter *= 4.6
	case simscale.FilterCascade:
		filter *= 6.6
	case simscale.FilterMixed:
		filter *= 2
	case simscale.FilterAdaptive:
		filter = 4 / cfg.SampleRate
	}
	rings := 4.6 / (cfg.Damping * 2 * math.Pi * cfg.NaturalHz)
	displays := cfg.LineRate / float64(max(1, cfg.Repeat))
	return math.Hypot(filter, rings) + 1/cfg.SampleRate + 1/displays
}

// wideCoin draws a coin's mass in g: mostly a cent with its tolerance, else
// another round mass of coins, or any.
func wideCoin(r *rand.Rand) float64 {
	around := func(m float64) float64 { return m + 0.03*math.Max(-2.5, math.Min(2.5, r.NormFloat64())) }
	switch r.IntN(10) {
	case 0, 1, 2:
		return around(zinc)
	case 3, 4, 5:
		return around(bronze)
	case 6, 7, 8:
		return around([]float64{5, 2.27, 5.67, 11.34}[r.IntN(4)])
	}
	return math.Exp(math.Log(27) * r.Float64())
}

// centOf names the cent that a mass is one of, "" for none, and "?" for a mass
// too near to one to say.
func centOf(m float64) string {
	for name, grams := range map[string]float64{"bronze": bronze, "zinc": zinc} {
		switch off := math.Abs(m - grams); {
		case off < 0.08:
			return name
		case off < 0.15:
			return "?"
		}
	}
	return ""
}
