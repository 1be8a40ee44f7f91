package otherscale

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func testRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 9)) }

// allan is the Allan deviation of x over means of n samples, not overlapping.
func allan(x []float64, n int) float64 {
	var before, sum float64
	count := 0
	for i := 0; i+n <= len(x); i += n {
		mean := 0.0
		for _, v := range x[i : i+n] {
			mean += v / float64(n)
		}
		if i > 0 {
			sum += (mean - before) * (mean - before)
			count++
		}
		before = mean
	}
	return math.Sqrt(sum / float64(2*count))
}

// TestNoiseHasAFloor against a recorded cold start of a 0.1 g cell at 11.6 a
// second: Allan deviations 0.019 (1 sample), 0.0125 (8), 0.0100 (16), 0.0089
// (32), 0.0102 (64), 0.0133 g (128), where white noise alone would leave 0.0017;
// 0.025 to 0.034 g within 3 s, and no difference of neighbours past 3.6 standard
// deviations in 7022.
func TestNoiseHasAFloor(t *testing.T) {
	rng := testRand(1)
	f := newFlicker(0.0092, 1/11.6, rng)
	x := make([]float64, 400_000)
	for i := range x {
		x[i] = 0.019*rng.NormFloat64() + f.next(rng)
	}
	for n, want := range map[int]float64{1: 0.019, 8: 0.0125, 16: 0.0100, 32: 0.0089, 64: 0.0102, 128: 0.0133} {
		got := allan(x, n)
		t.Logf("%d samples: %.4f g, recorded %.4f", n, got, want)
		if got < 0.6*want || got > 1.5*want {
			t.Errorf("%d samples: %.4f g, recorded %.4f", n, got, want)
		}
	}
	within := 0.0
	for i := 0; i < 35*1000; i += 35 {
		within += deviation(x[i:i+35]) / 1000
	}
	if within < 0.017 || within > 0.036 {
		t.Errorf("%.4f g within 3 s", within)
	}
	var diff []float64
	for i := 1; i < 7023; i++ {
		diff = append(diff, x[i]-x[i-1])
	}
	if most := math.Max(slices.Max(diff), -slices.Min(diff)) / deviation(diff); most > 4.8 {
		t.Errorf("an outlier of %.1f standard deviations", most)
	}
}

func deviation(x []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum / float64(len(x)-1))
}

// TestFloorIsWhereAveragingStops: the smallest Allan deviation of the flicker is
// what was asked for.
func TestFloorIsWhereAveragingStops(t *testing.T) {
	rng := testRand(2)
	f := newFlicker(1, 0.1, rng)
	x := make([]float64, 600_000)
	for i := range x {
		x[i] = f.next(rng)
	}
	for _, n := range []int{20, 40, 80, 160} {
		near(t, "floor", allan(x, n), 1, 0.3)
	}
}

// TestWarmUpWandersBothWays: a recorded 0.1 g scale went 0, 0.09, 0.31, 0.13 g
// in ten minutes, at most 0.13 g a minute, up and down.
func TestWarmUpWandersBothWays(t *testing.T) {
	rng := testRand(3)
	var most, ends []float64
	both := 0
	for range 300 {
		w := newWander(0.13, 0.1, rng)
		fastest, low, high, last := 0.0, 0.0, 0.0, 0.0
		for range 10 {
			for range 600 {
				w.next(rng)
			}
			d := w.at - last
			last = w.at
			fastest, low, high = math.Max(fastest, math.Abs(d)), math.Min(low, d), math.Max(high, d)
		}
		if low < -0.02 && high > 0.02 {
			both++
		}
		most, ends = append(most, fastest), append(ends, math.Abs(last))
	}
	slices.Sort(most)
	near(t, "fastest minute of ten, g", most[150], 0.13, 0.05)
	if both < 150 {
		t.Errorf("%d of 300 went both ways", both)
	}
	if slices.Max(ends) > 1.5 {
		t.Errorf("%.2f g after ten minutes", slices.Max(ends))
	}
}
