package verdict

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
)

// TestBell compares the shortened normal density with the full one.
func TestBell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean, sd := rapid.Float64Range(-3, measuredBins+3).Draw(t, "mean"), rapid.Float64Range(1, 8).Draw(t, "sd")
		part, sum := bell(mean, sd)
		want := 0.0
		for r, got := range part {
			z := (float64(r) - mean) / sd
			x := math.Exp(-z * z / 2)
			want += x
			if math.Abs(got-x) > 1e-9 {
				t.Fatalf("bin %d: %v, want %v", r, got, x)
			}
		}
		if math.Abs(sum-want) > 1e-9 {
			t.Fatalf("sum %v, want %v", sum, want)
		}
	})
}

// TestMutualInformation holds it to its definition of mutual information, and joining
// columns in proportion mustn't change it.
func TestMutualInformation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const groups, cols = 3, 4
		x := table{make([]float64, groups*cols), groups}
		wide := table{make([]float64, groups*(cols+1)), groups}
		cut := rapid.Float64Range(0, 1).Draw(t, "cut")
		total := 0.0
		for g := range groups {
			for r := range cols {
				p := rapid.Float64Range(1e-6, 1).Draw(t, "p")
				x.p[g*cols+r] = p
				wide.p[g*(cols+1)+r] = p
				total += p
			}
			wide.p[g*(cols+1)+cols] = cut * x.p[g*cols]
			wide.p[g*(cols+1)] *= 1 - cut
		}
		want := 0.0
		for g := range groups {
			for r := range cols {
				row, col := 0.0, 0.0
				for i := range cols {
					row += x.p[g*cols+i]
				}
				for i := range groups {
					col += x.p[i*cols+r]
				}
				if p := x.p[g*cols+r]; p > 0 {
					want += p / total * math.Log2(p*total/(row*col))
				}
			}
		}
		if got := x.mutualInformation(); math.Abs(got-want) > 1e-9 || math.Abs(wide.mutualInformation()-want) > 1e-9 {
			t.Fatalf("%v, in more columns %v, want %v bits", got, wide.mutualInformation(), want)
		}
	})
}

// TestEras: each year is in the era of its issues, and none is lost.
func TestEras(t *testing.T) {
	b := data.Coins()
	for _, c := range b.Countries() {
		for _, d := range b.Denominations(c.ID) {
			m, err := modelOf(b, c.ID, d.ID, Jar)
			if err != nil {
				t.Fatal(err)
			}
			if len(m.eras) > 200 {
				t.Errorf("%s %s: %d eras", c.ID, d.ID, len(m.eras))
			}
			for y, e := range m.eraOf {
				for i := range m.issues {
					s := &m.issues[i].years
					if has := s.has(firstYear + y); has && e == 0 || e > 0 && has != s.has(m.eras[e-1].first) {
						t.Fatalf("%s %s: %d is in era %d", c.ID, d.ID, firstYear+y, e)
					}
				}
			}
		}
	}
}
