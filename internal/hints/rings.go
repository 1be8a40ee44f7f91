package hints

import "math"

// How a rim is told from letters: all around a rim's flank slopes face outward alike, or inward. The rim's own
// flank lies at no fixed share of a radius.
const (
	ringWide = 0.1  // of a ring, mm
	ringsAt  = 0.4  // from here on outward, of the radius
	alike    = 0.3  // least share of a ring's energy that its mean slope outward has
	rimAt    = 0.93 // beyond, all is the rim's
)

// ringless takes the rim's flanks and a border's rings out of both fields: they look like themselves a
// little aside, and lie a little otherwise wherever the lamps stood otherwise.
func (p *Pair) ringless(mine, o field) (field, field) {
	n := int(math.Hypot(float64(p.w), float64(p.h))/2*p.pixel/ringWide) + 2
	mean, energy, count := make([]float64, n), make([]float64, n), make([]float64, n)
	place := func(i int) (ring int, ux, uy float64) {
		x, y := float64(i%p.w)+0.5-p.on.X, float64(i/p.w)+0.5-p.on.Y
		d := math.Max(math.Hypot(x, y), 0.5)
		return min(int(d*p.pixel/ringWide), n-1), x / d, y / d
	}
	for i := range o.right {
		k, ux, uy := place(i)
		a, b := float64(o.right[i]), float64(o.down[i])
		mean[k] += a*ux + b*uy
		energy[k] += a*a + b*b
		count[k]++
	}
	out := make([]bool, n)
	for k := range n {
		at := float64(k) * ringWide / p.pixel / p.on.R
		out[k] = out[k] || at > rimAt
		if at > ringsAt && count[k] > 0 && mean[k]*mean[k] > alike*energy[k]*count[k] {
			for j := k - 1; j <= min(k+1, n-1); j++ {
				out[j] = true
			}
		}
	}
	for i := range o.right {
		if k, _, _ := place(i); out[k] {
			o.right[i], o.down[i], mine.right[i], mine.down[i] = 0, 0, 0, 0
		}
	}
	return mine, o
}
