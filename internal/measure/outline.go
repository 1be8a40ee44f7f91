package measure

import (
	"math"

	"panside/internal/rectify"
)

// outline refuses what isn't one.
func outline(p []rectify.Point) Why {
	if len(p) < 3 {
		return Few
	}
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		if a == b {
			return Same
		}
		for j := i + 2; j < len(p); j++ {
			if c, d := p[j], p[(j+1)%len(p)]; (j+1)%len(p) != i && cuts(a, b, c, d) {
				return Crossed
			}
		}
	}
	return ""
}

// cuts reports whether two lines cross within both.
func cuts(a, b, c, d rectify.Point) bool {
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// side is twice the area of the triangle, by the sense of its corners.
func side(a, b, c rectify.Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// area is Gauss's: half the sum of the cross products around.
func area(p []rectify.Point) float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += a.X*b.Y - a.Y*b.X
	}
	return math.Abs(sum) / 2
}

// within is the area that an outline has in common with the circle of that radius around the
// origin: the sum over its lines of the signed area that the triangle from the origin has in common,
// of triangles where the line runs inside and of sectors where it runs outside.
func within(p []rectify.Point, r float64) float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		dx, dy := b.X-a.X, b.Y-a.Y
		// |a + t (b - a)| = r
		qa, qb, qc := dx*dx+dy*dy, a.X*dx+a.Y*dy, a.X*a.X+a.Y*a.Y-r*r
		if d := qb*qb - qa*qc; d <= 0 {
			sum += sector(a, b, r)
		} else {
			s := math.Sqrt(d)
			t0, t1 := math.Max((-qb-s)/qa, 0), math.Min((-qb+s)/qa, 1)
			if t0 >= t1 {
				sum += sector(a, b, r)
				continue
			}
			in := rectify.Point{X: a.X + t0*dx, Y: a.Y + t0*dy}
			out := rectify.Point{X: a.X + t1*dx, Y: a.Y + t1*dy}
			sum += (in.X*out.Y - in.Y*out.X) / 2
			if t0 > 0 {
				sum += sector(a, in, r)
			}
			if t1 < 1 {
				sum += sector(out, b, r)
			}
		}
	}
	return math.Abs(sum)
}

// sector is the signed area of the circle between the directions to two places.
func sector(a, b rectify.Point, r float64) float64 {
	return r * r / 2 * math.Atan2(a.X*b.Y-a.Y*b.X, a.X*b.X+a.Y*b.Y)
}
