package hints

import (
	"math"

	"panside/internal/cholesky"
)

// terms is how many fields explain a window besides a second image: the ordinary coin's slopes R
// themselves, R a little moved to the right and down, and R smeared by wear.
const terms = 4

// sums are what the gain needs of some pixels: over right and down slopes, products of M, of the terms B and of
// each shifted copy. They add up over cells.
type sums struct {
	in     bool
	mm     float64
	bm     [terms]float64
	bb     [terms][terms]float64
	tensor [3]float64 // of R: right², right·down, down²
	copies []copied
}

// copied is the same of one copy.
type copied struct {
	cc, cm float64
	cb     [terms]float64
}

// sums are those of a square of pixels.
func (p *Pair) sums(mine, o field, x0, y0, side int, shifts []shift) sums {
	// A square of two channels in one row.
	take := func(f func(i int) (float32, float32)) []float32 {
		v := make([]float32, 2*side*side)
		for y := range side {
			for x := range side {
				v[2*(y*side+x)], v[2*(y*side+x)+1] = f((y0+y)*p.w + x0 + x)
			}
		}
		return v
	}
	b := [terms][]float32{
		take(func(i int) (float32, float32) { return o.right[i], o.down[i] }),
		take(func(i int) (float32, float32) {
			return o.right[i+1] - o.right[i-1], o.down[i+1] - o.down[i-1]
		}),
		take(func(i int) (float32, float32) {
			return o.right[i+p.w] - o.right[i-p.w], o.down[i+p.w] - o.down[i-p.w]
		}),
		take(func(i int) (float32, float32) {
			return o.right[i+p.w] + o.right[i-p.w] + o.right[i+1] + o.right[i-1] - 4*o.right[i], o.down[i+p.w] + o.down[i-p.w] + o.down[i+1] + o.down[i-1] - 4*o.down[i]
		}),
	}
	m := take(func(i int) (float32, float32) { return mine.right[i], mine.down[i] })
	out := sums{in: true, mm: dot(m, m), copies: make([]copied, len(shifts))}
	for i := range b {
		out.bm[i] = dot(b[i], m)
		for j := range b {
			out.bb[i][j] = dot(b[i], b[j])
		}
	}
	for i := 0; i < len(b[0]); i += 2 {
		r, d := float64(b[0][i]), float64(b[0][i+1])
		out.tensor[0] += r * r
		out.tensor[1] += r * d
		out.tensor[2] += d * d
	}
	for k, d := range shifts {
		var cc, cm float32
		var cb [terms]float32
		for y := range side {
			at := (y0+y-d.dy)*p.w + x0 - d.dx
			right, down := o.right[at:at+side], o.down[at:at+side]
			from, to := 2*y*side, 2*(y+1)*side
			l, b0, b1, b2, b3 := m[from:to], b[0][from:to], b[1][from:to], b[2][from:to], b[3][from:to]
			for x, r := range right {
				d := down[x]
				i := 2 * x
				cc += r*r + d*d
				cm += r*l[i] + d*l[i+1]
				cb[0] += r*b0[i] + d*b0[i+1]
				cb[1] += r*b1[i] + d*b1[i+1]
				cb[2] += r*b2[i] + d*b2[i+1]
				cb[3] += r*b3[i] + d*b3[i+1]
			}
		}
		out.copies[k] = copied{float64(cc), float64(cm), [terms]float64{float64(cb[0]), float64(cb[1]), float64(cb[2]), float64(cb[3])}}
	}
	return out
}

// add adds those of other pixels; copies only as far as there are some.
func (s *sums) add(o *sums) {
	s.mm += o.mm
	for i := range terms {
		s.bm[i] += o.bm[i]
		for j := range terms {
			s.bb[i][j] += o.bb[i][j]
		}
	}
	for i := range s.tensor {
		s.tensor[i] += o.tensor[i]
	}
	for k := range s.copies {
		c, d := &s.copies[k], &o.copies[k]
		c.cc += d.cc
		c.cm += d.cm
		for i := range c.cb {
			c.cb[i] += d.cb[i]
		}
	}
}

// across is the share of R's energy that faces across the way that most of it does, 0 to 1/2.
func (s *sums) across() float64 {
	t := s.tensor
	if !(t[0]+t[2] > 0) {
		return 0
	}
	return 0.5 - math.Hypot((t[0]-t[2])/2, t[1])/(t[0]+t[2])
}

// gains are those of all copies: of what the terms leave of M, the share that the copy explains, 0 where it
// would have to be taken away. Where the terms explain nearly all of a copy it has no gain.
func (s *sums) gains() []float64 {
	out := make([]float64, len(s.copies))
	// The inverse of BᵀB, a column at a time.
	var inverse [terms][]float64
	for j := range terms {
		var a [terms * terms]float64
		for i := range a {
			a[i] = s.bb[i/terms][i%terms]
		}
		inverse[j] = make([]float64, terms)
		inverse[j][j] = 1
		if !cholesky.Solve(a[:], inverse[j]) {
			return out
		}
	}
	// by gives the terms' own coefficients for products with them.
	by := func(v *[terms]float64) (c [terms]float64) {
		for j, column := range inverse {
			for i := range c {
				c[i] += column[i] * v[j]
			}
		}
		return c
	}
	m := by(&s.bm)
	left := s.mm - inner(&m, &s.bm)
	if !(left > 0) {
		return out
	}
	for k := range s.copies {
		c := &s.copies[k]
		q := by(&c.cb)
		fresh, with := c.cc-inner(&q, &c.cb), c.cm-inner(&m, &c.cb)
		if with > 0 && fresh >= own*c.cc && fresh > 0 {
			out[k] = with * with / fresh / left
		}
	}
	return out
}

func inner(a, b *[terms]float64) (sum float64) {
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func dot(a, b []float32) float64 {
	sum := float32(0)
	for i, v := range a {
		sum += v * b[i]
	}
	return float64(sum)
}
