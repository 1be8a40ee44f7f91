package othercoin

import "math"

// Camera looks at a place of the table from a distance.
type Camera struct {
	Width, Height int
	Focal         float64 // pixels
	Distance      float64 // mm from where it looks
	X, Y          float64 // where it looks, mm
	Tilt, Side    float64 // radians off straight down, and the side to which it stands
	Roll          float64 // radians, the picture's clockwise
	ShiftX        float64 // of the picture, pixels: what a hand's tremor does between two
	ShiftY        float64
}

// eye is a camera made ready.
type eye struct {
	*Camera
	at, forth, right, down vec
}

func (c *Camera) ready() eye {
	back := vec{math.Sin(c.Tilt) * math.Cos(c.Side), math.Sin(c.Tilt) * math.Sin(c.Side), math.Cos(c.Tilt)}
	e := eye{Camera: c, at: vec{c.X, c.Y, 0}.add(back.times(c.Distance)), forth: back.times(-1)}
	x := vec{1, 0, 0}
	x = x.sub(e.forth.times(x.dot(e.forth))).unit()
	y := x.cross(e.forth)
	s, k := math.Sincos(c.Roll)
	e.right, e.down = x.times(k).add(y.times(s)), y.times(k).sub(x.times(s))
	return e
}

// ray is the direction of what a place in the picture sees; the first pixel is 0 to 1.
func (e *eye) ray(u, v float64) vec {
	a, b := (u-float64(e.Width)/2-e.ShiftX)/e.Focal, (v-float64(e.Height)/2-e.ShiftY)/e.Focal
	return e.forth.add(e.right.times(a)).add(e.down.times(b)).unit()
}

// pixel is where a place is seen.
func (e *eye) pixel(p vec) (u, v float64) {
	d := p.sub(e.at)
	z := d.dot(e.forth)
	return float64(e.Width)/2 + e.ShiftX + e.Focal*d.dot(e.right)/z, float64(e.Height)/2 + e.ShiftY + e.Focal*d.dot(e.down)/z
}

// Ellipse is an edge as it is seen, in pixels; the first pixel's middle is 0.5, 0.5.
type Ellipse struct {
	X, Y, Long, Short float64 // middle and half axes
	Angle             float64 // radians, of the long axis from right toward down
}

// ring is the ellipse of a circle around x, y at the height z: five of its points determine
// the conic A·u² + B·uv + C·v² + D·u + E·v = 1.
func (e *eye) ring(x, y, z, radius float64) Ellipse {
	var m [5][6]float64
	mu, mv := e.pixel(vec{x, y, z})
	scale := e.Focal * radius / e.Distance
	for i := range m {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 5)
		u, v := e.pixel(vec{x + radius*c, y + radius*s, z})
		u, v = (u-mu)/scale, (v-mv)/scale
		m[i] = [6]float64{u * u, u * v, v * v, u, v, 1}
	}
	for i := range m {
		best := i
		for r := i; r < 5; r++ {
			if math.Abs(m[r][i]) > math.Abs(m[best][i]) {
				best = r
			}
		}
		m[i], m[best] = m[best], m[i]
		for r := range m {
			if r == i {
				continue
			}
			k := m[r][i] / m[i][i]
			for c := i; c < 6; c++ {
				m[r][c] -= k * m[i][c]
			}
		}
	}
	var q [5]float64
	for i := range q {
		q[i] = m[i][5] / m[i][i]
	}
	a, b, c, d, f := q[0], q[1], q[2], q[3], q[4]
	det := 4*a*c - b*b
	u0, v0 := (b*f-2*c*d)/det, (b*d-2*a*f)/det
	level := 1 + a*u0*u0 + b*u0*v0 + c*v0*v0
	mean, half := (a+c)/2, math.Hypot((a-c)/2, b/2)
	out := Ellipse{X: mu + scale*u0, Y: mv + scale*v0, Long: scale * math.Sqrt(level/(mean-half)), Short: scale * math.Sqrt(level/(mean+half))}
	out.Angle = 0.5*math.Atan2(b, a-c) + math.Pi/2
	return out
}
