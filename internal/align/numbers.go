package align

import (
	"slices"

	"panside/internal/cholesky"
)

// invert6 inverts a symmetric positive matrix, column by column; false if it isn't positive.
func invert6(m [6][6]float64) (out [6][6]float64, ok bool) {
	for c := range 6 {
		var flat [36]float64
		var r [6]float64
		r[c] = 1
		for i := range m {
			copy(flat[6*i:], m[i][:])
		}
		if !cholesky.Solve(flat[:], r[:]) {
			return out, false
		}
		for i, v := range r {
			out[i][c] = v
		}
	}
	return out, true
}

// median of values, 0 for none. It sorts them.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[len(v)/2]
}
