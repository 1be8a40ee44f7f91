package ring

import (
	"math"
	"math/bits"
)

// fourier is a Fourier transform of one length, a power of two; what it needs is worked out once.
type fourier struct {
	n        int
	cos, sin []float64 // of 2πk/n, k < n/2
	turned   []int32   // where each sample goes: its index with the bits turned round
	re, im   []float64
}

func newFourier(n int) *fourier {
	f := &fourier{n: n, cos: make([]float64, n/2), sin: make([]float64, n/2), turned: make([]int32, n), re: make([]float64, n), im: make([]float64, n)}
	for k := range f.cos {
		f.sin[k], f.cos[k] = math.Sincos(2 * math.Pi * float64(k) / float64(n))
	}
	shift := 64 - uint(bits.Len(uint(n-1)))
	for i := range f.turned {
		f.turned[i] = int32(bits.Reverse64(uint64(i)) >> shift)
	}
	return f
}

// powers gives |A|² and |B|² of two real signals, windowed already and no longer than the
// transform, in as many bins as intoA and intoB have. One complex transform does both: of
// z = a + ib, A[k] is (Z[k] + Z*[n−k])/2 and B[k] is (Z[k] − Z*[n−k])/2i.
func (f *fourier) powers(a, b []float64, intoA, intoB []float64) {
	for i := range f.n {
		j := f.turned[i]
		f.re[j], f.im[j] = 0, 0
		if i < len(a) {
			f.re[j] = a[i]
		}
		if i < len(b) {
			f.im[j] = b[i]
		}
	}
	f.transform()
	for k := range intoA {
		m := (f.n - k) % f.n
		xr, xi := f.re[k]+f.re[m], f.im[k]-f.im[m]
		yr, yi := f.im[k]+f.im[m], f.re[m]-f.re[k]
		intoA[k] = (xr*xr + xi*xi) / 4
		intoB[k] = (yr*yr + yi*yi) / 4
	}
}

// transform is Cooley and Tukey's algorithm, decimation in time.
func (f *fourier) transform() {
	for half := 1; half < f.n; half *= 2 {
		step := f.n / (2 * half)
		for start := 0; start < f.n; start += 2 * half {
			ra, ia := f.re[start:start+half], f.im[start:start+half]
			rb, ib := f.re[start+half:start+2*half], f.im[start+half:start+2*half]
			for k := range ra {
				c, s := f.cos[k*step], -f.sin[k*step]
				tr := rb[k]*c - ib[k]*s
				ti := rb[k]*s + ib[k]*c
				rb[k], ib[k] = ra[k]-tr, ia[k]-ti
				ra[k], ia[k] = ra[k]+tr, ia[k]+ti
			}
		}
	}
}

// hann is the window sin²(πi/n).
func hann(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		s := math.Sin(math.Pi * (float64(i) + 0.5) / float64(n))
		w[i] = s * s
	}
	return w
}
