package hints

import (
	"math"

	"panside/internal/align"
	"panside/internal/cholesky"
	"panside/internal/picture"
)

// How what the fit of the pictures leaves is taken off.
const (
	refineSteps = 4
	refineSoft  = 0.1 // blur of the slopes, mm
	everyOther  = 2   // of the pixels, in each direction
)

// refined is the map from places of the coin to those where its slopes agree best with the ordinary one's.
// Pictures of two reliefs, each lit from the same side, agree with flanks laid over flanks that are lit alike,
// which may lie 0.2 mm off when the coins are turned against each other; slopes know which flank is which.
func (p *Pair) refined() align.Affine {
	mine, ordinary := p.softened(p.banded(p.mine), refineSoft/p.pixel), p.softened(p.banded(p.ordinary), refineSoft/p.pixel)
	total := align.Identity
	for range refineSteps {
		step, ok := p.step(mine, p.warped(ordinary, total))
		if !ok {
			break
		}
		total = step.Then(total)
	}
	return total
}

// warped takes a field over by a map that hardly turns.
func (p *Pair) warped(f field, m align.Affine) field {
	take := func(v []float32) []float32 {
		return m.Take(picture.Picture{W: p.w, H: p.h, Light: v}, p.w, p.h).Light
	}
	return field{take(f.right), take(f.down)}
}

// step is one step of Gauss and Newton for M(x) ≈ a R(x + t + G(x − middle)/radius), where each pixel counts by
// 1/(1 + (M − aR)²/s²), s twice the median difference.
func (p *Pair) step(m, r field) (align.Affine, bool) {
	const n = 7
	gain, scale := p.gain(m, r)
	if !(gain > 0 && scale > 0) {
		return align.Identity, false
	}
	var a [n * n]float64
	var b [n]float64
	for y := 2; y < p.h-2; y += everyOther {
		for x := 2; x < p.w-2; x += everyOther {
			if !p.within(float64(x), float64(y), 0) {
				continue
			}
			i := y*p.w + x
			u, v := (float64(x)+0.5-p.on.X)/p.on.R, (float64(y)+0.5-p.on.Y)/p.on.R
			for _, c := range [2]struct{ m, r []float32 }{{m.right, r.right}, {m.down, r.down}} {
				dx, dy := float64(c.r[i+1]-c.r[i-1])/2, float64(c.r[i+p.w]-c.r[i-p.w])/2
				row := [n]float64{float64(c.r[i]), dx, dx * u, dx * v, dy, dy * u, dy * v}
				d := float64(c.m[i])
				e := (d - gain*row[0]) / scale
				w := 1 / (1 + e*e)
				for k := range n {
					b[k] += w * row[k] * d
					for l := range k + 1 {
						a[k*n+l] += w * row[k] * row[l]
					}
				}
			}
		}
	}
	if !cholesky.Solve(a[:], b[:]) || !(b[0] > 0) {
		return align.Identity, false
	}
	k, by := 1/b[0], 1/(b[0]*p.on.R)
	g := align.Affine{A: 1 + b[2]*by, B: b[3] * by, C: b[5] * by, D: 1 + b[6]*by}
	return align.Moved(-p.on.X, -p.on.Y).Then(g).Then(align.Moved(p.on.X+k*b[1], p.on.Y+k*b[4])), true
}

// gain is a of M ≈ aR, with twice the median of |M − aR|.
func (p *Pair) gain(m, r field) (a, scale float64) {
	mr, rr, _ := p.products(m, r)
	if !(rr > 0) {
		return 0, 0
	}
	a = mr / rr
	var all []float64
	for i := 0; i < len(m.right); i += 7 {
		if p.within(float64(i%p.w), float64(i/p.w), 0) {
			all = append(all, math.Abs(float64(m.right[i])-a*float64(r.right[i])))
		}
	}
	return a, 2 * median(all)
}

// products are the sums of MR, RR and MM over the coin.
func (p *Pair) products(m, r field) (mr, rr, mm float64) {
	for i := range m.right {
		if p.within(float64(i%p.w), float64(i/p.w), 0) {
			a, b, c, d := float64(m.right[i]), float64(m.down[i]), float64(r.right[i]), float64(r.down[i])
			mr += a*c + b*d
			rr += c*c + d*d
			mm += a*a + b*b
		}
	}
	return mr, rr, mm
}

// agreement is the correlation of both coins' slopes less what is wider than the band.
func (p *Pair) agreement() float64 {
	mr, rr, mm := p.products(p.banded(p.mine), p.banded(p.ordinary))
	if !(rr > 0 && mm > 0) {
		return 0
	}
	return mr / math.Sqrt(rr*mm)
}
