package align

import (
	"math"

	"panside/internal/cholesky"
	"panside/internal/picture"
	"panside/internal/stats"
)

// How pictures under one lamp are laid over each other.
const (
	steadyWidth = 512 // px of the finest size compared
	steadyStart = 64  // of the coarsest
	// steadyLeast is the correlation of light below which it is refused. TestSteady holds it.
	steadyLeast = 0.55
)

// Steady lays b over a by their light itself: two pictures of one thing under one lamp, one of them a
// little moved, turned, larger or less sharp, its light brighter or darker by a factor. The map takes
// places of a, px, to those of b. It is false if they don't fit. The algorithm is that of [Over], on
// light alone, from coarse to fine.
func Steady(a, b picture.Picture) (Affine, bool) {
	if a.W < 64 || a.H < 64 || a.W != b.W || a.H != b.H {
		return Identity, false
	}
	var as, bs []picture.Picture
	for by := 1; by == 1 || a.W/by >= steadyStart; by *= 2 {
		if a.W/by <= steadyWidth || a.W/(2*by) < steadyStart {
			as, bs = append(as, a.Shrink(by).Blur(1)), append(bs, b.Shrink(by).Blur(1))
		}
	}
	m, agree := Identity, 0.0 // in half widths from the middle
	for k := len(as) - 1; k >= 0; k-- {
		var ok bool
		if m, agree, ok = steady(as[k], bs[k], m); !ok {
			return Identity, false
		}
	}
	to := Moved(-float64(a.W)/2, -float64(a.H)/2).Then(Scaled(2 / float64(a.W)))
	return to.Then(m).Then(to.Back()), agree >= steadyLeast
}

// steady is the iteration on one size: b(W(x)) = k a(x) + c, with k and c solved along.
func steady(a, b picture.Picture, m Affine) (out Affine, agree float64, ok bool) {
	const n = 8
	gx, gy := a.Gradient()
	half, mx, my := float64(a.W)/2, float64(a.W)/2, float64(a.H)/2
	stride := max(int(math.Sqrt(float64(a.W*a.H)/30000)), 1)
	for range steps {
		var h [n * n]float64
		var g [n]float64
		var both stats.Pairs
		for y := 2; y < a.H-2; y += stride {
			for x := 2; x < a.W-2; x += stride {
				u, v := (float64(x)+0.5-mx)/half, (float64(y)+0.5-my)/half
				bx, by := m.Of(u, v)
				if bx, by = bx*half+mx, by*half+my; !b.Holds(bx, by) {
					continue
				}
				i := y*a.W + x
				va, vb := float64(a.Light[i]), float64(b.Sample(bx, by))
				dx, dy := float64(gx.Light[i])*half, float64(gy.Light[i])*half
				row := [n]float64{dx, dx * u, dx * v, dy, dy * u, dy * v, va, 1}
				for j, p := range row {
					g[j] += p * vb
					for k := range j + 1 {
						h[j*n+k] += p * row[k]
					}
				}
				both.Add(va, vb)
			}
		}
		if agree, ok = both.Correlation(); !ok {
			return m, 0, false
		}
		if !cholesky.Solve(h[:], g[:]) || !(g[6] > 0) {
			return m, agree, false
		}
		// b is k times as bright, and so is what a move changes.
		var d [6]float64
		moved := 0.0
		for k := range d {
			d[k] = g[k] / g[6]
			moved = math.Max(moved, math.Abs(d[k])*half)
		}
		change := Affine{A: 1 + d[1], B: d[2], X: d[0], C: d[4], D: 1 + d[5], Y: d[3]}
		m = change.Back().Then(m)
		if !(math.Hypot(m.X, m.Y) < 0.5) || math.Abs(m.Scale()-1) > 0.2 {
			return m, agree, false
		}
		if moved < settled {
			break
		}
	}
	return m, agree, true
}
