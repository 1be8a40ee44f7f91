// Package cholesky solves the normal equations of least squares: symmetric and positive, small enough
// for a matrix row by row in one slice.
package cholesky

import "math"

// singular is the share of a diagonal entry that must be left of it, else it says nothing of its own.
const singular = 1e-13

// Solve solves m x = r in place of r by Cholesky's factors, m = L Lᵀ (Golub and Van Loan, Matrix
// Computations, section 4.2). m is len(r) by len(r), row by row; only its lower half is read, and it is
// lost. It is false if m isn't positive, and r is then of no use.
func Solve(m, r []float64) bool {
	n := len(r)
	if len(m) != n*n {
		return false
	}
	for i := range n {
		for j := range i + 1 {
			s := m[i*n+j]
			for k := range j {
				s -= m[i*n+k] * m[j*n+k]
			}
			if i == j {
				if !(s > singular*math.Abs(m[i*n+i])) {
					return false
				}
				m[i*n+i] = math.Sqrt(s)
			} else {
				m[i*n+j] = s / m[j*n+j]
			}
		}
	}
	for i := range n {
		for k := range i {
			r[i] -= m[i*n+k] * r[k]
		}
		r[i] /= m[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			r[i] -= m[k*n+i] * r[k]
		}
		r[i] /= m[i*n+i]
	}
	return true
}
