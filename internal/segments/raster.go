package segments

// raster is a picture of the plane: rows of the window's height, from the plane's (x0, y0).
type raster struct {
	w, h int
	// scale is how many cells of the raster one unit of the plane has.
	scale  float64
	x0, y0 float64
	v      []float32
}

func newRaster(aspect float64, rows int, margin float64) raster {
	scale := float64(rows) / (1 + 2*margin)
	w := max(int((aspect+2*margin)*scale+0.5), 1)
	return raster{w: w, h: rows, scale: scale, x0: -margin, y0: -margin, v: make([]float32, w*rows)}
}

// place is the plane's point at a cell's centre.
func (r *raster) place(i, j int) Point {
	return Point{r.x0 + (float64(i)+0.5)/r.scale, r.y0 + (float64(j)+0.5)/r.scale}
}

// at is the value at a point of the plane, between the four nearest cells' centres.
func (r *raster) at(p Point) float32 {
	x, y := (p.X-r.x0)*r.scale-0.5, (p.Y-r.y0)*r.scale-0.5
	x = min(max(x, 0), float64(r.w)-1.001)
	y = min(max(y, 0), float64(r.h)-1.001)
	i, j := int(x), int(y)
	u, v := float32(x-float64(i)), float32(y-float64(j))
	k := j*r.w + i
	a := r.v[k] + u*(r.v[k+1]-r.v[k])
	c := r.v[k+r.w] + u*(r.v[k+r.w+1]-r.v[k+r.w])
	return a + v*(c-a)
}

// mean is that of all its cells.
func (r *raster) mean() float32 {
	var sum float32
	for _, x := range r.v {
		sum += x
	}
	return sum / float32(len(r.v))
}

// blurred is the mean over boxes that reach n cells to each side, cut at the edges.
func (r *raster) blurred(n int) raster {
	out := *r
	out.v = make([]float32, len(r.v))
	wide := make([]float32, len(r.v))
	for j := range r.h {
		rowMeans(r.v[j*r.w:(j+1)*r.w], wide[j*r.w:(j+1)*r.w], n)
	}
	// Down the columns row by row: a sum for each column, which rows enter and leave.
	sum := make([]float32, r.w)
	count := 0
	row := func(j int) []float32 { return wide[j*r.w : (j+1)*r.w] }
	for j := -n; j < r.h; j++ {
		if k := j + n; k < r.h {
			for i, x := range row(k) {
				sum[i] += x
			}
			count++
		}
		if k := j - n - 1; k >= 0 {
			for i, x := range row(k) {
				sum[i] -= x
			}
			count--
		}
		if j >= 0 {
			share := 1 / float32(count)
			to := out.v[j*r.w : (j+1)*r.w]
			for i, x := range sum {
				to[i] = x * share
			}
		}
	}
	return out
}

// flattened is the raster less its surroundings, a little blurred.
func (r *raster) flattened() raster {
	flat := r.minus(r.blurred(r.h / 5))
	return flat.blurred(1)
}

// rowMeans writes the running means of a row.
func rowMeans(from, to []float32, reach int) {
	n := len(from)
	var sum float32
	count := 0
	for k := range min(reach, n) {
		sum += from[k]
		count++
	}
	for k := range to {
		if k+reach < n {
			sum += from[k+reach]
			count++
		}
		if k-reach-1 >= 0 {
			sum -= from[k-reach-1]
			count--
		}
		to[k] = sum / float32(count)
	}
}

// minus is r − q, which have one size.
func (r *raster) minus(q raster) raster {
	out := *r
	out.v = make([]float32, len(r.v))
	for k := range r.v {
		out.v[k] = r.v[k] - q.v[k]
	}
	return out
}
