package stats_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"panside/internal/stats"
)

// Against gonum's, which takes the means off first.
func TestCorrelation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(-100, 100)
		n := rapid.IntRange(2, 40).Draw(t, "n")
		a, b := rapid.SliceOfN(value, n, n).Draw(t, "a"), rapid.SliceOfN(value, n, n).Draw(t, "b")
		if stat.StdDev(a, nil) < 1 || stat.StdDev(b, nil) < 1 {
			t.Skip("hardly any spread")
		}
		var p stats.Pairs
		for i := range a {
			p.Add(a[i], b[i])
		}
		if r, ok := p.Correlation(); !ok || math.Abs(r-stat.Correlation(a, b, nil)) > 1e-9 {
			t.Errorf("%v %v, want %v", r, ok, stat.Correlation(a, b, nil))
		}
	})
}

func TestNoCorrelation(t *testing.T) {
	for name, pairs := range map[string][][2]float64{"none": nil, "one": {{1, 2}}, "one doesn't vary": {{1, 2}, {1, 3}}, "the other": {{1, 2}, {3, 2}}} {
		var p stats.Pairs
		for _, q := range pairs {
			p.Add(q[0], q[1])
		}
		if r, ok := p.Correlation(); ok || r != 0 {
			t.Errorf("%s: %v %v", name, r, ok)
		}
	}
}
