package stats_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/stats"
)

func TestIntervalQuantilesAgainstReference(t *testing.T) {
	student, chi := worst{name: "t", limit: 1e-9}, worst{name: "chi²", limit: 1e-9}
	for _, r := range table(t, "interval.csv") {
		p, free := r[0], int(r[1])
		student.see(t, stats.StudentQuantile(p, free), r[2], p, r[1])
		chi.see(t, stats.ChiSquareQuantile(p, free), r[3], p, r[1])
	}
	student.report(t)
	chi.report(t)
}

// TestIntervalIdentities: one degree of freedom is Cauchy's distribution, chi²
// of one the square of a normal, of two an exponential.
func TestIntervalIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(1e-4, 1-1e-4).Draw(t, "p")
		free := rapid.IntRange(1, 300).Draw(t, "free")
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
				t.Fatalf("%s: %v, want %v", what, got, want)
			}
		}
		near("Cauchy", stats.StudentQuantile(p, 1), math.Tan(math.Pi*(p-0.5)))
		z := stats.NormQuantile((1 + p) / 2)
		near("one", stats.ChiSquareQuantile(p, 1), z*z)
		near("two", stats.ChiSquareQuantile(p, 2), -2*math.Log1p(-p))
		near("mirrored", stats.StudentQuantile(p, free), -stats.StudentQuantile(1-p, free))
		near("there and back", stats.ChiSquareCDF(stats.ChiSquareQuantile(p, free), free), p)
	})
}

func TestIntervalQuantilesAtTheEdges(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		{stats.StudentQuantile(0, 3), math.Inf(-1)},
		{stats.StudentQuantile(1, 3), math.Inf(1)},
		{stats.StudentQuantile(0.5, 3), 0},
		{stats.ChiSquareQuantile(0, 3), 0},
		{stats.ChiSquareQuantile(1, 3), math.Inf(1)},
		{stats.ChiSquareCDF(-1, 3), 0},
		{stats.ChiSquareCDF(math.Inf(1), 3), 1},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
	for _, v := range []float64{
		stats.StudentQuantile(1.1, 3), stats.StudentQuantile(math.NaN(), 3), stats.StudentQuantile(0.5, 0),
		stats.ChiSquareQuantile(-0.1, 3), stats.ChiSquareQuantile(0.5, 0), stats.ChiSquareCDF(1, 0), stats.ChiSquareCDF(math.NaN(), 1),
	} {
		if !math.IsNaN(v) {
			t.Errorf("got %v, want NaN", v)
		}
	}
}
