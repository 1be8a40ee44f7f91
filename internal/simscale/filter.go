package simscale

import "math"

// filter is the firmware's digital filter: an optional moving average over a
// window of conversions, then up to two exponentials.
type filter struct {
	window []float64 // ring, nil without an average
	at     int
	sum    float64
	gain   float64 // of each exponential, 0 without
	stages int
	state  [2]float64
}

func newFilter(cfg Config) filter {
	var f filter
	average := func(seconds float64) {
		f.window = make([]float64, max(1, int(math.Round(seconds*cfg.SampleRate))))
	}
	exponential := func(seconds float64, stages int) {
		// y ← y + (1 − e^(−T/τ))·(x − y) is the sampled first-order lag.
		f.gain, f.stages = 1-math.Exp(-1/(seconds*cfg.SampleRate)), stages
	}
	switch cfg.Filter {
	case FilterAverage:
		average(cfg.FilterTime)
	case FilterCascade:
		exponential(cfg.FilterTime, 2)
	case FilterMixed:
		average(cfg.FilterTime)
		exponential(cfg.FilterTime/3, 1)
	default:
		exponential(cfg.FilterTime, 1)
	}
	return f
}

// reset fills the filter with x, so that it starts at rest, and returns x.
func (f *filter) reset(x float64) float64 {
	for i := range f.window {
		f.window[i] = x
	}
	f.state = [2]float64{x, x}
	return x
}

// next takes one conversion and returns the filtered value.
func (f *filter) next(x float64) float64 {
	if n := len(f.window); n > 0 {
		f.window[f.at] = x
		f.at = (f.at + 1) % n
		f.sum = 0
		for _, w := range f.window {
			f.sum += w
		}
		x = f.sum / float64(n)
	}
	for i := range f.stages {
		f.state[i] += f.gain * (x - f.state[i])
		x = f.state[i]
	}
	return x
}
