package segments

import (
	"math"
	"slices"

	"panside/internal/mass"
	"panside/internal/moment"
)

// Reader turns frames of one display into readings.
type Reader struct {
	eye      eye
	layout   layout
	cells    int
	used     int            // how many of them showed a digit when taught
	laid     [maxCells]bool // of the others: laid upon a digit
	places   int
	unit     mass.Unit
	full     float32 // lit segments' ink when taught
	light    float32 // the window's mean brightness then
	ink      ink
	match    matcher
	marks    marks
	point    point
	points   [maxCells]beside
	pointInk float32 // the point's ink as a share of a lit segment's
	known    [10][]glyph
	strip    strip
	course   course

	// How the display lies in the frames.
	drawing drawing
	near    *target // what it looked like lately
	exact   *target // what it should look like with the digits seen last
	drawn   [maxCells]glyph
	warp    warp
	seen    sight // of the last frame
	soft    raster
	digits  box // what of the full-size pictures the digits need

	// The frames since the digits last changed.
	mean     raster
	meanHalf raster // of the last ones, at half size: a unit may change while the digits stand
	frames   int
	trend    trend
	lastMs   int64
	stand    [maxCells]glyph
	wary     int // frames that must still show the taught marks
	strange  int // frames in a row whose marks have changed
}

// Seen is what a frame gave.
type Seen struct {
	Reading mass.Reading // counts only without Why
	Text    string       // as the display shows it, with a point
	Why     Why
}

const (
	// leastSure is how near to a digit a cell must look, from the next likely one, 0, to it, 1.
	leastSure = 0.6
	// mostLeft is the largest ink in a digit's place that isn't explained, as a share of full ink.
	mostLeft = 0.45
	// faintest is the least contrast, as a share of the teaching's.
	faintest = 0.35
	// darkest and darkShare are the brightness, and its share of the teaching's, below which a display
	// that doesn't shine lies in the dark: cameras lift black by as much as 16.
	darkest, darkShare = 15, 0.25
	// furthest is how far the display may have moved since the teaching, as a share of a digit's
	// pitch: at half of one, a digit could be taken for its neighbor.
	furthest = 0.6
	// memoryMs is how far the mean of equal frames goes back.
	memoryMs = 120
	// marksMs is how far that of the marks goes back.
	marksMs = 50
	// strangeFrames is how many frames in a row must show that the unit changed until it is said.
	strangeFrames = 3
	// waryFrames is how many frames in a row must show the taught marks again after one that didn't:
	// two units that look nearly alike are told apart in most frames, but not in all.
	waryFrames = 5
)

// Read takes the next frame. Times only grow.
func (r *Reader) Read(f Frame, at moment.Time) Seen {
	ms := at.UnixMilli()
	if !f.whole() {
		return Seen{Why: NotADisplay}
	}
	s, why := r.readFrame(f, ms)
	if why != "" {
		return Seen{Why: r.course.refused(why, ms)}
	}
	text := r.textOf(s)
	if why := r.course.take(text, &s, ms, r.trend.turns(r.cells)); why != "" {
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

// begin readies the reader for frames after the teaching.
func (r *Reader) begin(t *Teacher) {
	r.near, r.warp = t.near, t.warp
	for i := range t.lessons {
		r.light += t.lessons[i].pic.mean() / float32(len(t.lessons))
	}
	r.makeRoom()
	l := &t.lessons[len(t.lessons)-1]
	in := r.ink.see(&l.soft)
	r.drawn, _ = r.ink.glyphs(&in)
	r.exact = r.drawing.of(&r.drawn, &r.eye, nil)
}

// makeRoom makes the pictures that each frame writes anew, and finds what of them is looked at.
func (r *Reader) makeRoom() {
	full, half := r.eye.full.raster, r.eye.half.raster
	r.seen = sight{pic: full.empty(), half: half.empty()}
	r.mean, r.meanHalf, r.soft = full.empty(), half.empty(), full.empty()
	for c := range r.cells {
		r.points[c] = r.layout.beside(&full, c, r.point)
	}
	r.digits = r.digitsBox()
}

// digitsBox holds all cells that the ways of reading look at, wherever digits are nudged to, and the
// row before them.
func (r *Reader) digitsBox() box {
	full := &r.eye.full.raster
	b := box{full.w, full.h, 0, 0}
	nudged := int(mostNudge*r.layout.stroke*full.scale) + 1
	hold := func(t *taps) {
		for _, at := range t.on {
			i, j := int(at.cell)%full.w, int(at.cell)/full.w
			b = b.with(max(i-nudged, 0), j).with(min(i+1+nudged, full.w-1), j+1)
		}
	}
	for c := range r.cells {
		hold(&r.match.at[c])
		for s := range r.ink.seg[c] {
			hold(&r.ink.seg[c][s])
		}
		for h := range r.ink.hole[c] {
			hold(&r.ink.hole[c][h])
		}
		hold(&r.points[c].on)
		hold(&r.points[c].off)
	}
	before := r.strip.taps(full)
	hold(&before)
	return b
}

// brightness is that of a lit segment's ink in the lessons.
func (r *Reader) brightness(lessons []lesson) float32 {
	var t tallyOf
	for i := range lessons {
		in := r.ink.see(&lessons[i].soft)
		for c := range lessons[i].shown.digits {
			t.add(in.full * in.unit[min(c, r.cells-1)])
		}
	}
	return t.mean()
}

// readFrame follows small movements of the phone, and reads the mean of the frames that show equal
// digits.
func (r *Reader) readFrame(f Frame, ms int64) (shown, Why) {
	gain, ok := r.lay(f)
	seen := &r.seen
	if !ok {
		r.frames = 0
		return shown{}, r.whyNotAlike(seen)
	}
	if r.tooFar() {
		r.frames, r.warp = 0, warp{}
		return shown{}, Moved
	}
	if r.frames == 0 || r.changed(&seen.in) {
		r.frames = 0
		r.trend.reset()
		r.stand, _ = r.ink.glyphs(&seen.in)
		if s, isNumber := r.number(&r.stand); isNumber {
			r.course.passes(s.digits)
		}
	}
	r.frames++
	share := max(1/float32(r.frames), float32(1-math.Exp(-float64(ms-r.lastMs)/memoryMs)))
	fast := max(share, float32(1-math.Exp(-float64(ms-r.lastMs)/marksMs)))
	r.lastMs = ms
	// The mean of the digits' places is as wide as what is softened of it.
	d, w := r.digits, r.mean.w
	for j := max(d.y0-1, 0); j <= min(d.y1+1, r.mean.h-1); j++ {
		from, to := j*w+max(d.x0-1, 0), j*w+min(d.x1+1, w-1)+1
		mix(r.mean.v[from:to], 1-share, r.seen.pic.v[from:to], share)
	}
	mix(r.meanHalf.v, 1-fast, r.seen.half.v, fast)
	r.trend.add(&r.ink, &seen.in, ms)
	return r.readPicture(&r.mean, &r.meanHalf, gain)
}

// changed reports whether a frame shows other digits than those that stand, beyond doubt.
func (r *Reader) changed(in *inked) bool {
	if in.full <= 0 {
		return true
	}
	for c := range r.cells {
		for s := range in.v[c] {
			x := r.ink.level(in, c, s)
			lit := r.stand[c]&(1<<s) != 0
			if lit && x < 0.4 || !lit && x > 0.6 {
				return true
			}
		}
	}
	return false
}

// sight is the window as one frame shows it: its picture, that at half size, and its ink.
type sight struct {
	pic, half raster
	in        inked
}

// look takes in a frame in which the display lies so.
func (r *Reader) look(f Frame, w warp) {
	r.eye.full.look(f, w, r.seen.pic.v)
	r.seen.pic.halvedInto(r.seen.half.v)
	r.seen.in = r.ink.see(r.soften(&r.seen.pic))
}

// soften is a picture a little blurred where the digits are, until the next one.
func (r *Reader) soften(pic *raster) *raster {
	threes(pic.v, r.soft.v, pic.w, pic.h, r.digits)
	return &r.soft
}

// lay finds the display in a frame; ok is false if what is there doesn't look like it.
func (r *Reader) lay(f Frame) (gain float32, ok bool) {
	w, gain := r.eye.follow(f, r.warp, r.furthest(), r.near, r.exact)
	r.look(f, w)
	hp := r.eye.high(&r.seen.half, r.eye.seenHigh)
	if g, worst := r.ink.glyphs(&r.seen.in); worst < 0.5 && g != r.drawn {
		if _, isNumber := r.number(&g); isNumber {
			r.drawn, r.exact = g, r.drawing.of(&g, &r.eye, r.exact)
			d := r.exact.step(hp, r.exact.gainOf(hp), w)
			if math.Abs(d.dx)+math.Abs(d.dy) > 0.1 {
				w = w.plus(d)
				r.look(f, w)
				hp = r.eye.high(&r.seen.half, r.eye.seenHigh)
			}
		}
	}
	like := max(r.near.alike(hp), r.exact.alike(hp))
	if like < likeness {
		r.look(f, r.warp)
		return gain, false
	}
	r.warp = w
	r.near.blend(hp, r.near.gainOf(hp), 2*following)
	return r.exact.gainOf(hp), true
}

// tooFar reports whether the display lies so far from where it was taught that digits could be
// taken for their neighbors.
func (r *Reader) tooFar() bool {
	return math.Hypot(r.warp.dx, r.warp.dy) > r.furthest()
}

// furthest is how far that is, in half-size cells.
func (r *Reader) furthest() float64 { return furthest * r.layout.pitch * r.eye.half.scale }

// whyNotAlike tells what is there instead of the display.
func (r *Reader) whyNotAlike(seen *sight) Why {
	if seen.in.full < 0.3*r.full {
		return r.whyFaint(&seen.half, &seen.in)
	}
	return Covered
}

// readPicture reads the window in both ways; all must agree. half is the picture of its marks; gain is how much stronger its contrast
// is than the teaching's.
func (r *Reader) readPicture(pic, half *raster, gain float32) (shown, Why) {
	soft := r.soften(pic)
	in := r.ink.see(soft)
	if in.full < 0.3*r.full {
		return shown{}, r.whyFaint(half, &in)
	}
	if r.nudge(soft, &in) {
		in = r.ink.see(soft)
	}
	if in.full < faintest*r.full {
		return shown{}, Faint
	}
	g, worst := r.ink.glyphs(&in)
	if worst > clearly {
		if r.marks.covered(half, gain) {
			return shown{}, Covered
		}
		return shown{}, r.whyUnclear(&in)
	}
	s, ok := r.number(&g)
	if !ok {
		return shown{}, Doubt
	}
	if why := r.agrees(soft, &s, &in); why != "" {
		return shown{}, why
	}
	if why := r.blankBefore(soft, &s, &in); why != "" {
		return shown{}, why
	}
	// A point at another place comes with another unit as a rule: that is said, if it shows.
	pointStands := r.pointStands(soft, &in)
	switch r.marks.compare(half, gain, r.leftOf(&s)) {
	case sameMarks:
		if !pointStands {
			return shown{}, Doubt
		}
		r.strange = 0
		if r.wary > 0 {
			r.wary--
			return shown{}, Doubt
		}
	case otherMarks:
		r.strange++
		r.wary = waryFrames
		if r.strange >= strangeFrames {
			return shown{}, OtherUnit
		}
		return shown{}, Doubt
	case hidden:
		return shown{}, Covered
	default:
		return shown{}, Doubt
	}
	return s, ""
}

// leftOf is the left edge of a number.
func (r *Reader) leftOf(s *shown) float64 {
	n := len(s.digits)
	if s.minus {
		n++
	}
	return min(r.layout.at(n-1, 0, 0).X, r.layout.at(n-1, 0, 1).X)
}

// whyFaint tells why there are no digits.
func (r *Reader) whyFaint(half *raster, in *inked) Why {
	switch {
	case r.ink.sign > 0 && half.mean() < max(darkest, darkShare*r.light):
		return Dark
	case r.marks.covered(half, 1):
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
	if hi-lo > 0.8*r.full*in.unit[0] && hi > 200 {
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
		if !slices.Contains(r.known[d], g[c]) {
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
func (r *Reader) agrees(soft *raster, s *shown, in *inked) Why {
	for c := range r.cells {
		m := r.match.match(soft, c, in.full*in.unit[c])
		switch {
		case c < len(s.digits):
			if m.digit != s.digits[c] || m.sure < leastSure {
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
func (r *Reader) pointStands(pic *raster, in *inked) bool {
	for c := 1; c < r.cells; c++ {
		x := r.points[c].ink(pic, r.ink.sign) / (in.full * in.unit[c]) / r.pointInk
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
