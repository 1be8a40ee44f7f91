package simcoin

import "math"

type vec [3]float64

func dot(a, b vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func unit(a vec) vec {
	l := math.Sqrt(dot(a, a))
	return vec{a[0] / l, a[1] / l, a[2] / l}
}

// view is where the camera stands: back points from the table to it, right and down lie in the
// picture.
type view struct {
	at, back, right, down vec
	focal, midX, midY     float64
}

func (c Camera) view() view {
	far := c.Distance
	if far == 0 {
		far = 300
	}
	tx, ty := direction(c.TiltTo)
	sin, cos := math.Sincos(c.Tilt * math.Pi / 180)
	back := vec{tx * sin, ty * sin, cos}
	// The shortest turn that takes straight up to back takes the table's axes to the picture's.
	up := vec{back[0], back[1], 1 + back[2]}
	axis := func(v vec) vec {
		k := dot(up, v) / (1 + back[2])
		return vec{v[0] - k*up[0], v[1] - k*up[1], v[2] - k*up[2]}
	}
	return view{
		at: vec{back[0] * far, back[1] * far, back[2] * far}, back: back,
		right: axis(vec{1, 0, 0}), down: axis(vec{0, 1, 0}),
		focal: c.PxPerMM * far,
		midX:  float64(c.Width)/2 + c.ShiftX, midY: float64(c.Height)/2 + c.ShiftY,
	}
}

// ray goes from the camera through a place of the picture.
func (v view) ray(px, py float64) vec {
	a, b := px-v.midX, py-v.midY
	return vec{
		a*v.right[0] + b*v.down[0] - v.focal*v.back[0],
		a*v.right[1] + b*v.down[1] - v.focal*v.back[1],
		a*v.right[2] + b*v.down[2] - v.focal*v.back[2],
	}
}

// meets is where a ray meets the level z.
func (v view) meets(ray vec, z float64) (x, y float64) {
	t := (z - v.at[2]) / ray[2]
	return v.at[0] + t*ray[0], v.at[1] + t*ray[1]
}

// truth takes a coin's top to the picture.
func (v view) truth(p Placed) Truth {
	middle := vec{p.X - v.at[0], p.Y - v.at[1], p.Thickness - v.at[2]}
	h := [9]float64{}
	for col, d := range [3]vec{{1, 0, 0}, {0, 1, 0}, middle} {
		far := -dot(v.back, d)
		h[col] = v.focal*dot(v.right, d) + v.midX*far
		h[3+col] = v.focal*dot(v.down, d) + v.midY*far
		h[6+col] = far
	}
	t := Truth{Turn: p.Turn, toPicture: h}
	// The circle x² + y² = r² as a conic, carried along: G = H^-T diag(1, 1, -r²) H^-1.
	g := inverse(h)
	r := p.Diameter / 2
	q := [3]float64{1, 1, -r * r}
	var m [9]float64
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				m[3*i+j] += g[3*k+i] * q[k] * g[3*k+j]
			}
		}
	}
	// Middle: where the gradient is nought; axes: the eigenvalues of the quadratic part.
	det := m[0]*m[4] - m[1]*m[1]
	x, y := (m[1]*m[5]-m[4]*m[2])/det, (m[1]*m[2]-m[0]*m[5])/det
	f := m[2]*x + m[5]*y + m[8]
	mean, half := (m[0]+m[4])/2, math.Hypot((m[0]-m[4])/2, m[1])
	small, large := mean-half, mean+half
	if mean < 0 {
		small, large = mean+half, mean-half
	}
	long := math.Atan2(small-m[0], m[1])
	if math.Abs(m[1]) < 1e-18*math.Abs(mean) {
		long = 0
		if math.Abs(m[0]) > math.Abs(m[4]) {
			long = math.Pi / 2
		}
	}
	t.Edge = Ellipse{X: x, Y: y, A: math.Sqrt(-f / small), B: math.Sqrt(-f / large), Turn: math.Remainder(-long*180/math.Pi, 180)}
	t.PxPerMM = 2 * t.Edge.A / p.Diameter
	return t
}

func inverse(h [9]float64) (g [9]float64) {
	minor := func(a, b, c, d int) float64 { return h[a]*h[d] - h[b]*h[c] }
	g = [9]float64{
		minor(4, 5, 7, 8), -minor(1, 2, 7, 8), minor(1, 2, 4, 5),
		-minor(3, 5, 6, 8), minor(0, 2, 6, 8), -minor(0, 2, 3, 5),
		minor(3, 4, 6, 7), -minor(0, 1, 6, 7), minor(0, 1, 3, 4),
	}
	det := h[0]*g[0] + h[1]*g[3] + h[2]*g[6]
	for i := range g {
		g[i] /= det
	}
	return g
}
