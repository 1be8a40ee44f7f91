package segments

import "math"

// cellsInAll is about how many cells the raster of a window has: enough for the strokes of small
// digits, few enough for a phone.
const cellsInAll = 34_000

// beyond is how much of what lies around the window is looked at too, as a share of its height:
// the housing's edge tells when the phone moves.
const beyond = 0.1

// eye looks at the window in frames, at full size and at half.
type eye struct {
	window Window
	plane  plane
	full   grid
	half   grid
	around *boxes // of half-size cells' surroundings

	// What a frame showed last, so that none makes pictures anew. A teacher and its readers share
	// them, and so take turns.
	seenHalf, seenHigh, seenSmall []float32
}

// grid is a raster with the places of its cells in the picture.
type grid struct {
	raster
	places []spot
	step   float64 // half-size cells to one of its own

	low, most   Point // between which the places lie
	right, down Point // the longest ways to the next half-size cell, by size
}

// spot is a place in the picture, and the ways to the next half-size cell right and down.
type spot struct{ x, y, xr, yr, xd, yd float32 }

// rowsFor is how many rows a window's raster has.
func rowsFor(w Window) int {
	n := math.Sqrt(cellsInAll / (w.aspect() + 2*beyond) * (1 + 2*beyond))
	n = min(n, 1.3*(1+2*beyond)*w.height())
	return max(int(n)/2*2, 32)
}

func newEye(w Window) eye {
	m := planeOf(w)
	full := newRaster(m.aspect, rowsFor(w), beyond)
	half := raster{w: full.w / 2, h: full.h / 2, scale: full.scale / 2, x0: full.x0, y0: full.y0}
	half.v = make([]float32, half.w*half.h)
	e := eye{window: w, plane: m}
	e.full = newGrid(m, full, half.scale)
	e.half = newGrid(m, half, half.scale)
	e.around = newBoxes(half.w, half.h, around)
	cells := half.w * half.h
	e.seenHalf, e.seenHigh = make([]float32, cells), make([]float32, cells)
	e.seenSmall = make([]float32, (half.w/2)*(half.h/2))
	return e
}

func newGrid(m plane, r raster, perPlane float64) grid {
	g := grid{raster: r, step: perPlane / r.scale}
	for j := range r.h {
		for i := range r.w {
			p := r.place(i, j)
			o := m.picture(p)
			a, b := m.picture(Point{p.X + 1/perPlane, p.Y}), m.picture(Point{p.X, p.Y + 1/perPlane})
			g.places = append(g.places, spot{
				float32(o.X), float32(o.Y), float32(a.X - o.X), float32(a.Y - o.Y), float32(b.X - o.X), float32(b.Y - o.Y),
			})
			if i == 0 && j == 0 {
				g.low, g.most = o, o
			}
			g.low = Point{min(g.low.X, o.X), min(g.low.Y, o.Y)}
			g.most = Point{max(g.most.X, o.X), max(g.most.Y, o.Y)}
			g.right = Point{max(g.right.X, math.Abs(a.X-o.X)), max(g.right.Y, math.Abs(a.Y-o.Y))}
			g.down = Point{max(g.down.X, math.Abs(b.X-o.X)), max(g.down.Y, math.Abs(b.Y-o.Y))}
		}
	}
	return g
}

// warp is how the display lies in a frame against where it was framed: moved right and down in
// half-size cells, larger by a share, and turned by an angle, about the middle.
type warp struct{ dx, dy, s, r float64 }

func (w warp) plus(o warp) warp { return warp{w.dx + o.dx, w.dy + o.dy, w.s + o.s, w.r + o.r} }

// look fills into with the window as a frame shows it: the brightness between the four nearest
// pixels' centres, beyond the picture that of its edge.
func (g *grid) look(f Frame, w warp, into []float32) raster {
	out := g.raster
	out.v = into
	cx, cy := float64(g.w)/2*g.step, float64(g.h)/2*g.step
	inside := g.inside(f, w)
	for j := range g.h {
		y := (float64(j)+0.5)*g.step - cy
		u := float32(w.dx - w.r*y - w.s*cx)
		v := float32(w.dy + w.s*y - w.r*cx)
		us, vs := float32(w.s*g.step), float32(w.r*g.step)
		u += us / 2
		v += vs / 2
		row, to := g.places[j*g.w:(j+1)*g.w], into[j*g.w:(j+1)*g.w]
		if inside {
			f.lookInside(row, to, u, v, us, vs)
		} else {
			f.lookAnywhere(row, to, u, v, us, vs)
		}
	}
	return out
}

// lookInside fills into with the places of a row, moved so, that all have four pixels about them.
func (f Frame) lookInside(row []spot, into []float32, u, v, us, vs float32) {
	pix, width := f.Pix, f.Width
	into = into[:len(row)]
	for k := range row {
		p := &row[k]
		x := p.x + u*p.xr + v*p.xd - 0.5
		y := p.y + u*p.yr + v*p.yd - 0.5
		u += us
		v += vs
		a, b := int(x), int(y)
		s, t := x-float32(a), y-float32(b)
		q := b*width + a
		m, n := float32(pix[q]), float32(pix[q+width])
		m += s * (float32(pix[q+1]) - m)
		n += s * (float32(pix[q+width+1]) - n)
		into[k] = m + t*(n-m)
	}
}

// lookAnywhere is the same for places that may lie beyond the picture.
func (f Frame) lookAnywhere(row []spot, into []float32, u, v, us, vs float32) {
	wide, high := float32(f.Width)-1.001, float32(f.Height)-1.001
	for k := range row {
		p := &row[k]
		x := min(max(p.x+u*p.xr+v*p.xd-0.5, 0), wide)
		y := min(max(p.y+u*p.yr+v*p.yd-0.5, 0), high)
		u += us
		v += vs
		a, b := int(x), int(y)
		s, t := x-float32(a), y-float32(b)
		q := b*f.Width + a
		if q+f.Width+1 >= len(f.Pix) {
			into[k] = float32(f.Pix[q])
			continue
		}
		m, n := float32(f.Pix[q]), float32(f.Pix[q+f.Width])
		m += s * (float32(f.Pix[q+1]) - m)
		n += s * (float32(f.Pix[q+f.Width+1]) - n)
		into[k] = m + t*(n-m)
	}
}

// inside reports whether all places have four pixels about them, wherever such a warp moves them.
func (g *grid) inside(f Frame, w warp) bool {
	cx, cy := float64(g.w)/2*g.step, float64(g.h)/2*g.step
	u := math.Abs(w.dx) + math.Abs(w.r)*cy + math.Abs(w.s)*cx
	v := math.Abs(w.dy) + math.Abs(w.s)*cy + math.Abs(w.r)*cx
	x, y := u*g.right.X+v*g.down.X+1, u*g.right.Y+v*g.down.Y+1
	return g.low.X-x > 0 && g.low.Y-y > 0 && g.most.X+x < float64(f.Width-1) && g.most.Y+y < float64(f.Height-1)
}

// halved is the raster at half its size.
func (r *raster) halved() raster {
	return r.halvedInto(make([]float32, (r.w/2)*(r.h/2)))
}

// halvedInto is the same with the place for it given.
func (r *raster) halvedInto(v []float32) raster {
	out := raster{w: r.w / 2, h: r.h / 2, scale: r.scale / 2, x0: r.x0, y0: r.y0, v: v}
	for j := range out.h {
		to := v[j*out.w : (j+1)*out.w]
		upper, lower := r.v[2*j*r.w:][:2*len(to)], r.v[(2*j+1)*r.w:][:2*len(to)]
		for i := range to {
			to[i] = (upper[2*i] + upper[2*i+1] + lower[2*i] + lower[2*i+1]) / 4
		}
	}
	return out
}
