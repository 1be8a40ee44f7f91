package otherscale

import (
	"fmt"
	"math"
)

// boxes is a cascade of running means of one length: a sinc^K filter.
type boxes struct {
	rings [][]float64
	next  int
}

func newBoxes(order, length int) *boxes {
	b := &boxes{rings: make([][]float64, order)}
	for i := range b.rings {
		b.rings[i] = make([]float64, length)
	}
	return b
}

func (b *boxes) push(x float64) float64 {
	for _, ring := range b.rings {
		ring[b.next] = x
		x = 0
		for _, v := range ring {
			x += v
		}
		x /= float64(len(ring))
	}
	b.next = (b.next + 1) % len(b.rings[0])
	return x
}

// FilterKind is how a scale smooths its conversions.
type FilterKind string

// The filters.
const (
	Bare        FilterKind = "none"
	Average     FilterKind = "average"
	Exponential FilterKind = "exponential"
	Adaptive    FilterKind = "adaptive"
	TwoStage    FilterKind = "two-stage" // an average, then an exponential
)

// Filter is a digital filter over conversions.
type Filter struct {
	Kind FilterKind
	// Samples is the length of the average, of each stage of the two, or the
	// time constant of the exponential; of the adaptive the limit of its mean.
	Samples int
	// Band in steps d: two samples in a row farther off start the adaptive anew.
	Band float64
}

// String names the kind and length.
func (f Filter) String() string {
	if f.Kind == Bare {
		return string(f.Kind)
	}
	return fmt.Sprintf("%s %d", f.Kind, f.Samples)
}

// Gain is the factor by which white noise comes out smaller at rest:
// 1/√n of a mean, √(α/(2−α)) with α = 1/n of an exponential.
func (f Filter) Gain() float64 {
	n := float64(f.Samples)
	switch f.Kind {
	case Average, Adaptive:
		return 1 / math.Sqrt(n)
	case Exponential:
		return math.Sqrt(1 / (2*n - 1))
	case TwoStage:
		return math.Sqrt(1/(2*n-1)) / math.Sqrt(1+n/4)
	}
	return 1
}

// Conversions is about how many conversions a step of 3 g takes to come within
// one part in two hundred, the last of them unseen at most scales.
func (f Filter) Conversions() float64 {
	n := float64(f.Samples)
	switch f.Kind {
	case Average:
		return n
	case Exponential:
		return 5.3 * n
	case TwoStage:
		return n + 5.3*n
	case Adaptive:
		return 3
	}
	return 0
}

func (f Filter) start(d float64) func(float64) float64 {
	switch f.Kind {
	case Average:
		return average(f.Samples)
	case Exponential:
		return exponential(f.Samples)
	case TwoStage:
		first, second := average(f.Samples), exponential(f.Samples)
		return func(x float64) float64 { return second(first(x)) }
	case Adaptive:
		return adaptive(f.Samples, f.Band*d)
	}
	return func(x float64) float64 { return x }
}

func average(n int) func(float64) float64 {
	b := newBoxes(1, n)
	return b.push
}

func exponential(n int) func(float64) float64 {
	y := 0.0
	return func(x float64) float64 {
		y += (x - y) / float64(n)
		return y
	}
}

func adaptive(limit int, band float64) func(float64) float64 {
	var mean, before float64
	n, off := 0, 0
	return func(x float64) float64 {
		if math.Abs(x-mean) > band {
			off++
		} else {
			off = 0
		}
		switch {
		case off >= 2:
			// While it keeps moving, the display follows the newest samples.
			mean, n = (x+before)/2, 2
			if math.Abs(x-before) > band {
				mean, n = x, 1
			}
			off = 1
		case off == 0:
			n = min(n+1, limit)
			mean += (x - mean) / float64(n)
		}
		before = x
		return mean
	}
}
