package segments

// rows is the height of the picture of the window that teaching and reading look at: digits are
// about fifty high in it.
const rows = 96

// beyond is how much of what lies around the window is looked at too, as a share of its height:
// the housing's edge tells when the phone moves.
const beyond = 0.06

// eye looks at the window in frames.
type eye struct {
	window Window
	plane  plane
	places []Point // in the picture, of each cell of the raster
	perRow float64 // pixels of the picture to a row
	empty  raster
}

func newEye(w Window) eye {
	m := planeOf(w)
	r := newRaster(m.aspect, rows, beyond)
	e := eye{window: w, plane: m, empty: r, perRow: w.height() / (r.scale)}
	for j := range r.h {
		for i := range r.w {
			e.places = append(e.places, m.picture(r.place(i, j)))
		}
	}
	return e
}

// look is the window as the frame shows it, shifted by so many pixels. Its values stay in into.
func (e *eye) look(f Frame, shift Point, into []float32) raster {
	r := e.empty
	r.v = into
	for k, p := range e.places {
		r.v[k] = f.at(Point{p.X + shift.X, p.Y + shift.Y})
	}
	return r
}

// half is the raster at half its size.
func (r *raster) half() raster {
	out := raster{w: r.w / 2, h: r.h / 2, scale: r.scale / 2, x0: r.x0, y0: r.y0}
	out.v = make([]float32, out.w*out.h)
	for j := range out.h {
		for i := range out.w {
			k := 2*j*r.w + 2*i
			out.v[j*out.w+i] = (r.v[k] + r.v[k+1] + r.v[k+r.w] + r.v[k+r.w+1]) / 4
		}
	}
	return out
}
