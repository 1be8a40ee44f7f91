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
const full = 245

// shortMinus is how long a minus is at least, as a share of a digit's width (common practice).
const shortMinus = 0.5

// learnStrip learns how the row looks without a minus.
func (r *Reader) learnStrip(lessons []lesson) {
	l, p := &r.layout, &r.strip
	*p = strip{high: 1.3 * l.stroke, half: 0.25 * l.stroke, least: r.marks.least / 2 / r.marks.ink,
		short: int(shortMinus * l.width / (l.stroke / 2))}
	for x := l.x - l.width; x > edge; x -= l.stroke / 2 {
		at := Point{x, l.y + l.tilt*(x-l.x)}
		stay := true // here, and above and below, where its ground is
		for _, by := range [...]float64{-p.high, 0, p.high} {
			stay = stay && r.marks.stay(&r.eye.half.raster, Point{at.X, at.Y + by})
		}
		if stay {
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

// taps are all places of a picture that are looked at.
func (p *strip) taps(pic *raster) (t taps) {
	for _, at := range p.at {
		for _, by := range [...]float64{-p.high, -p.half, 0, p.half, p.high} {
			t.add(pic, Point{at.X, at.Y + by})
		}
	}
	return t
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
	most, dim := r.mostLight(s, in)
	washed, near := 0, int(r.layout.height/r.layout.stroke)
	ground := func(k int) float32 {
		if k < p.from(r, s) {
			return in.paper[len(s.digits)-1]
		}
		return soft.at(p.at[k])
	}
	for k := p.from(r, s); k < len(p.at); k++ {
		if washed++; soft.at(p.at[k]) < most || p.at[k].X < deepEdge {
			washed = 0 // the housing beside the glass may be as bright
		}
		if washed >= p.short && (r.ink.sign < 0 || ground(k-washed+1-near) < dim) {
			return Glare
		}
		if abs(p.ink(soft, k, r.ink.sign)/lit-p.blank[k]) > p.least {
			return Doubt
		}
	}
	return ""
}

// mostLight is the brightness of ground on which ink would show nothing: bright ink without room up to
// the most, or light so strong that dark ink may leave the sensor full. A reflection falls off to below
// dim within half a digit's height; light that is only uneven doesn't, and hides no dark ink.
func (r *Reader) mostLight(s *shown, in *inked) (most, dim float32) {
	lit, paper := in.full*in.unit[0], in.paper[0]
	for c := range s.digits {
		paper = min(paper, in.paper[c])
	}
	most = full
	switch {
	case r.ink.sign < 0:
		most -= lit / 2
	case paper > full-lit/4:
		most = math.MaxFloat32 // this paper is so bright by itself, and its digits are seen
	}
	return most, (most + paper) / 2
}

// smallUnit is how large a unit's letters are at least, as a share of a digit's height (common
// practice).
const smallUnit = 0.25

// hidesMarks reports whether a lesson has a reflection beside its digits that may hide a unit: an area
// of that size in which ink shows nothing, with an edge.
func (r *Reader) hidesMarks(l lesson) bool {
	if l.allLit {
		return false
	}
	pic := l.asSeen()
	half, soft := pic.halved(), pic.blurred(1)
	in := r.ink.see(&soft)
	if in.full <= 0 {
		return false
	}
	m, n, edges := &r.marks, 0, 0
	most, dim := r.mostLight(&l.shown, &in)
	off := int(r.layout.height / 2 * half.scale)
	falls := func(q int) bool {
		for _, by := range [...]int{-off, off, -off * m.w, off * m.w} {
			if p := q + by; p >= 0 && p < len(half.v) && m.deep[p] && !m.own[p] && half.v[p] < dim {
				return true
			}
		}
		return false
	}
	for q, x := range half.v {
		if x > most && m.deep[q] {
			n++
			if falls(q) {
				edges++
			}
		}
	}
	side := smallUnit * r.layout.height * half.scale
	return float64(n) > side*side && float64(edges) > side
}

// stay reports whether no mark came or went about a place in the teaching.
func (m *marks) stay(half *raster, at Point) bool {
	i, j := int((at.X-half.x0)*half.scale), int((at.Y-half.y0)*half.scale)
	q := min(max(j, 0), m.h-1)*m.w + min(max(i, 0), m.w-1)
	return m.free[q] == 0 || m.steady[q]
}
