package segments

// point is where the point stands in the gap to the right of a cell, by (u, v) of that cell.
type point struct{ u, v float64 }

// beside is where a point's ink is measured in a gap: on it, and in the gap above.
type beside struct{ on, off taps }

func (l *layout) beside(r *raster, cell int, p point) (b beside) {
	du, dv := 0.3*l.stroke/l.width, 0.3*l.stroke/l.height
	for _, q := range [...][2]float64{{0, 0}, {-du, 0}, {du, 0}, {0, -dv}, {0, dv}} {
		b.on.add(r, l.at(cell, p.u+q[0], p.v+q[1]))
	}
	for _, v := range [...]float64{0.62, 0.7, 0.3, 0.4} {
		b.off.add(r, l.at(cell, p.u, v))
	}
	return b
}

// ink is by how much the point's place is darker than the gap above, or brighter, by the sign.
func (b *beside) ink(r *raster, sign float32) float32 {
	return sign * (r.meanOn(&b.off) - r.meanOn(&b.on))
}

// pointAt is the ink about a point's place beside a cell.
func (l *layout) pointAt(r *raster, cell int, p point, sign float32) float32 {
	b := l.beside(r, cell, p)
	return b.ink(r, sign)
}

// findPoint looks for the place where the lessons' point has ink and the other gaps have none.
// ink is how much, as a share of a lit segment's.
func (l *layout) findPoint(lessons []lesson, places, cells int, sign float32, full float32) (p point, ink float32) {
	gap := (l.pitch - l.width) / l.width
	tv := l.stroke / l.height
	for _, share := range [...]float64{0.2, 0.35, 0.5, 0.65, 0.8} {
		for _, dv := range [...]float64{-1.1, -0.8, -0.5, -0.2, 0.2} {
			q := point{1 + gap*share, 1 + dv*tv}
			var here, others, n float32
			k := float32(0)
			for i := range lessons {
				le := &lessons[i]
				if le.allLit {
					continue
				}
				k++
				here += l.pointAt(&le.soft, places, q, sign)
				for c := 1; c < min(cells, len(le.shown.digits)); c++ {
					if c != places {
						others += l.pointAt(&le.soft, c, q, sign)
						n++
					}
				}
			}
			if k == 0 {
				continue
			}
			here /= k
			if n > 0 {
				here -= max(others/n, 0)
			}
			if here/full > ink {
				p, ink = q, here/full
			}
		}
	}
	return p, ink
}
