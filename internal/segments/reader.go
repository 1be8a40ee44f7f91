package segments

import (
	"math"

	"panside/internal/mass"
	"panside/internal/moment"
)

// Reader turns frames of one display into readings.
type Reader struct {
	eye      eye
	layout   layout
	cells    int
	places   int
	unit     mass.Unit
	full     float32 // lit segments' ink when taught
	ink      ink
	match    matcher
	marks    marks
	point    point
	pointInk float32 // the point's ink as a share of a lit segment's
	known    [10][]glyph
	shift    Point
	buf      []float32
	course   course
}

// Seen is what a frame gave.
type Seen struct {
	Reading mass.Reading // counts only without Why
	Text    string       // as the display shows it, with a point
	Why     Why
}

const (
	// mostRatio is what a digit may leave unexplained, as a share of what the next likely one leaves.
	mostRatio = 0.8
	// mostLeft is the largest ink in a digit's place that isn't explained, as a share of full ink.
	mostLeft = 0.45
	// faintest is the least contrast, as a share of the teaching's.
	faintest = 0.35
	// changedCells is how many cells of the marks' picture must differ before a mark counts as changed.
	changedCells = 2
)

// Read takes the next frame. Times only grow.
func (r *Reader) Read(f Frame, at moment.Time) Seen {
	ms := at.UnixMilli()
	if !f.whole() {
		return Seen{Why: NotADisplay}
	}
	s, why := r.readFrame(f)
	if why != "" {
		return Seen{Why: r.course.refused(why, ms)}
	}
	text := r.textOf(s)
	if why := r.course.take(text, &s, ms); why != "" {
		return Seen{Text: text, Why: why}
	}
	value, err := mass.ParseDecimal(text)
	if err != nil {
		return Seen{Why: Doubt}
	}
	return Seen{
		Text: text,
		Reading: mass.Reading{
			Raw: []byte(text), At: at, HasValue: true,
			Quantity:   mass.Quantity{Value: value, Unit: r.unit},
			Resolution: value.Step(),
			Status:     mass.StatusUnknown,
			Dialect:    "camera",
		},
	}
}

// readFrame follows small movements of the phone before it reads.
func (r *Reader) readFrame(f Frame) (shown, Why) {
	for range 3 {
		pic := r.eye.look(f, r.shift, r.buf)
		in := r.ink.see(&pic)
		full := in.full
		if full < 0.25*r.full {
			full = r.full
		}
		half := pic.half()
		c := r.marks.compare(&half, full, r.full)
		step := math.Hypot(c.dx, c.dy)
		if !c.certain || step < 0.3 || step > 4*r.eye.perRow {
			return r.readPicture(&pic)
		}
		r.shift.X += c.dx
		r.shift.Y += c.dy
		if math.Hypot(r.shift.X, r.shift.Y) > 1.2*r.layout.stroke*r.eye.window.height() {
			r.shift = Point{}
			return shown{}, Moved
		}
	}
	pic := r.eye.look(f, r.shift, r.buf)
	return r.readPicture(&pic)
}

// readPicture reads the window in both ways; all must agree.
func (r *Reader) readPicture(pic *raster) (shown, Why) {
	in := r.ink.see(pic)
	half := pic.half()
	if in.full < 0.3*r.full {
		return shown{}, r.whyFaint(pic, &half, &in)
	}
	g, worst := r.ink.glyphs(&in)
	change := r.marks.compare(&half, in.full, r.full)
	if change.count > len(r.marks.taught)/25 {
		return shown{}, Covered
	}
	if in.full < faintest*r.full {
		return shown{}, Faint
	}
	if worst > clear {
		return shown{}, r.whyUnclear(&in)
	}
	s, ok := r.number(&g)
	if !ok {
		return shown{}, Doubt
	}
	soft := pic.blurred(1)
	if why := r.agrees(&soft, &s, in.full); why != "" {
		return shown{}, why
	}
	if !r.pointStands(pic, in.full) {
		return shown{}, OtherUnit
	}
	if change.inside >= changedCells {
		return shown{}, OtherUnit
	}
	return s, ""
}

// whyFaint tells why there are no digits.
func (r *Reader) whyFaint(pic, half *raster, in *inked) Why {
	var sum float32
	for _, x := range pic.v {
		sum += x
	}
	c := r.marks.compare(half, r.full, r.full)
	switch {
	case r.ink.sign > 0 && sum/float32(len(pic.v)) < 15:
		return Dark
	case c.count > len(r.marks.taught)/25:
		return Covered
	case in.full < 0.12*r.full:
		return Off
	}
	return Faint
}

// whyUnclear tells a reflection from digits that change.
func (r *Reader) whyUnclear(in *inked) Why {
	lo, hi := in.paper[0], in.paper[0]
	for c := range r.cells {
		lo, hi = min(lo, in.paper[c]), max(hi, in.paper[c])
	}
	if hi-lo > 0.8*r.full && hi > 200 {
		return Glare
	}
	return Moving
}

// number is the glyphs' number: blanks, perhaps a minus, digits without a needless zero.
func (r *Reader) number(g *[maxCells]glyph) (shown, bool) {
	s := shown{places: r.places}
	c := 0
	for ; c < r.cells; c++ {
		d, ok := digitOf(g[c])
		if !ok {
			break
		}
		isKnown := false
		for _, f := range r.known[d] {
			isKnown = isKnown || f == g[c]
		}
		if !isKnown {
			return s, false
		}
		s.digits = append(s.digits, d)
	}
	if c < r.cells && g[c] == minus {
		s.minus = true
		c++
	}
	for ; c < r.cells; c++ {
		if g[c] != blank {
			return s, false
		}
	}
	n := len(s.digits)
	if n <= r.places || n > 6 {
		return s, false
	}
	return s, n == r.places+1 || s.digits[n-1] != 0
}

// agrees lets the second way read the same cells.
func (r *Reader) agrees(soft *raster, s *shown, full float32) Why {
	for c := range r.cells {
		m := r.match.match(soft, c, full)
		switch {
		case c < len(s.digits):
			if m.digit != s.digits[c] || m.ratio > mostRatio {
				return Doubt
			}
			if m.left > mostLeft {
				return Covered
			}
		case c == len(s.digits) && s.minus:
		case m.digit != -1:
			return Doubt
		}
	}
	return ""
}

// pointStands reports whether the point is where it was taught, and nowhere else.
func (r *Reader) pointStands(pic *raster, full float32) bool {
	for c := 1; c < r.cells; c++ {
		x := r.layout.pointAt(pic, c, r.point, r.ink.sign) / full / r.pointInk
		if c == r.places && x < 0.5 || c != r.places && x > 0.5 {
			return false
		}
	}
	return true
}

func (r *Reader) textOf(s shown) string {
	b := make([]byte, 0, 9)
	if s.minus {
		b = append(b, '-')
	}
	for i := len(s.digits) - 1; i >= 0; i-- {
		b = append(b, byte('0'+s.digits[i]))
		if i == s.places && i > 0 {
			b = append(b, '.')
		}
	}
	return string(b)
}
