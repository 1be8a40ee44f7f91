package segments

import "math"

// around is how far the surroundings of a half-size cell reach, in cells: what a stroke is darker
// or brighter than.
const around = 6

// high writes a half-size picture less its surroundings.
func (e *eye) high(half *raster, into []float32) []float32 {
	w := half.w
	for j := range half.h {
		e.around.row(half.v, j, into[j*w:(j+1)*w])
	}
	mix(into, -1, half.v, 1)
	return into
}

// target is what frames are laid upon: a half-size picture less its surroundings.
type target struct {
	w, h   int
	v      []float32
	small  raster // at half the size again
	size   float32
	energy float32 // the sum of its squares

	// gx, gy and gg are its gradient and the square of that, once a step is taken.
	gx, gy, gg []float32
	steep      bool // these are of v
}

func newTarget(w, h int, v []float32) *target {
	t := &target{w: w, h: h, v: v}
	t.small.v = make([]float32, (w/2)*(h/2))
	t.prepare()
	return t
}

func (t *target) prepare() {
	r := raster{w: t.w, h: t.h, v: t.v}
	t.energy = dot(t.v, t.v)
	t.size = float32(math.Sqrt(float64(t.energy) / float64(len(t.v))))
	t.steep = false
	t.small = r.halvedInto(t.small.v)
}

// gradients readies them; what frames are only compared with needs none.
func (t *target) gradients() {
	if t.steep {
		return
	}
	t.steep = true
	if t.gx == nil {
		t.gx, t.gy, t.gg = make([]float32, len(t.v)), make([]float32, len(t.v)), make([]float32, len(t.v))
	}
	for j := 1; j < t.h-1; j++ {
		for i := 1; i < t.w-1; i++ {
			q := j*t.w + i
			x, y := (t.v[q+1]-t.v[q-1])/2, (t.v[q+t.w]-t.v[q-t.w])/2
			t.gx[q], t.gy[q], t.gg[q] = x, y, x*x+y*y
		}
	}
}

// blend lets the target follow what is seen, by a share.
func (t *target) blend(seen []float32, gain, share float32) {
	mix(t.v, 1-share, seen, share/gain)
	t.prepare()
}

// reach is how far a frame may lie from the one before, in cells of a target's small picture.
const reach = 4

// coarse is the move that lays a picture upon the target best, by least squares cut off at a
// limit, so that what has changed counts little. By whole small cells, given in half-size ones, and
// not beyond furthest from where it was taught. small is the place for the picture at half its size.
func (t *target) coarse(hp []float32, gain float32, now warp, furthest float64, small []float32) (dx, dy float64) {
	r := raster{w: t.w, h: t.h, v: hp}
	s := r.halvedInto(small)
	limit := 4 * t.size * t.size
	w, h := s.w, s.h
	if w <= 2*reach || h <= 2*reach {
		return 0, 0
	}
	// differs is how badly a move lays it, or at least best: most moves are worse after some rows.
	differs := func(a, b int, best float32) (sum float32) {
		more := 1 + 0.004*float32(a*a+b*b)
		for j := reach; j < h-reach && sum*more < best; j++ {
			ts := t.small.v[j*w+reach : (j+1)*w-reach]
			is := s.v[(j+b)*w+a+reach:][:len(ts)]
			for i, x := range is {
				e := x - gain*ts[i]
				e *= e
				if e > limit {
					e = limit
				}
				sum += e
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
		limit := 3 * t.size * max(gain, 0.1)
		ti, tt := within(limit*limit, gain, hp, t.v)
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
	t.gradients()
	inverse, tv := 1/gain, t.v[:len(hp)]
	k := 2*distances(inverse, hp, tv)/float32(len(hp)) + 1e-3
	kk := k * k
	steep, cauchy := kk/16, 1/kk
	// The matrix of g·gᵀ over the gradients g for move, size and turn, and −e·g; written out, since
	// this is where most cells are looked at.
	var xx, xy, xs, xr, yy, ys, yr, ss, sr, rr float64
	var xe, ye, se, re float64
	cx, cy := float32(t.w)/2, float32(t.h)/2
	for j := 1; j < t.h-1; j++ {
		y := float32(j) + 0.5 - cy
		row := j * t.w
		gg := t.gg[row : row+t.w-1]
		gxs, gys := t.gx[row:][:len(gg)], t.gy[row:][:len(gg)]
		seen, want := hp[row:][:len(gg)], tv[row:][:len(gg)]
		for i, g := range gg {
			if g < steep || i == 0 {
				continue
			}
			gx, gy := gxs[i], gys[i]
			e := seen[i]*inverse - want[i]
			wt := 1 / (1 + e*e*cauchy)
			x := float32(i) + 0.5 - cx
			gs, gr := gx*x+gy*y, gy*x-gx*y
			wx, wy, ws, wr := wt*gx, wt*gy, wt*gs, wt*gr
			xx += float64(wx * gx)
			xy += float64(wx * gy)
			xs += float64(wx * gs)
			xr += float64(wx * gr)
			yy += float64(wy * gy)
			ys += float64(wy * gs)
			yr += float64(wy * gr)
			ss += float64(ws * gs)
			sr += float64(ws * gr)
			rr += float64(wr * gr)
			xe -= float64(wx * e)
			ye -= float64(wy * e)
			se -= float64(ws * e)
			re -= float64(wr * e)
		}
	}
	const loose, tight = 3.0, 0.004
	free, held := float64(kk)/loose/loose, float64(kk)/tight/tight
	d := solve(&[4][5]float64{
		{xx + free, xy, xs, xr, xe},
		{xy, yy + free, ys, yr, ye},
		{xs, ys, ss + held, sr, se - held*now.s},
		{xr, yr, sr, rr + held, re - held*now.r},
	})
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
	ti, ii := dot(t.v, hp), dot(hp, hp)
	if t.energy == 0 || ii == 0 {
		return 0
	}
	return ti / float32(math.Sqrt(float64(t.energy)*float64(ii)))
}

// follow finds how the display lies in a frame, from where it lay in the one before. near is what
// it looked like then, exact what it should look like.
func (e *eye) follow(f Frame, w warp, furthest float64, near, exact *target) (warp, float32) {
	half := e.half.look(f, w, e.seenHalf)
	hp := e.high(&half, e.seenHigh)
	gain := near.gainOf(hp)
	dx, dy := near.coarse(hp, gain, w, furthest, e.seenSmall)
	w.dx += dx
	w.dy += dy
	for range 4 {
		if dx != 0 || dy != 0 {
			half = e.half.look(f, w, e.seenHalf)
			hp = e.high(&half, e.seenHigh)
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
