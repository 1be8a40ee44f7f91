package segments

import "math"

// drawing draws what the window looks like at half size with given digits, from the ground that
// was taught and the layout alone: frames are laid upon it.
type drawing struct {
	raster
	strokes []stroke
	ink     float32 // brightness that a segment takes away
	covered []float32
}

// stroke is how much of a half-size cell a segment covers.
type stroke struct {
	at        int32
	cell, seg uint8
	share     float32
}

func newDrawing(l *layout, cells int, half *raster) drawing {
	d := drawing{raster: *half, covered: make([]float32, half.w*half.h)}
	bars := l.bars()
	for c := range cells {
		for s, b := range bars {
			p, q := l.at(c, b.u0, b.v0), l.at(c, b.u1, b.v1)
			wide := l.stroke
			if c == 0 && l.last > 0 {
				wide *= l.last
			}
			x0, x1 := min(p.X, q.X)-wide, max(p.X, q.X)+wide
			y0, y1 := min(p.Y, q.Y)-wide, max(p.Y, q.Y)+wide
			for j := max(int((y0-d.y0)*d.scale), 0); j < min(int((y1-d.y0)*d.scale)+2, d.h); j++ {
				for i := max(int((x0-d.x0)*d.scale), 0); i < min(int((x1-d.x0)*d.scale)+2, d.w); i++ {
					at := d.place(i, j)
					share := 0.5 + (wide/2-distance(at, p, q))*d.scale
					if share > 0.02 {
						d.strokes = append(d.strokes, stroke{int32(j*d.w + i), uint8(c), uint8(s), float32(min(share, 1))})
					}
				}
			}
		}
	}
	return d
}

// distance of a point from the line between two others.
func distance(p, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := min(max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// cover is how much of each cell the lit segments cover, until it is asked again.
func (d *drawing) cover(g *[maxCells]glyph) []float32 {
	out := d.covered
	clear(out)
	for _, s := range d.strokes {
		if g[s.cell]&(1<<s.seg) != 0 && s.share > out[s.at] {
			out[s.at] = s.share
		}
	}
	return out
}

// learn takes the ground from the lessons: their mean, ink taken out and smooth where digits stand.
func (d *drawing) learn(lessons []lesson, forms *[10]glyph, ink float32) {
	d.ink = ink
	d.v = make([]float32, d.w*d.h)
	for i := range lessons {
		var g [maxCells]glyph
		for c := range g {
			g[c] = lessons[i].lit(c, forms)
		}
		cover := d.cover(&g)
		half := lessons[i].pic.halved()
		for q, x := range half.v {
			d.v[q] += (x + ink*cover[q]) / float32(len(lessons))
		}
	}
	smooth := d.blurred(3)
	for _, s := range d.strokes {
		d.v[s.at] = smooth.v[s.at]
	}
}

// of the glyphs, less its surroundings, in the place of another target, if there is one.
func (d *drawing) of(g *[maxCells]glyph, e *eye, to *target) *target {
	r := d.raster
	r.v = d.cover(g)
	for q, x := range r.v {
		r.v[q] = d.v[q] - d.ink*x
	}
	if to == nil {
		to = newTarget(d.w, d.h, make([]float32, len(r.v)))
	}
	e.high(&r, to.v)
	to.prepare()
	return to
}
