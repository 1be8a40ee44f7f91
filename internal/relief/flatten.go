package relief

import (
	"math"
	"slices"

	"panside/internal/cholesky"
	"panside/internal/picture"
)

// grid is into how many squares a side a frame is cut to find its field's light.
const grid = 24

// flattened divides a frame by the quadratic surface through the light of its field, and multiplies
// by the share of the lamp's light that falls on flat metal, so that flat metal has that share in
// every frame: c0 + c1 u + c2 v + c3 u² + c4 u v + c5 v² by least squares through the squares' median
// light, with those off by more than a quarter left out once.
func flattened(p picture.Picture, on Disc, share float64) (picture.Picture, Why) {
	var pts [][3]float64
	white, dark, all := 0, 0, 0
	var values []float32
	for gy := range grid {
		for gx := range grid {
			x0, x1, y0, y1 := gx*p.W/grid, (gx+1)*p.W/grid, gy*p.H/grid, (gy+1)*p.H/grid
			mx, my := float64(x0+x1)/2, float64(y0+y1)/2
			if !on.holds(mx, my, 0.85) {
				continue
			}
			values = values[:0]
			stepX, stepY := max((x1-x0)/8, 1), max((y1-y0)/8, 1)
			for y := y0; y < y1; y += stepY {
				for x := x0; x < x1; x += stepX {
					v := p.Light[y*p.W+x]
					values = append(values, v)
					all++
					if v > 0.985 {
						white++
					}
					if v < 0.004 {
						dark++
					}
				}
			}
			slices.Sort(values)
			pts = append(pts, [3]float64{2*mx/float64(p.W) - 1, 2*my/float64(p.H) - 1, float64(values[len(values)/2])})
		}
	}
	switch {
	case len(pts) < 30 || 2*dark > all:
		return picture.Picture{}, Dark
	case 3*white > all:
		return picture.Picture{}, Glare
	}
	c, ok := quadric(pts)
	if ok {
		kept := slices.DeleteFunc(slices.Clone(pts), func(q [3]float64) bool {
			v := surface(c, q[0], q[1])
			return math.Abs(q[2]-v) > 0.25*v
		})
		if len(kept) >= 30 {
			c, ok = quadric(kept)
		}
	}
	if !ok {
		return picture.Picture{}, Dark
	}
	mean := c[0] + (c[3]+c[5])/3
	least := math.Max(0.15*mean, 1e-3)
	out := picture.New(p.W, p.H)
	for y := range p.H {
		v := 2*(float64(y)+0.5)/float64(p.H) - 1
		for x := range p.W {
			u := 2*(float64(x)+0.5)/float64(p.W) - 1
			out.Light[y*p.W+x] = p.Light[y*p.W+x] * float32(share/math.Max(surface(c, u, v), least))
		}
	}
	return out, ""
}

func surface(c []float64, u, v float64) float64 {
	return c[0] + c[1]*u + c[2]*v + c[3]*u*u + c[4]*u*v + c[5]*v*v
}

func quadric(pts [][3]float64) ([]float64, bool) {
	const n = 6
	m, r := make([]float64, n*n), make([]float64, n)
	for _, p := range pts {
		b := [n]float64{1, p[0], p[1], p[0] * p[0], p[0] * p[1], p[1] * p[1]}
		for i, v := range b {
			r[i] += v * p[2]
			for j, w := range b {
				m[i*n+j] += v * w
			}
		}
	}
	return r, cholesky.Solve(m, r)
}
