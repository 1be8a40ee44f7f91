package othercoin

import "math"

// grid is how many points a height field has along each side of the square around its coin.
const grid = 1024

// field is heights above the face's lowest plane, mm, row by row, over a square around the coin.
type field struct {
	radius float64 // mm
	pitch  float64 // mm from point to point
	z      []float32
	nx, ny []float32 // slopes dz/dx, dz/dy
	top    float64   // the greatest height
}

func newField(radius float64) *field {
	return &field{radius: radius, pitch: 2 * radius / (grid - 1), z: make([]float32, grid*grid)}
}

func (f *field) copied() *field {
	g := newField(f.radius)
	copy(g.z, f.z)
	return g
}

// each calls with all points within a box, mm.
func (f *field) each(x1, y1, x2, y2 float64, at func(i int, x, y float64)) {
	lo := func(v float64) int { return max(0, int(math.Ceil((v+f.radius)/f.pitch))) }
	hi := func(v float64) int { return min(grid-1, int(math.Floor((v+f.radius)/f.pitch))) }
	for r := lo(y1); r <= hi(y2); r++ {
		y := float64(r)*f.pitch - f.radius
		for c := lo(x1); c <= hi(x2); c++ {
			at(r*grid+c, float64(c)*f.pitch-f.radius, y)
		}
	}
}

// smooth rises from 0 to 1.
func smooth(t float64) float64 {
	t = min(1, max(0, t))
	return t * t * (3 - 2*t)
}

// raise strikes lines of a width, a height and a draft into the field over what is below them.
func (f *field) raise(all []line, width, height, draft float64, over *field) {
	reach := width/2 + draft
	for _, l := range all {
		dx, dy := l.x2-l.x1, l.y2-l.y1
		length := dx*dx + dy*dy
		f.each(min(l.x1, l.x2)-reach, min(l.y1, l.y2)-reach, max(l.x1, l.x2)+reach, max(l.y1, l.y2)+reach, func(i int, x, y float64) {
			t := 0.0
			if length > 0 {
				t = min(1, max(0, ((x-l.x1)*dx+(y-l.y1)*dy)/length))
			}
			d := math.Hypot(x-l.x1-t*dx, y-l.y1-t*dy)
			if d < reach {
				h := float32(height * smooth((reach-d)/(2*draft)))
				f.z[i] = max(f.z[i], over.z[i]+h)
			}
		})
	}
}

// dome adds a smooth hill, of half axes a and b turned by an angle; bent above 1 flattens it.
func (f *field) dome(x0, y0, a, b, angle, height, bent float64) {
	s, c := math.Sincos(angle)
	r := max(a, b)
	f.each(x0-r, y0-r, x0+r, y0+r, func(i int, x, y float64) {
		u, v := ((x-x0)*c+(y-y0)*s)/a, (-(x-x0)*s+(y-y0)*c)/b
		if q := u*u + v*v; q < 1 {
			h := float32(height * math.Pow(1-math.Pow(q, bent), 0.6))
			// Hills flow into each other rather than pile up.
			f.z[i] = max(f.z[i], h) + 0.15*min(f.z[i], h)
		}
	})
}

// soften is a box mean of the half width n points, twice along rows and columns.
func soften(z []float32, n int) {
	if n < 1 {
		return
	}
	line := make([]float32, grid)
	pass := func(start, step int) {
		sum := float32(0)
		for k := -n; k <= n; k++ {
			sum += z[start+min(grid-1, max(0, k))*step]
		}
		for i := range grid {
			line[i] = sum / float32(2*n+1)
			sum += z[start+min(grid-1, i+n+1)*step] - z[start+max(0, i-n)*step]
		}
		for i, v := range line {
			z[start+i*step] = v
		}
	}
	for range 2 {
		for r := range grid {
			pass(r*grid, 1)
			pass(r, grid)
		}
	}
}

// finish finds slopes and the greatest height.
func (f *field) finish() {
	f.nx, f.ny, f.top = make([]float32, grid*grid), make([]float32, grid*grid), 0
	k := float32(1 / (2 * f.pitch))
	for r := range grid {
		up, down := max(0, r-1)*grid, min(grid-1, r+1)*grid
		for c := range grid {
			i := r*grid + c
			f.nx[i] = k * (f.z[r*grid+min(grid-1, c+1)] - f.z[r*grid+max(0, c-1)])
			f.ny[i] = k * (f.z[down+c] - f.z[up+c])
			f.top = max(f.top, float64(f.z[i]))
		}
	}
}

// place is where x, y lies among the points: the upper left one's number and the shares beyond it.
func (f *field) place(x, y float64) (i int, u, v float32) {
	a, b := (x+f.radius)/f.pitch, (y+f.radius)/f.pitch
	c, r := min(grid-2, max(0, int(a))), min(grid-2, max(0, int(b)))
	return r*grid + c, float32(a - float64(c)), float32(b - float64(r))
}

func mix(z []float32, i int, u, v float32) float32 {
	top := z[i] + u*(z[i+1]-z[i])
	low := z[i+grid] + u*(z[i+grid+1]-z[i+grid])
	return top + v*(low-top)
}

// height is z at x, y, between the points.
func (f *field) height(x, y float64) float64 {
	i, u, v := f.place(x, y)
	return float64(mix(f.z, i, u, v))
}

// slopes are dz/dx and dz/dy at x, y.
func (f *field) slopes(x, y float64) (float64, float64) {
	i, u, v := f.place(x, y)
	return float64(mix(f.nx, i, u, v)), float64(mix(f.ny, i, u, v))
}
