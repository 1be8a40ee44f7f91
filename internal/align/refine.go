package align

import "math"

// How a map is refined.
const (
	steps   = 25   // of the iteration at the most, on each size
	settled = 0.01 // px: a smaller step ends it
	huber   = 1.5  // residuals over so many of their median count less
	square  = 0.15 // side of a square that errs together, of the radius
)

// refined is the outcome of refine.
type refined struct {
	m     Affine // in radii, from the first's places to the second's
	u     float64
	agree float64
}

// refine finds the affine map near the identity that takes a's places, in units of r px from the
// middle of its raster, to b's: inverse compositional Gauss-Newton (Baker and Matthews 2004,
// equations 31 to 36) over all channels at once, with Huber's weights. Only pixels are compared that
// are here.
func refine(a, b *features, r float64, here func(u, v float64) bool) (refined, Why) {
	st := newStage(*a, r, here)
	pts := st.pts
	if len(pts) < fewest {
		return refined{}, Flat
	}
	m := Identity
	bx, by := float64(b.w)/2, float64(b.h)/2
	var got [channels]float32
	scale := 0.0
	norms := make([]float64, 0, len(pts))
	type squareOf struct{ x, y int }
	var h [6][6]float64
	scores := map[squareOf]*[6]float64{}
	for step := 0; ; step++ {
		last := step == steps
		var g [6]float64
		h = [6][6]float64{}
		norms = norms[:0]
		for i := range pts {
			p := &pts[i]
			x, y := m.Of(p.u, p.v)
			if !b.sample(bx+x*r, by+y*r, &got) {
				continue
			}
			var e [channels]float64
			norm := 0.0
			for c := range e {
				e[c] = float64(got[c] - a.of[c][p.at])
				norm += e[c] * e[c]
			}
			norm = math.Sqrt(norm)
			norms = append(norms, norm)
			w := 1.0
			if scale > 0 && norm > huber*scale {
				w = huber * scale / norm
			}
			// Gradient and Hessian in x and y first: the six parameters are these times 1, u, v.
			var sx, sy, xx, xy, yy float64
			for c := range e {
				gx, gy := float64(p.gx[c]), float64(p.gy[c])
				sx += gx * e[c]
				sy += gy * e[c]
				xx += gx * gx
				xy += gx * gy
				yy += gy * gy
			}
			basis := [3]float64{1, p.u, p.v}
			s := [6]float64{}
			for k, q := range basis {
				s[k], s[3+k] = w*sx*q, w*sy*q
				for l, q2 := range basis {
					h[k][l] += w * xx * q * q2
					h[k][3+l] += w * xy * q * q2
					h[3+k][l] += w * xy * q * q2
					h[3+k][3+l] += w * yy * q * q2
				}
			}
			for k := range g {
				g[k] += s[k]
			}
			if last {
				key := squareOf{int(math.Floor(p.u / square)), int(math.Floor(p.v / square))}
				sum := scores[key]
				if sum == nil {
					sum = new([6]float64)
					scores[key] = sum
				}
				for k := range s {
					sum[k] += s[k]
				}
			}
		}
		if len(norms) < len(pts)/3 {
			return refined{}, NoFit
		}
		inv, ok := invert6(h)
		if !ok {
			return refined{}, Flat
		}
		if last {
			return refined{m: m, u: sandwich(inv, scores), agree: st.agreeOf(b, m)}, ""
		}
		var d [6]float64
		for k := range d {
			for l := range g {
				d[k] += inv[k][l] * g[l]
			}
		}
		change := Affine{A: 1 + d[1], B: d[2], X: d[0], C: d[4], D: 1 + d[5], Y: d[3]}
		m = change.Back().Then(m)
		if math.IsNaN(m.A) || math.Hypot(m.X, m.Y) > 0.2 || math.Abs(m.A-1) > 0.2 || math.Abs(m.D-1) > 0.2 || math.Abs(m.B) > 0.2 || math.Abs(m.C) > 0.2 {
			return refined{}, NoFit
		}
		scale = median(norms)
		moved := 0.0
		for _, v := range d {
			moved = math.Max(moved, math.Abs(v)*r)
		}
		if moved < settled {
			step = steps - 1
		}
	}
}

// sandwich is the standard uncertainty of the turn, degrees, by squares that err together.
func sandwich[K comparable](inv [6][6]float64, scores map[K]*[6]float64) float64 {
	// The turn is (p2 − p4)/2 of the parameters, counterclockwise; its row of the inverse.
	var row [6]float64
	for k := range row {
		row[k] = (inv[2][k] - inv[4][k]) / 2
	}
	v := 0.0
	for _, s := range scores {
		d := 0.0
		for k := range row {
			d += row[k] * s[k]
		}
		v += d * d
	}
	return math.Sqrt(v) * 180 / math.Pi
}
