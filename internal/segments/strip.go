package segments

import "math"

// strip is the row left of a number, in which a minus may stand. Some displays have one at a place of
// its own, which may lie across cells, so that neither way of reading a cell knows it, and it may lie
// in a reflection.
type strip struct {
	at    []Point   // from the right to the left, half a stroke apart
	blank []float32 // each one's ink while it was blank in the teaching, as a share of a lit segment's
	high  float64   // how far above and below there is ground
	half  float64   // half of a bar's width
	least float32   // the least ink of a minus, as a share
	short int       // how many places the shortest minus has
}

// full is the brightness above which a sensor tells no more: a step or two below the most, by noise.
const full = 250

// shortMinus is how long a minus is at least, as a share of a digit's width (common practice).
const shortMinus = 0.5

// learnStrip learns how the row looks without a minus.
func (r *Reader) learnStrip(lessons []lesson) {
	l, p := &r.layout, &r.strip
	*p = strip{high: 1.3 * l.stroke, half: 0.25 * l.stroke, least: r.marks.least / 2 / r.marks.ink,
		short: int(shortMinus * l.width / (l.stroke / 2))}
	for x := l.x - l.width; x > edge; x -= l.stroke / 2 {
		if at := (Point{x, l.y + l.tilt*(x-l.x)}); r.marks.stay(&r.eye.half.raster, at) {
			p.at = append(p.at, at)
		}
	}
	sums := make([]tallyOf, len(p.at))
	for i := range lessons {
		le := &lessons[i]
		if le.allLit {
			continue
		}
		in := r.ink.see(&le.soft)
		from := p.from(r, &le.shown)
		for k := from; k < len(p.at); k++ {
			sums[k].add(p.ink(&le.soft, k, r.ink.sign) / (in.full * in.unit[0]))
		}
	}
	p.blank = make([]float32, len(p.at))
	for k := range sums {
		p.blank[k] = sums[k].mean()
	}
}

// from is the first place that is clear of a number.
func (p *strip) from(r *Reader, s *shown) int {
	left := r.leftOf(s) - r.layout.stroke
	for k := range p.at {
		if p.at[k].X < left {
			return k
		}
	}
	return len(p.at)
}

// ink is how much more ink a place has than the ground above and below, in brightness.
func (p *strip) ink(pic *raster, k int, sign float32) float32 {
	at := p.at[k]
	off := (pic.at(Point{at.X, at.Y - p.high}) + pic.at(Point{at.X, at.Y + p.high})) / 2
	on := (pic.at(Point{at.X, at.Y - p.half}) + pic.at(at) + pic.at(Point{at.X, at.Y + p.half})) / 3
	return sign * (off - on)
}

// blankBefore reports whether no minus stands before a number, and one would be seen.
func (r *Reader) blankBefore(soft *raster, s *shown, in *inked) Why {
	p := &r.strip
	if in.full <= 0 {
		return Doubt
	}
	lit := in.full * in.unit[0]
	var paper float32
	for c := range s.digits {
		paper += in.paper[c] / float32(len(s.digits))
	}
	// Where bright ink would have no room up to the most, or light is so strong that dark ink may leave
	// the sensor full, a minus shows nothing.
	most := float32(full)
	if r.ink.sign < 0 {
		most -= lit / 2
	} else if paper > full-lit/4 {
		most = math.MaxFloat32 // this paper is so bright by itself, and its digits are seen
	}
	washed := 0
	for k := p.from(r, s); k < len(p.at); k++ {
		if washed++; soft.at(p.at[k]) < most || p.at[k].X < deepEdge {
			washed = 0 // the housing beside the glass may be as bright
		}
		if washed >= p.short {
			return Glare
		}
		if abs(p.ink(soft, k, r.ink.sign)/lit-p.blank[k]) > p.least {
			return Doubt
		}
	}
	return ""
}

// stay reports whether no mark came or went about a place in the teaching.
func (m *marks) stay(half *raster, at Point) bool {
	i, j := int((at.X-half.x0)*half.scale), int((at.Y-half.y0)*half.scale)
	q := min(max(j, 0), m.h-1)*m.w + min(max(i, 0), m.w-1)
	return m.free[q] == 0 || m.steady[q]
}
