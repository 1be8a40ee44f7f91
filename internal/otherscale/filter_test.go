package otherscale

import (
	"math"
	"testing"
)

// TestConverterTakesFourPeriods: a converter at ten a second shows about half
// of a step 250 ms after it and all of it at 500 ms (user report; a data sheet
// says 400 ms), so a sinc⁴ of 100 ms.
func TestConverterTakesFourPeriods(t *testing.T) {
	b := newBoxes(4, subSpans)
	out := 0.0
	for i := 1; i <= 4*subSpans; i++ {
		out = b.push(1)
		if ms := i * 100 / subSpans; ms == 200 {
			near(t, "half of the step at half of the time", out, 0.5, 0.2)
		}
		if i < 4*subSpans-4 && out > 1-1e-9 {
			t.Fatalf("full after %d spans", i)
		}
	}
	near(t, "full after 400 ms", out, 1, 1e-12)
}

func TestAverageEndsAfterItsLength(t *testing.T) {
	for _, n := range []int{4, 8, 16} {
		f := Filter{Kind: Average, Samples: n}.start(0.01)
		for i := 1; i <= n+3; i++ {
			near(t, "average", f(1), math.Min(1, float64(i)/float64(n)), 1e-12)
		}
	}
}

// TestExponentialTailIsLong: 1 − (1−1/n)^k, and a recorded tail of 8 d that took
// 36 displays to run out in steps of 1 d.
func TestExponentialTailIsLong(t *testing.T) {
	f := Filter{Kind: Exponential, Samples: 13}.start(1)
	off, since := 100.0, 0
	for k := 1; off > 0.5; k++ {
		y := f(100)
		near(t, "exponential", y, 100*(1-math.Pow(1-1.0/13, float64(k))), 1e-9)
		off = 100 - y
		if off <= 8 {
			since++
		}
	}
	if since < 33 || since > 39 {
		t.Errorf("the last 8 d took %d displays, recorded were 36", since)
	}
}

// TestAdaptiveLetsGo: averaging is suspended when two samples are off by more
// than 2 d, below that it is the mean of up to 50 (manuals).
func TestAdaptiveLetsGo(t *testing.T) {
	f := Filter{Kind: Adaptive, Samples: 50, Band: 2}.start(1)
	for range 100 {
		f(0)
	}
	if y := f(10); y != 0 {
		t.Errorf("one sample moved it to %g", y)
	}
	if y := f(10); y != 10 {
		t.Errorf("two samples moved it to %g", y)
	}
	f = Filter{Kind: Adaptive, Samples: 50, Band: 2}.start(1)
	for range 100 {
		f(0)
	}
	for k := 1; k <= 50; k++ {
		near(t, "a step below the band", f(1), 1-math.Pow(1-1.0/50, float64(k)), 1e-9)
	}
}

// TestFilterGain: white noise comes out smaller by Gain.
func TestFilterGain(t *testing.T) {
	rng := testRand(5)
	for _, f := range []Filter{{Kind: Bare}, {Kind: Average, Samples: 9}, {Kind: Exponential, Samples: 8}, {Kind: Adaptive, Samples: 20, Band: 12}, {Kind: TwoStage, Samples: 4}} {
		next, sum := f.start(1), 0.0
		for i := range 60_000 {
			y := next(rng.NormFloat64())
			if i > 100 {
				sum += y * y
			}
		}
		got := math.Sqrt(sum / 59_900)
		if got < 0.7*f.Gain() || got > 1.3*f.Gain() {
			t.Errorf("%v: noise %.3f, said %.3f", f, got, f.Gain())
		}
	}
}
