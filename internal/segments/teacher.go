package segments

import (
	"math"
	"slices"

	"panside/internal/mass"
	"panside/internal/moment"
)

// Teacher learns one display: where its digits and marks are and how they look.
type Teacher struct {
	eye    eye
	ok     bool
	unit   mass.Unit
	near   *target // what the display looks like, a little behind
	warp   warp    // how the last frame lay upon it
	recent []glance
	seen   []raster // half size, of the whole teaching, of one contrast
	every  int      // one of so many frames is kept of it
	count  int
	// marksFrom is when all marks are out that lit with all segments.
	marksFrom int64
	lessons   []lesson
}

// glance is one frame's window.
type glance struct {
	at   int64 // ms
	pic  raster
	gain float32
}

const (
	// restMs is how long a text must have stood to be taught.
	restMs = 400
	// fadeMs is how long after all segments were lit the marks may still go out.
	fadeMs = 700
	// fewest is how many frames must show it.
	fewest = 3
	// mostSeen is how many frames of the teaching are kept to tell which marks come and go.
	mostSeen = 60
	// mostLessons is how many weights may be taught.
	mostLessons = 6
	// smallest is the least height of a digit in the picture, in pixels.
	smallest = 16
	// fits is the least correlation of the digits' segments with what is seen.
	fits = 0.6
	// wander is how far the phone may move during the teaching, as a share of the window's height.
	wander = 0.2
	// likeness is the least correlation at which a frame is of the display as it was.
	likeness = 0.25
	// following is how fast the teacher's picture of the display follows it.
	following = 0.15
)

// NewTeacher begins with a window as framed, of a display that shows a unit.
func NewTeacher(w Window, unit mass.Unit) *Teacher {
	t := &Teacher{unit: unit, every: 1}
	a := w.aspect()
	if w.isConvex() && a > 0.8 && a < 12 && w.height() >= smallest {
		t.eye, t.ok = newEye(w), true
	}
	return t
}

// See takes each frame of the teaching, rests and settling alike, so that marks that come and go
// are known as such. Why is what is wrong with it.
func (t *Teacher) See(f Frame, at moment.Time) Why {
	if !t.ok || !f.whole() {
		return NotADisplay
	}
	ms := at.UnixMilli()
	gain, ok := t.follow(f)
	r := t.eye.full.look(f, t.warp, make([]float32, len(t.eye.full.places)))
	lo, hi := r.v[0], r.v[0]
	for _, x := range r.v {
		if x < lo {
			lo = x
		}
		if x > hi {
			hi = x
		}
	}
	t.keep(glance{ms, r, gain}, ok)
	switch {
	case hi < 40:
		return Dark
	case hi-lo < 20:
		return Faint
	}
	return ""
}

// follow lays the frame upon what was seen before, and lets that follow.
func (t *Teacher) follow(f Frame) (gain float32, ok bool) {
	if t.near == nil {
		half := t.eye.half.look(f, warp{}, t.eye.seenHalf)
		t.near = newTarget(half.w, half.h, t.eye.high(&half, make([]float32, len(half.v))))
		return 1, true
	}
	w, gain := t.eye.follow(f, t.warp, wander*t.eye.half.scale, t.near, t.near)
	half := t.eye.half.look(f, w, t.eye.seenHalf)
	hp := t.eye.high(&half, t.eye.seenHigh)
	if t.near.alike(hp) < likeness {
		return gain, false // something covers it, or it went dark
	}
	t.warp = w
	t.near.blend(hp, gain, following)
	return gain, true
}

func (t *Teacher) keep(g glance, ok bool) {
	t.recent = append(t.recent, g)
	for len(t.recent) > fewest && (len(t.recent) > 30 || g.at-t.recent[0].at > restMs) {
		t.recent = t.recent[1:] // a slow phone has the fewest anyway
	}
	if g.at < t.marksFrom {
		t.count = 0
	}
	if g.at < t.marksFrom || !ok {
		return
	}
	if t.count%t.every == 0 {
		half := g.pic.halved()
		for k := range half.v {
			half.v[k] /= g.gain
		}
		t.seen = append(t.seen, half)
		if len(t.seen) >= mostSeen {
			// Every second one is dropped, and fewer are kept from now on.
			kept := t.seen[:0]
			for k := 0; k < len(t.seen); k += 2 {
				kept = append(kept, t.seen[k])
			}
			t.seen, t.every = kept, 2*t.every
		}
	}
	t.count++
}

// Shown says that the frames of the last moments showed this text: as it stands there, without
// leading blanks.
func (t *Teacher) Shown(text string) Why {
	s, ok := parseShown(text)
	if !ok {
		return BadText
	}
	return t.learn(lesson{shown: s})
}

// AllLit says that they showed all segments of so many digits, as after switching on.
func (t *Teacher) AllLit(digits int) Why {
	if digits < 3 || digits > 6 {
		return BadText
	}
	s := shown{}
	for range digits {
		s.digits = append(s.digits, 8)
	}
	why := t.learn(lesson{shown: s, allLit: true})
	if why == "" {
		// Then every mark is lit, which says nothing of those that are when weighing.
		t.seen, t.every, t.count = nil, 1, 0
		t.marksFrom = t.recent[len(t.recent)-1].at + fadeMs
	}
	return why
}

// learn takes the mean of the last frames that show what the last ones of all show.
func (t *Teacher) learn(l lesson) Why {
	if len(t.recent) < fewest {
		return Busy
	}
	pics := make([]raster, len(t.recent))
	for k, g := range t.recent {
		pics[k] = t.eye.full.raster
		pics[k].v = make([]float32, len(g.pic.v))
		for q, x := range g.pic.v {
			pics[k].v[q] = x / g.gain
		}
	}
	from := steadyFrom(pics)
	if len(pics)-from < fewest {
		return Busy
	}
	if len(t.lessons) >= mostLessons {
		t.lessons = t.lessons[1:]
	}
	l.pic = meanOf(pics[from:])
	for _, g := range t.recent[from:] {
		l.gain += g.gain / float32(len(pics)-from)
	}
	l.soft = l.pic.blurred(1)
	l.flat = l.pic.flattened()
	t.lessons = append(t.lessons, l)
	return ""
}

// changedArea is how much of the window may differ between two frames of one text, as a share: a
// mark that comes, but not the segments of digits.
const changedArea = 0.005

// steadyFrom is from which picture on they show one text: none differs from the mean of the last
// ones by much ink over much of the window.
func steadyFrom(pics []raster) int {
	n := len(pics)
	mean := meanOf(pics[n-fewest:])
	last := mean.flattened()
	var strong float32
	for _, x := range last.v {
		strong += x * x
	}
	// A tenth of the window has ink, so its root mean square is about a third of a stroke's.
	limit := 1.3 * float32(math.Sqrt(float64(strong)/float64(len(last.v))))
	for from := n - 1; from >= 0; from-- {
		p := pics[from].flattened()
		count := 0
		for k, x := range p.v {
			if abs(x-last.v[k]) > limit {
				count++
			}
		}
		if float64(count) > changedArea*float64(len(p.v)) {
			return from + 1
		}
	}
	return 0
}

func meanOf(pics []raster) raster {
	out := pics[0]
	out.v = make([]float32, len(out.v))
	for _, p := range pics {
		for k, x := range p.v {
			out.v[k] += x / float32(len(pics))
		}
	}
	return out
}

// Reader fits the layout to what was shown: two texts that differ, or all segments and one text. That
// of an empty scale isn't enough: its zero and stable marks stand all the time, as the unit does.
func (t *Teacher) Reader() (*Reader, Why) {
	places, alike, loaded := -1, true, false
	for i, l := range t.lessons {
		if l.allLit {
			alike = false
			continue
		}
		loaded = loaded || slices.ContainsFunc(l.shown.digits, func(d int) bool { return d > 0 })
		if places >= 0 && places != l.shown.places {
			return nil, OtherUnit
		}
		places = l.shown.places
		for j := range i {
			alike = alike && slices.Equal(l.shown.digits, t.lessons[j].shown.digits)
		}
	}
	if !t.ok {
		return nil, NotADisplay
	}
	if !loaded || len(t.lessons) < 2 || alike {
		return nil, TooAlike
	}
	if len(t.seen) == 0 {
		return nil, Busy
	}
	f := fit(t.lessons, t.eye.plane.aspect)
	if f.score < fits {
		return nil, NotADisplay
	}
	if f.height*t.eye.window.height() < smallest {
		return nil, Small
	}
	return t.build(f, places)
}

// build makes the reader of a layout that fits, and lets it read its own lessons.
func (t *Teacher) build(f fitted, places int) (*Reader, Why) {
	used := 0
	for _, l := range t.lessons {
		used = max(used, len(l.shown.digits))
		if l.shown.minus {
			used = max(used, len(l.shown.digits)+1)
		}
	}
	cells := f.cells(t.eye.plane.aspect)
	if used > cells {
		return nil, NotADisplay
	}
	r := &Reader{eye: t.eye, layout: f.layout, cells: cells, used: used, places: places, unit: t.unit}
	r.ink = newInk(&r.layout, cells, f.sign, &r.eye.full.raster)
	r.full = r.ink.learn(t.lessons, &f.forms)
	r.match = newMatcher(&r.layout, cells, f.sign, &r.eye.full.raster)
	r.match.learn(&r.layout, &r.ink, t.lessons, &f.forms)
	if n := r.match.rooms(&r.ink, t.lessons, used); n < cells {
		cells = n
		r.cells, r.ink.cells, r.match.cells = n, n, n
		r.full = r.ink.learn(t.lessons, &f.forms)
	}
	if r.full < 8 {
		return nil, Faint
	}
	r.known = tailed(t.lessons, &f.forms)
	if places > 0 {
		var share float32
		r.point, share = f.findPoint(t.lessons, places, cells, f.sign, r.brightness(t.lessons))
		if share < 0.3 {
			return nil, NotADisplay
		}
		r.pointInk = share
	} else {
		r.point = point{1 + (f.pitch-f.width)/f.width/2, 1 - f.stroke/f.height/2}
		r.pointInk = 0.8
	}
	r.match.learn(&r.layout, &r.ink, t.lessons, &f.forms)
	r.ink.takeApart(&r.layout, &r.match.seg, r.layout.spot)
	r.full = r.ink.learn(t.lessons, &f.forms)
	r.drawing = newDrawing(&r.layout, cells, &t.eye.half.raster)
	r.drawing.learn(t.lessons, &f.forms, f.sign*r.brightness(t.lessons))
	why := r.learnMarks(t.seen, t.lessons)
	if slices.ContainsFunc(t.lessons, r.hidesMarks) {
		return nil, Glare
	}
	if why != "" {
		return nil, why
	}
	r.learnStrip(t.lessons)
	r.begin(t)
	for i := range t.lessons {
		l := &t.lessons[i]
		if l.allLit {
			continue
		}
		pic := l.asSeen()
		half := pic.halved()
		got, why := r.readPicture(&pic, &half, l.gain)
		if why == Glare {
			return nil, Glare
		}
		if why != "" || !slices.Equal(got.digits, l.shown.digits) || got.minus != l.shown.minus {
			if len(t.lessons) < 3 {
				return nil, TooAlike
			}
			return nil, NotADisplay
		}
	}
	return r, ""
}
