package cholesky_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"panside/internal/cholesky"
)

// TestSolveIsGonums: the same as a reference library's solution, of any matrix BᵀB + 1.
func TestSolveIsGonums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		b := mat.NewDense(n, n, rapid.SliceOfN(rapid.Float64Range(-3, 3), n*n, n*n).Draw(t, "b"))
		right := rapid.SliceOfN(rapid.Float64Range(-3, 3), n, n).Draw(t, "r")
		var a mat.Dense
		a.Mul(b.T(), b)
		m := make([]float64, n*n)
		for i := range n {
			a.Set(i, i, a.At(i, i)+1)
			for j := range n {
				m[i*n+j] = a.At(i, j)
			}
		}
		var want mat.VecDense
		if err := want.SolveVec(&a, mat.NewVecDense(n, append([]float64(nil), right...))); err != nil {
			t.Fatal(err)
		}
		if !cholesky.Solve(m, right) {
			t.Fatal("refused")
		}
		for i, v := range right {
			if math.Abs(v-want.AtVec(i)) > 1e-9 {
				t.Fatalf("%d: %v, want %v", i, v, want.AtVec(i))
			}
		}
	})
}

func TestSolveRefuses(t *testing.T) {
	for name, m := range map[string][]float64{
		"singular": {1, 1, 1, 1}, "negative": {1, 0, 0, -1}, "not a number": {math.NaN(), 0, 0, 1}, "size": {1},
	} {
		if cholesky.Solve(m, []float64{1, 2}) {
			t.Errorf("%s was solved", name)
		}
	}
}
