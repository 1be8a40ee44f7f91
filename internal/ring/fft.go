package ring

import (
	"math"
	"math/bits"
)

// fourier is a Fourier transform of one length, a power of two.
type fourier struct {
	n        int
	cos, sin []float64 // of 2πk/n, k < n/2
	re, im   []float64 // scratch
}

func newFourier(n int) *fourier {
	f := &fourier{n: n, cos: make([]float64, n/2), sin: make([]float64, n/2), re: make([]float64, n), im: make([]float64, n)}
	for k := range f.cos {
		f.sin[k], f.cos[k] = math.Sincos(2 * math.Pi * float64(k) / float64(n))
	}
	return f
}

// power gives |X|² of windowed real samples in bins 0 to n/2−1: into has n/2 places. Samples
// beyond x are zero. It is Cooley and Tukey's algorithm, decimation in time.
func (f *fourier) power(x, window []float64, into []float64) {
	shift := 64 - uint(bits.Len(uint(f.n-1)))
	for i := range f.n {
		v := 0.0
		if i < len(x) && i < len(window) {
			v = x[i] * window[i]
		}
		j := bits.Reverse64(uint64(i)) >> shift
		f.re[j], f.im[j] = v, 0
	}
	for half := 1; half < f.n; half *= 2 {
		step := f.n / (2 * half)
		for start := 0; start < f.n; start += 2 * half {
			for k := range half {
				c, s := f.cos[k*step], -f.sin[k*step]
				a, b := start+k, start+k+half
				tr := f.re[b]*c - f.im[b]*s
				ti := f.re[b]*s + f.im[b]*c
				f.re[b], f.im[b] = f.re[a]-tr, f.im[a]-ti
				f.re[a], f.im[a] = f.re[a]+tr, f.im[a]+ti
			}
		}
	}
	for k := range into {
		into[k] = f.re[k]*f.re[k] + f.im[k]*f.im[k]
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
