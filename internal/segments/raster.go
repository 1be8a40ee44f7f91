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

// empty is a raster of the same places that shows nothing.
func (r *raster) empty() raster {
	out := *r
	out.v = make([]float32, len(r.v))
	return out
}

// place is the plane's point at a cell's centre.
func (r *raster) place(i, j int) Point {
	return Point{r.x0 + (float64(i)+0.5)/r.scale, r.y0 + (float64(j)+0.5)/r.scale}
}

// at is the value at a point of the plane, between the four nearest cells' centres. The fit asks for
// millions, so it is written without calls, which min and max are in WebAssembly.
func (r *raster) at(p Point) float32 {
	x, y := (p.X-r.x0)*r.scale-0.5, (p.Y-r.y0)*r.scale-0.5
	if most := float64(r.w) - 1.001; x > most {
		x = most
	}
	if most := float64(r.h) - 1.001; y > most {
		y = most
	}
	if x < 0 {
		x = 0
	}
	if y < 0 {
		y = 0
	}
	i, j := int(x), int(y)
	u, v := float32(x-float64(i)), float32(y-float64(j))
	k := j*r.w + i
	a := r.v[k] + u*(r.v[k+1]-r.v[k])
	c := r.v[k+r.w] + u*(r.v[k+r.w+1]-r.v[k+r.w])
	return a + v*(c-a)
}

// tap is a place between four cells of a raster: the upper left one, and how far right and down of
// its centre.
type tap struct {
	cell int32
	u, v float32
}

// tapAt is the tap of a point of the plane.
func (r *raster) tapAt(p Point) tap {
	x, y := (p.X-r.x0)*r.scale-0.5, (p.Y-r.y0)*r.scale-0.5
	x = min(max(x, 0), float64(r.w)-1.001)
	y = min(max(y, 0), float64(r.h)-1.001)
	i, j := int(x), int(y)
	return tap{int32(j*r.w + i), float32(x - float64(i)), float32(y - float64(j))}
}

// on is the value at a tap.
func (r *raster) on(t *tap) float32 {
	k, v := int(t.cell), r.v
	a := v[k] + t.u*(v[k+1]-v[k])
	c := v[k+r.w] + t.u*(v[k+r.w+1]-v[k+r.w])
	return a + t.v*(c-a)
}

// taps are places that are looked at in every frame.
type taps struct {
	at []Point // in the plane
	on []tap
}

func (t *taps) add(r *raster, p Point) {
	t.at = append(t.at, p)
	t.on = append(t.on, r.tapAt(p))
}

// shift moves them to the right.
func (t *taps) shift(r *raster, by float64) {
	for k := range t.at {
		t.at[k].X += by
		t.on[k] = r.tapAt(t.at[k])
	}
}

// meanOn is the mean over taps.
func (r *raster) meanOn(t *taps) float32 {
	var sum float32
	for k := range t.on {
		sum += r.on(&t.on[k])
	}
	return sum / float32(len(t.on))
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
	b := newBoxes(r.w, r.h, n)
	for j := range r.h {
		b.row(r.v, j, out.v[j*r.w:(j+1)*r.w])
	}
	return out
}

// flattened is the raster less its surroundings, a little blurred.
func (r *raster) flattened() raster {
	flat := r.minus(r.blurred(r.h / 5))
	return flat.blurred(1)
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
