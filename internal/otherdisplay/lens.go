package otherdisplay

import "math"

// lens takes the glass to the picture and back.
type lens struct{ to, back [9]float64 }

func through(h *[9]float64, p xy) xy {
	w := h[6]*p.x + h[7]*p.y + h[8]
	return xy{(h[0]*p.x + h[1]*p.y + h[2]) / w, (h[3]*p.x + h[4]*p.y + h[5]) / w}
}

// view is where a camera stands: the middle of what it looks at, its angles in radians, the
// distance in heights of a digit, and what it makes of a height, in pixels.
type view struct {
	middle                            xy
	pitch, yaw, roll, shear, distance float64
	pixels                            float64
	at                                xy // of the middle in the picture
}

func (v view) lens() lens {
	sp, cp := math.Sincos(v.pitch)
	sy, cy := math.Sincos(v.yaw)
	sr, cr := math.Sincos(v.roll)
	// The glass, turned about its axes, seen from the distance: (X, Y)·d/(d + Z).
	ax, ay := cy, v.shear // X of a unit step right, down
	bx, by := sp*sy, cp
	zx, zy := -sy*cp/v.distance, sp/v.distance
	k := v.pixels
	a := [9]float64{
		k * (cr*ax - sr*bx), k * (cr*ay - sr*by), 0,
		k * (sr*ax + cr*bx), k * (sr*ay + cr*by), 0,
		zx, zy, 1,
	}
	for c := range 3 { // shift to the picture's place
		a[c] += v.at.x * a[6+c]
		a[3+c] += v.at.y * a[6+c]
	}
	for r := range 3 { // from the glass's own middle
		a[3*r+2] -= a[3*r]*v.middle.x + a[3*r+1]*v.middle.y
	}
	return lens{a, inverse(a)}
}

func inverse(m [9]float64) [9]float64 {
	c := [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	det := m[0]*c[0] + m[1]*c[3] + m[2]*c[6]
	for i := range c {
		c[i] /= det
	}
	return c
}

// part is an element's share of a pixel.
type part struct {
	at    int32
	share float32
}

// cover is what polygons share of the pixels of a picture, blurred by a Gaussian of the
// standard deviation sigma, in pixels.
func (l *lens) cover(all []polygon, width, height int, sigma float64) []part {
	lo, hi := xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	for _, p := range all {
		for _, q := range p {
			q = through(&l.to, q)
			lo.x, lo.y, hi.x, hi.y = math.Min(lo.x, q.x), math.Min(lo.y, q.y), math.Max(hi.x, q.x), math.Max(hi.y, q.y)
		}
	}
	rim := 1 + int(3*sigma)
	x0, y0 := int(math.Floor(lo.x))-rim, int(math.Floor(lo.y))-rim
	w, h := int(math.Ceil(hi.x))+rim-x0, int(math.Ceil(hi.y))+rim-y0
	if w <= 0 || h <= 0 || w > 4*width || h > 4*height {
		return nil
	}
	field := make([]float64, w*h)
	const sub = 4
	for y := rim; y < h-rim; y++ {
		for x := rim; x < w-rim; x++ {
			for k := range sub * sub {
				q := through(&l.back, xy{float64(x0+x) + (float64(k%sub)+0.5)/sub, float64(y0+y) + (float64(k/sub)+0.5)/sub})
				for _, p := range all {
					if p.holds(q) {
						field[y*w+x] += 1.0 / (sub * sub)
						break
					}
				}
			}
		}
	}
	blur(field, w, h, sigma)
	var out []part
	for y := range h {
		for x := range w {
			if v := field[y*w+x]; v > 0.003 && x0+x >= 0 && x0+x < width && y0+y >= 0 && y0+y < height {
				out = append(out, part{int32((y0+y)*width + x0 + x), float32(v)})
			}
		}
	}
	return out
}

// blur is a Gaussian, along the rows and along the columns.
func blur(field []float64, w, h int, sigma float64) {
	n := int(3 * sigma)
	if n < 1 {
		return
	}
	kernel, sum := make([]float64, n+1), 0.0
	for i := range kernel {
		kernel[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		sum += kernel[i]
		if i > 0 {
			sum += kernel[i]
		}
	}
	line := make([]float64, max(w, h))
	pass := func(start, step, count int) {
		for i := range count {
			v := 0.0
			for k := -n; k <= n; k++ {
				if j := i + k; j >= 0 && j < count {
					v += kernel[max(k, -k)] * field[start+j*step]
				}
			}
			line[i] = v / sum
		}
		for i := range count {
			field[start+i*step] = line[i]
		}
	}
	for y := range h {
		pass(y*w, 1, w)
	}
	for x := range w {
		pass(x, w, h)
	}
}
