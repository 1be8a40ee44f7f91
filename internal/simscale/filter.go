package simscale

import "math"

// filter is the firmware's digital filter: up to two moving averages over
// windows of conversions, then up to two exponentials; or the adaptive one.
type filter struct {
	averages []average
	gain     float64 // of each exponential, 0 without
	stages   int
	state    [2]float64
	adaptive *adaptive
}

// average is a moving average over a ring of conversions.
type average struct {
	window []float64
	at     int
}

func (a *average) next(x float64) float64 {
	a.window[a.at] = x
	a.at = (a.at + 1) % len(a.window)
	sum := 0.0
	for _, w := range a.window {
		sum += w
	}
	return sum / float64(len(a.window))
}

// adaptive is FilterAdaptive.
type adaptive struct {
	band    float64 // g
	window  []float64
	samples int // its greatest length
	away    int // conversions in a row beyond the band
	mean    float64
}

func (a *adaptive) next(x float64) float64 {
	if math.Abs(x-a.mean) <= a.band {
		a.away = 0
	} else if a.away++; a.away < 2 {
		return a.mean
	} else {
		a.window = a.window[:0]
	}
	if len(a.window) == a.samples {
		a.window = append(a.window[:0], a.window[1:]...)
	}
	a.window = append(a.window, x)
	sum := 0.0
	for _, w := range a.window {
		sum += w
	}
	a.mean = sum / float64(len(a.window))
	return a.mean
}

func newFilter(cfg Config) filter {
	var f filter
	mean := func(seconds float64) {
		n := max(1, int(math.Round(seconds*cfg.SampleRate)))
		f.averages = append(f.averages, average{window: make([]float64, n)})
	}
	exponential := func(seconds float64, stages int) {
		// y ← y + (1 − e^(−T/τ))·(x − y) is the sampled first-order lag.
		f.gain, f.stages = 1-math.Exp(-1/(seconds*cfg.SampleRate)), stages
	}
	switch cfg.Filter {
	case FilterAverage:
		mean(cfg.FilterTime)
	case FilterCascade:
		exponential(cfg.FilterTime, 2)
	case FilterMixed:
		mean(cfg.FilterTime)
		exponential(cfg.FilterTime/3, 1)
	case FilterTriangle:
		mean(cfg.FilterTime / 2)
		mean(cfg.FilterTime / 2)
	case FilterAdaptive:
		f.adaptive = &adaptive{band: 2 * cfg.Resolution.Float64(), samples: 50}
		if cfg.FilterBand > 0 {
			f.adaptive.band = cfg.FilterBand * cfg.Resolution.Float64()
		}
		if cfg.FilterSamples > 0 {
			f.adaptive.samples = cfg.FilterSamples
		}
	default:
		exponential(cfg.FilterTime, 1)
	}
	return f
}

// reset fills the filter with x, so that it starts at rest, and returns x.
func (f *filter) reset(x float64) float64 {
	for _, a := range f.averages {
		for i := range a.window {
			a.window[i] = x
		}
	}
	if a := f.adaptive; a != nil {
		a.window, a.mean, a.away = append(a.window[:0], x), x, 0
	}
	f.state = [2]float64{x, x}
	return x
}

// next takes one conversion and returns the filtered value.
func (f *filter) next(x float64) float64 {
	if f.adaptive != nil {
		return f.adaptive.next(x)
	}
	for i := range f.averages {
		x = f.averages[i].next(x)
	}
	for i := range f.stages {
		f.state[i] += f.gain * (x - f.state[i])
		x = f.state[i]
	}
	return x
}
