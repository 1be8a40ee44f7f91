package segments

import "math"

// around is how far the surroundings of a half-size cell reach, in cells: what a stroke is darker
// or brighter than.
const around = 6

// high is a half-size picture less its surroundings.
func high(half *raster) []float32 {
	wide := half.blurred(around)
	for k, x := range half.v {
		wide.v[k] = x - wide.v[k]
	}
	return wide.v
}

// target is what frames are laid upon: a half-size picture less its surroundings.
type target struct {
	w, h   int
	v      []float32
	gx, gy []float32
	small  raster // at half the size again
	size   float32
}

func newTarget(w, h int, v []float32) *target {
	t := &target{w: w, h: h, v: v, gx: make([]float32, len(v)), gy: make([]float32, len(v))}
	t.prepare()
	return t
}

func (t *target) prepare() {
	r := raster{w: t.w, h: t.h, v: t.v}
	var sum float32
	for _, x := range t.v {
		sum += x * x
	}
	t.size = float32(math.Sqrt(float64(sum) / float64(len(t.v))))
	for j := 1; j < t.h-1; j++ {
		for i := 1; i < t.w-1; i++ {
			q := j*t.w + i
			t.gx[q] = (t.v[q+1] - t.v[q-1]) / 2
			t.gy[q] = (t.v[q+t.w] - t.v[q-t.w]) / 2
		}
	}
	t.small = r.halved()
}

// blend lets the target follow what is seen, by a share.
func (t *target) blend(seen []float32, gain, share float32) {
	for q, x := range seen {
		t.v[q] += share * (x/gain - t.v[q])
	}
	t.prepare()
}

// reach is how far a frame may lie from the one before, in cells of a target's small picture.
const reach = 4

// coarse is the move that lays a picture upon the target best, by least squares cut off at a
// limit, so that what has changed counts little. By whole small cells, given in half-size ones, and
// not beyond furthest from where it was taught.
func (t *target) coarse(hp []float32, gain float32, now warp, furthest float64) (dx, dy float64) {
	r := raster{w: t.w, h: t.h, v: hp}
	s := r.halved()
	limit := 4 * t.size * t.size
	w, h := s.w, s.h
	// differs is how badly a move lays it, or at least best: most moves are worse after some rows.
	differs := func(a, b int, best float32) (sum float32) {
		more := 1 + 0.004*float32(a*a+b*b)
		for j := reach; j < h-reach && sum*more < best; j++ {
			is := s.v[(j+b)*w+a+reach : (j+b+1)*w+a-reach]
			ts := t.small.v[j*w+reach : (j+1)*w-reach]
			for i, x := range is {
				e := x - gain*ts[i]
				sum += min(e*e, limit)
			}
		}
		return sum * more
	}
	best := differs(0, 0, float32(math.Inf(1)))
	for b := -reach; b <= reach; b++ {
		for a := -reach; a <= reach; a++ {
			if a == 0 && b == 0 || math.Hypot(now.dx+float64(2*a), now.dy+float64(2*b)) > furthest {
				continue
			}
			if d := differs(a, b, best); d < best {
				best, dx, dy = d, float64(2*a), float64(2*b)
			}
		}
	}
	return dx, dy
}

// gainOf is how much stronger a picture's contrast is than the target's.
func (t *target) gainOf(hp []float32) float32 {
	gain := float32(1)
	for range 2 {
		var ti, tt float32
		limit := 3 * t.size * max(gain, 0.1)
		for q, x := range hp {
			if e := x - gain*t.v[q]; e > limit || e < -limit {
				continue
			}
			ti += t.v[q] * x
			tt += t.v[q] * t.v[q]
		}
		if tt == 0 {
			return 1
		}
		gain = ti / tt
	}
	return min(max(gain, 0.05), 20)
}

// step is one step of Lucas and Kanade's method toward the target, with the weights of Cauchy's
// distribution against what has changed: I(q) = T(q − δ) ≈ T − ∇T·δ. Size and turn are held near
// none, now.
func (t *target) step(hp []float32, gain float32, now warp) warp {
	var mean float32
	for q, x := range hp {
		mean += abs(x/gain - t.v[q])
	}
	k := 2*mean/float32(len(hp)) + 1e-3
	var m [4][5]float64
	cx, cy := float32(t.w)/2, float32(t.h)/2
	for j := 1; j < t.h-1; j++ {
		y := float32(j) + 0.5 - cy
		for i := 1; i < t.w-1; i++ {
			q := j*t.w + i
			gx, gy := t.gx[q], t.gy[q]
			if gx*gx+gy*gy < k*k/16 {
				continue
			}
			e := hp[q]/gain - t.v[q]
			wt := 1 / (1 + e*e/(k*k))
			x := float32(i) + 0.5 - cx
			g := [4]float32{gx, gy, gx*x + gy*y, gy*x - gx*y}
			for a := range g {
				wg := wt * g[a]
				for b := a; b < 4; b++ {
					m[a][b] += float64(wg * g[b])
				}
				m[a][4] -= float64(wg * e)
			}
		}
	}
	const loose, tight = 3.0, 0.004
	kk := float64(k) * float64(k)
	m[0][0] += kk / loose / loose
	m[1][1] += kk / loose / loose
	m[2][2] += kk / tight / tight
	m[3][3] += kk / tight / tight
	m[2][4] -= kk / tight / tight * now.s
	m[3][4] -= kk / tight / tight * now.r
	for a := range 4 {
		for b := range a {
			m[a][b] = m[b][a]
		}
	}
	d := solve(&m)
	lim := func(x, most float64) float64 { return min(max(x, -most), most) }
	return warp{lim(d[0], 1.5), lim(d[1], 1.5), lim(d[2], 0.01), lim(d[3], 0.01)}
}

// solve four equations whose matrix is positive definite, by elimination.
func solve(m *[4][5]float64) (x [4]float64) {
	for i := range m {
		p := m[i][i]
		if p < 1e-12 {
			return x
		}
		for r := i + 1; r < 4; r++ {
			f := m[r][i] / p
			for c := i; c < 5; c++ {
				m[r][c] -= f * m[i][c]
			}
		}
	}
	for i := 3; i >= 0; i-- {
		x[i] = m[i][4]
		for c := i + 1; c < 4; c++ {
			x[i] -= m[i][c] * x[c]
		}
		x[i] /= m[i][i]
	}
	return x
}

// alike is the correlation of a picture with the target, over all cells.
func (t *target) alike(hp []float32) float32 {
	var ti, tt, ii float32
	for q, x := range hp {
		ti += t.v[q] * x
		tt += t.v[q] * t.v[q]
		ii += x * x
	}
	if tt == 0 || ii == 0 {
		return 0
	}
	return ti / float32(math.Sqrt(float64(tt)*float64(ii)))
}

// follow finds how the display lies in a frame, from where it lay in the one before. near is what
// it looked like then, exact what it should look like.
func (e *eye) follow(f Frame, w warp, furthest float64, near, exact *target, buf []float32) (warp, float32) {
	half := e.half.look(f, w, buf)
	hp := high(&half)
	gain := near.gainOf(hp)
	dx, dy := near.coarse(hp, gain, w, furthest)
	w.dx += dx
	w.dy += dy
	for range 4 {
		if dx != 0 || dy != 0 {
			half = e.half.look(f, w, buf)
			hp = high(&half)
		}
		gain = exact.gainOf(hp)
		d := exact.step(hp, gain, w)
		w = w.plus(d)
		dx, dy = d.dx, d.dy
		if math.Abs(dx)+math.Abs(dy) < 0.04 {
			break
		}
	}
	return w, gain
}
