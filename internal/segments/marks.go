package segments

import "math"

// marks is all that isn't digits: unit, other signs, the housing's edge. It must look as it was
// taught, but for signs that came and went then.
type marks struct {
	w, h   int
	free   []float32 // 1 where no digit or point can be
	steady []bool    // free, and never came or went
	inside []bool    // steady, and well inside the window
	near   []float32 // blurred free, for means over free cells only
	taught []float32 // less its surroundings
	slope  []float32 // the size of its gradient
	gx, gy []float32
	ref    float32 // what a mark's stroke is stronger than
	perRow float64 // pixels of the picture to a cell
}

// edge is how near the window's border a mark may be and still count as the unit's: nearer, it may
// be the housing.
const edge = 0.03

// around is how far the surroundings of a cell reach, in cells.
const around = 6

// high is a half-size picture less its surroundings, over the free cells.
func (m *marks) high(half *raster) []float32 {
	masked := *half
	masked.v = make([]float32, len(half.v))
	for k, x := range half.v {
		masked.v[k] = x * m.free[k]
	}
	wide := masked.blurred(around)
	out := masked.v
	for k := range out {
		if m.free[k] > 0 && m.near[k] > 0 {
			out[k] -= wide.v[k] / m.near[k]
		} else {
			out[k] = 0
		}
	}
	return out
}

// threes is the means over three by three cells.
func (m *marks) threes(v []float32) []float32 {
	r := raster{w: m.w, h: m.h, v: v}
	b := r.blurred(1)
	return b.v
}

// newMarks learns the marks from the frames of the teaching. full is a lit segment's ink. It is
// without ref if nothing stands beside the digits.
func newMarks(l *layout, cells int, point *point, seen []raster, full float32, perRow float64) marks {
	first := &seen[0]
	m := marks{w: first.w, h: first.h, perRow: perRow}
	n := m.w * m.h
	m.free, m.steady, m.inside = make([]float32, n), make([]bool, n), make([]bool, n)
	for j := range m.h {
		for i := range m.w {
			if !l.covers(first.place(i, j), cells, point) {
				m.free[j*m.w+i] = 1
			}
		}
	}
	r := raster{w: m.w, h: m.h, v: m.free}
	near := r.blurred(around)
	m.near = near.v
	m.taught = make([]float32, n)
	highs := make([][]float32, len(seen))
	for k := range seen {
		highs[k] = m.high(&seen[k])
		for q, x := range highs[k] {
			m.taught[q] += x / float32(len(seen))
		}
	}
	m.gx, m.gy, m.slope = make([]float32, n), make([]float32, n), make([]float32, n)
	for j := 1; j < m.h-1; j++ {
		for i := 1; i < m.w-1; i++ {
			q := j*m.w + i
			if m.free[q] == 0 || m.free[q-1] == 0 || m.free[q+1] == 0 || m.free[q-m.w] == 0 || m.free[q+m.w] == 0 {
				continue
			}
			m.gx[q] = (m.taught[q+1] - m.taught[q-1]) / 2
			m.gy[q] = (m.taught[q+m.w] - m.taught[q-m.w]) / 2
			m.slope[q] = float32(math.Hypot(float64(m.gx[q]), float64(m.gy[q])))
		}
	}
	lo, hi := make([]float32, n), make([]float32, n)
	for k := range highs {
		for q, x := range m.threes(highs[k]) {
			if k == 0 || x < lo[q] {
				lo[q] = x
			}
			if k == 0 || x > hi[q] {
				hi[q] = x
			}
		}
	}
	mean3 := m.threes(m.taught)
	inner := func(p Point) bool {
		return p.X > edge && p.Y > edge && p.Y < 1-edge && p.X < float64(m.w)/first.scale-2*beyond-edge
	}
	for q, x := range mean3 {
		if m.free[q] > 0 && inner(first.place(q%m.w, q/m.w)) {
			m.ref = max(m.ref, x, -x)
		}
	}
	m.ref = min(m.ref, full/2)
	// A mark that came and went must be known as such before it counts as changed in compare.
	came := func(p int) bool { return hi[p]-lo[p] > 0.3*m.ref+0.8*m.slope[p] }
	steadiest := float32(0)
	for j := range m.h {
		for i := range m.w {
			q := j*m.w + i
			moved := false
			for b := max(j-2, 0); b <= min(j+2, m.h-1); b++ {
				for a := max(i-2, 0); a <= min(i+2, m.w-1); a++ {
					p := b*m.w + a
					moved = moved || came(p)
				}
			}
			m.steady[q] = m.free[q] > 0 && !moved
			m.inside[q] = m.steady[q] && inner(first.place(i, j))
			if m.inside[q] {
				steadiest = max(steadiest, mean3[q], -mean3[q])
			}
		}
	}
	m.ref = min(m.ref, steadiest)
	return m
}

// covers reports whether a place may have ink of a digit or point.
func (l *layout) covers(p Point, cells int, pt *point) bool {
	m := 0.7 * l.stroke
	for c := range cells {
		d := -float64(c)*l.pitch - l.width/2
		h := l.height * (1 + l.taper*d)
		v := (p.Y - (l.y + l.tilt*d)) / h // −0.5 to 0.5
		mid := l.x + d - l.slant*v*h
		if math.Abs(p.X-mid) < l.width/2+m && math.Abs(v)*h < h/2+m {
			return true
		}
		if pt != nil && math.Abs(v-0.5)*h < 2.2*l.stroke {
			at := l.at(c, pt.u, pt.v)
			if math.Abs(p.X-at.X) < 1.3*l.stroke {
				return true
			}
		}
	}
	return false
}

// change is how a frame's marks differ from the taught ones.
type change struct {
	gain    float32 // of contrast
	count   int     // cells that differ beyond doubt
	inside  int     // of these, inside the window
	dx, dy  float64 // how far the picture has moved, in pixels
	certain bool    // there is enough to see movement by
}

// compare a half-size picture with what was taught; full is the frame's ink of lit segments and
// taughtFull that of the teaching.
func (m *marks) compare(half *raster, full, taughtFull float32) change {
	hp := m.high(half)
	gain := full / taughtFull
	c := change{gain: gain}
	diff := make([]float32, len(hp))
	for q := range hp {
		if m.steady[q] {
			diff[q] = hp[q] - gain*m.taught[q]
		}
	}
	three := m.threes(diff)
	limit := 0.4 * gain * m.ref
	var xx, xy, yy, xd, yd float64
	for q, d := range three {
		if !m.steady[q] {
			continue
		}
		if abs(d) > limit+0.4*gain*m.slope[q] {
			c.count++
			if m.inside[q] {
				c.inside++
			}
		}
		gx, gy := float64(gain*m.gx[q]), float64(gain*m.gy[q])
		e := float64(min(max(diff[q], -gain*taughtFull/2), gain*taughtFull/2))
		xx += gx * gx
		xy += gx * gy
		yy += gy * gy
		xd += gx * e
		yd += gy * e
	}
	// Lucas and Kanade's step: diff = −(gx·dx + gy·dy).
	det := xx*yy - xy*xy
	if det > 1e-3*(xx+yy)*(xx+yy) {
		c.certain = true
		c.dx = -(yy*xd - xy*yd) / det * m.perRow
		c.dy = -(xx*yd - xy*xd) / det * m.perRow
	}
	return c
}

func abs(x float32) float32 { return max(x, -x) }
