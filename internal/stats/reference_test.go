package stats_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"panside/internal/stats"
)

// inTails is the relative error that issue and docs promise down to underflow.
const inTails = 1e-9

// table reads a reference table. Its first line names the programs that made
// it and their versions; testdata/reference.py is how.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]float64
	for _, line := range lines[1:] {
		row := make([]float64, len(line))
		for i, cell := range line {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil && !math.IsInf(v, 0) && v != 0 {
				t.Fatalf("%s: %v", name, err)
			}
			row[i] = v
		}
		rows = append(rows, row)
	}
	if len(rows) < 20 {
		t.Fatalf("%s has only %d rows", name, len(rows))
	}
	return rows
}

// apart is the relative error of got. Values that underflow to subnormal
// numbers have no digits to compare and count as equal to zero.
func apart(got, want float64) float64 {
	const smallest = 0x1p-1022
	if got == want || math.Abs(want) < smallest && math.Abs(got) < 2*smallest {
		return 0
	}
	return math.Abs(got/want - 1)
}

// worst collects the largest error of a function over its table.
type worst struct {
	name  string
	limit float64
	err   float64
	at    []float64
}

func (w *worst) see(t *testing.T, got, want float64, at ...float64) {
	t.Helper()
	e := apart(got, want)
	if !(e <= w.limit) {
		t.Errorf("%s at %v = %v, want %v (relative error %.2g)", w.name, at, got, want, e)
	}
	if e > w.err {
		w.err, w.at = e, at
	}
}

func (w *worst) report(t *testing.T) {
	t.Logf("%-8s largest relative error %.1e at %v", w.name, w.err, w.at)
}

func TestErfcxAgainstReference(t *testing.T) {
	w := worst{name: "erfcx", limit: 1e-14}
	for _, r := range table(t, "erfcx.csv") {
		w.see(t, stats.Erfcx(r[0]), r[1], r[0])
	}
	w.report(t)
}

func TestNormalAgainstReference(t *testing.T) {
	cdf := worst{name: "cdf", limit: 1e-12}
	for _, r := range table(t, "normal.csv") {
		x := r[0]
		cdf.see(t, stats.NormCDF(x), r[1], x)
		cdf.see(t, stats.NormSF(-x), r[1], x)
	}
	cdf.report(t)
	q := worst{name: "quantile", limit: 1e-14}
	for _, r := range table(t, "quantile.csv") {
		q.see(t, stats.NormQuantile(r[0]), r[1], r[0])
	}
	q.report(t)
}

// TestEMGAgainstReference checks both tails, and by the mirrored arguments the
// tail to the left that worn coins have.
func TestEMGAgainstReference(t *testing.T) {
	names := []string{"pdf", "cdf", "sf"}
	ws := make([]worst, len(names))
	for i, n := range names {
		ws[i] = worst{name: n, limit: inTails}
	}
	for _, r := range table(t, "emg.csv") {
		right := stats.EMG{Mu: r[1], Sigma: r[2], Tau: r[3]}
		left := stats.EMG{Mu: -r[1], Sigma: r[2], Tau: -r[3]}
		x := r[0]
		for i, got := range [][2]float64{
			{right.PDF(x), left.PDF(-x)},
			{right.CDF(x), left.SF(-x)},
			{right.SF(x), left.CDF(-x)},
		} {
			ws[i].see(t, got[0], r[4+i], r[:4]...)
			ws[i].see(t, got[1], r[4+i], r[:4]...)
		}
	}
	for i := range ws {
		ws[i].report(t)
	}
}
