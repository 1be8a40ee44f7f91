package fourier

import "math"

// even is how much power a wave needs to count fully in Turns, of the mean: what neither picture has
// would else be noise made loud.
const even = 0.3

// Turns gives how well two sets of rings agree at every turn: c[k] is high where b turned forward by k
// places of n lies over a. Rings follow each other, each of n complex places, n a power of two; all are
// overwritten by their spectra. It is the phase correlation of Kuglin and Hines (IEEE Conference on
// Cybernetics and Society, 1975; from memory) on rings: each wave counts the same, whatever power the
// two have in it, since beads and reeds that repeat all around would outdo all else. Waves beyond
// finest periods a ring fade out.
func Turns(aRe, aIm, bRe, bIm []float32, n int, finest float64) []float32 {
	t := New(n)
	n = t.n
	cross, crossIm, pa, pb := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := 0; i+n <= min(len(aRe), len(aIm), len(bRe), len(bIm)); i += n {
		ar, ai, br, bi := aRe[i:i+n], aIm[i:i+n], bRe[i:i+n], bIm[i:i+n]
		t.Forward(ar, ai)
		t.Forward(br, bi)
		for k := range n {
			a, b, c, d := float64(ar[k]), float64(ai[k]), float64(br[k]), float64(bi[k])
			cross[k] += a*c + b*d
			crossIm[k] += b*c - a*d
			pa[k] += a*a + b*b
			pb[k] += c*c + d*d
		}
	}
	all := 0.0
	for k := range pa {
		pa[k] = math.Sqrt(pa[k] * pb[k])
		all += pa[k]
	}
	re, im := make([]float32, n), make([]float32, n)
	if all > 0 {
		for k := range cross {
			wave := float64(min(k, n-k)) / finest
			w := math.Exp(-wave*wave) / (pa[k] + even*all/float64(n))
			re[k], im[k] = float32(cross[k]*w), float32(crossIm[k]*w)
		}
	}
	t.Backward(re, im)
	return re
}

// Peak is the best of a course of turns.
type Peak struct {
	At    float64 // place, between the places by a parabola through three
	Clear float64 // how far it stands out of all others, in their standard deviations
	Next  float64 // how high the best of the others comes, as a share of it, both over the others' mean
}

// PeakOf finds the highest place of a periodic course; others are all more than apart places off.
func PeakOf(c []float32, apart int) Peak {
	n, best := len(c), 0
	for i, v := range c {
		if v > c[best] {
			best = i
		}
	}
	count, sum, squares, next := 0.0, 0.0, 0.0, math.Inf(-1)
	for i, v := range c {
		if d := (i - best + n) % n; d > apart && d < n-apart {
			count++
			sum += float64(v)
			squares += float64(v) * float64(v)
			next = math.Max(next, float64(v))
		}
	}
	if count == 0 {
		return Peak{}
	}
	mean := sum / count
	sd := math.Sqrt(math.Max(squares/count-mean*mean, 1e-30))
	top := float64(c[best])
	p := Peak{At: float64(best), Clear: (top - mean) / sd, Next: (next - mean) / math.Max(top-mean, 1e-30)}
	left, right := float64(c[(best+n-1)%n]), float64(c[(best+1)%n])
	if bend := left - 2*top + right; bend < 0 {
		p.At += 0.5 * (left - right) / bend
	}
	return p
}
