// Package fourier has the transforms that pictures are compared and put together with: the
// discrete Fourier transform of rows whose length is a power of two, and the cosine transform of
// rasters. Both go back exactly but for rounding (float32: about a millionth of the largest value).
//
// The Fourier transform is X[k] = Σ x[n] exp(−2πi kn/N) (Cooley and Tukey 1965, radix 2); backward
// divides by N. The cosine transform is the second of its kind, C[k] = Σ x[n] cos(π k (n + 1/2)/N),
// taken through a Fourier transform of the same length (Makhoul, IEEE Trans. ASSP 28, 1980): it
// is what a raster has for waves when nothing flows over its edges.
package fourier

import (
	"math"
	"math/bits"
)

// Transform is the transform of one length. It may be used by one goroutine at a time.
type Transform struct {
	n        int
	cos, sin []float32 // for each stage of half h: at [h-1+k], of 2πk/(2h)
	turned   []int32   // places with their bits turned round
	re, im   []float32 // scratch of the cosine transform
	qc, qs   []float32 // cos and sin of πk/2N
}

// Up gives the next power of two that is no less than n, at least 1.
func Up(n int) int { return 1 << bits.Len(uint(max(n, 1)-1)) }

// New gives the transform of length n, a power of two; other lengths are taken up to the next.
func New(n int) *Transform {
	n = Up(n)
	t := &Transform{n: n, cos: make([]float32, n), sin: make([]float32, n), turned: make([]int32, n),
		re: make([]float32, n), im: make([]float32, n), qc: make([]float32, n), qs: make([]float32, n)}
	for half := 1; half < n; half *= 2 {
		for k := range half {
			s, c := math.Sincos(math.Pi * float64(k) / float64(half))
			t.cos[half-1+k], t.sin[half-1+k] = float32(c), float32(s)
		}
	}
	shift := 64 - uint(bits.Len(uint(n-1)))
	for i := range t.turned {
		if n > 1 {
			t.turned[i] = int32(bits.Reverse64(uint64(i)) >> shift)
		}
		s, c := math.Sincos(math.Pi * float64(i) / float64(2*n))
		t.qc[i], t.qs[i] = float32(c), float32(s)
	}
	return t
}

// Len is the length.
func (t *Transform) Len() int { return t.n }

// Forward transforms in place. Both parts have the transform's length.
func (t *Transform) Forward(re, im []float32) {
	re, im = re[:t.n], im[:t.n]
	for i, j := range t.turned {
		if j := int(j); i < j {
			re[i], re[j] = re[j], re[i]
			im[i], im[j] = im[j], im[i]
		}
	}
	for half := 1; half < t.n; half *= 2 {
		cos, sin := t.cos[half-1:2*half-1], t.sin[half-1:2*half-1]
		for start := 0; start < t.n; start += 2 * half {
			ar, ai := re[start:start+half], im[start:start+half]
			br, bi := re[start+half:start+2*half], im[start+half:start+2*half]
			for k, c := range cos {
				s := sin[k]
				r, i := br[k]*c+bi[k]*s, bi[k]*c-br[k]*s
				br[k], bi[k] = ar[k]-r, ai[k]-i
				ar[k], ai[k] = ar[k]+r, ai[k]+i
			}
		}
	}
}

// Backward is the way back from Forward, in place.
func (t *Transform) Backward(re, im []float32) {
	t.Forward(im, re) // real and imaginary parts swapped turn the sign of the exponent
	share := 1 / float32(t.n)
	for i := range re[:t.n] {
		re[i] *= share
		im[i] *= share
	}
}

// cosines transforms two rows at once in place: one as the real part, one as the imaginary.
func (t *Transform) cosines(a, b []float32) {
	n := t.n
	for i := range n / 2 {
		t.re[i], t.re[n-1-i] = a[2*i], a[2*i+1]
		t.im[i], t.im[n-1-i] = b[2*i], b[2*i+1]
	}
	if n == 1 {
		return
	}
	t.Forward(t.re, t.im)
	for k := range n {
		m := (n - k) & (n - 1)
		// The two rows' own transforms, by their symmetry.
		ar, ai := (t.re[k]+t.re[m])/2, (t.im[k]-t.im[m])/2
		br, bi := (t.im[k]+t.im[m])/2, (t.re[m]-t.re[k])/2
		a[k] = ar*t.qc[k] + ai*t.qs[k]
		b[k] = br*t.qc[k] + bi*t.qs[k]
	}
}

// uncosines is the way back from cosines.
func (t *Transform) uncosines(a, b []float32) {
	n := t.n
	if n == 1 {
		return
	}
	for k := range n {
		ak, bk, am, bm := a[k], b[k], float32(0), float32(0)
		if k > 0 {
			am, bm = a[n-k], b[n-k]
		}
		// V[k] = (C[k] − i C[N−k]) exp(iπk/2N), of both rows together.
		ar, ai := ak*t.qc[k]+am*t.qs[k], ak*t.qs[k]-am*t.qc[k]
		br, bi := bk*t.qc[k]+bm*t.qs[k], bk*t.qs[k]-bm*t.qc[k]
		t.re[k], t.im[k] = ar-bi, ai+br
	}
	t.Backward(t.re, t.im)
	for i := range n / 2 {
		a[2*i], a[2*i+1] = t.re[i], t.re[n-1-i]
		b[2*i], b[2*i+1] = t.im[i], t.im[n-1-i]
	}
}

// Cosines transforms a raster of w*h values in place, row by row and column by column; w and h are
// powers of two, otherwise nothing is done and it is false.
func Cosines(v []float32, w, h int) bool { return both(v, w, h, (*Transform).cosines) }

// Uncosines is the way back from Cosines.
func Uncosines(v []float32, w, h int) bool { return both(v, w, h, (*Transform).uncosines) }

func both(v []float32, w, h int, along func(t *Transform, a, b []float32)) bool {
	if w < 1 || h < 1 || Up(w) != w || Up(h) != h || len(v) != w*h {
		return false
	}
	pairs(v, w, h, along)
	across := make([]float32, w*h)
	transpose(across, v, w, h)
	pairs(across, h, w, along)
	transpose(v, across, h, w)
	return true
}

// pairs takes two rows at a time; the last of an odd number goes with a spare one.
func pairs(v []float32, w, h int, along func(t *Transform, a, b []float32)) {
	t, spare := New(w), make([]float32, w)
	for y := 0; y < h; y += 2 {
		b := spare
		if y+1 < h {
			b = v[(y+1)*w : (y+2)*w]
		}
		along(t, v[y*w:(y+1)*w], b)
	}
}

// tile is the side of the squares that are turned over at once, so that they stay in the cache.
const tile = 16

// transpose writes the w*h raster from into to, columns as rows.
func transpose(to, from []float32, w, h int) {
	for y0 := 0; y0 < h; y0 += tile {
		for x0 := 0; x0 < w; x0 += tile {
			for y := y0; y < min(y0+tile, h); y++ {
				for x := x0; x < min(x0+tile, w); x++ {
					to[x*h+y] = from[y*w+x]
				}
			}
		}
	}
}

// Plane is the Fourier transform of rasters of one size, both sides powers of two.
type Plane struct {
	w, h     int
	row, col *Transform
	are, aim []float32
}

// NewPlane gives the transform of rasters of w*h; other sizes are taken up to the next powers of two.
func NewPlane(w, h int) *Plane {
	p := &Plane{w: Up(w), h: Up(h)}
	p.row, p.col = New(p.w), New(p.h)
	p.are, p.aim = make([]float32, p.w*p.h), make([]float32, p.w*p.h)
	return p
}

// Forward transforms a raster in place.
func (p *Plane) Forward(re, im []float32) { p.both(re, im, (*Transform).Forward) }

// Backward is the way back from Forward.
func (p *Plane) Backward(re, im []float32) { p.both(re, im, (*Transform).Backward) }

func (p *Plane) both(re, im []float32, along func(t *Transform, re, im []float32)) {
	for y := range p.h {
		along(p.row, re[y*p.w:(y+1)*p.w], im[y*p.w:(y+1)*p.w])
	}
	transpose(p.are, re, p.w, p.h)
	transpose(p.aim, im, p.w, p.h)
	for x := range p.w {
		along(p.col, p.are[x*p.h:(x+1)*p.h], p.aim[x*p.h:(x+1)*p.h])
	}
	transpose(re, p.are, p.h, p.w)
	transpose(im, p.aim, p.h, p.w)
}
