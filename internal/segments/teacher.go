package segments

import (
	"panside/internal/mass"
	"panside/internal/moment"
)

// Teacher learns one display: where its digits and marks are and how they look.
type Teacher struct {
	eye    eye
	ok     bool
	unit   mass.Unit
	recent []glance
	seen   []raster // half size, of the whole teaching
	every  int      // one of so many frames is kept of it
	count  int
	// marksFrom is when all marks are out that lit with all segments.
	marksFrom int64
	lessons   []lesson
}

// glance is one frame's window.
type glance struct {
	at  int64 // ms
	pic raster
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
	// fits is the least score at which the lessons' texts are on the display.
	fits = 2.2
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
	r := t.eye.look(f, Point{}, make([]float32, len(t.eye.places)))
	t.recent = append(t.recent, glance{ms, r})
	for len(t.recent) > fewest && (len(t.recent) > 30 || ms-t.recent[0].at > restMs) {
		t.recent = t.recent[1:] // a slow phone has the fewest anyway
	}
	if ms < t.marksFrom {
		t.count = 0
	} else if t.count%t.every == 0 {
		t.seen = append(t.seen, r.half())
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
	lo, hi := r.v[0], r.v[0]
	for _, x := range r.v {
		lo, hi = min(lo, x), max(hi, x)
	}
	switch {
	case hi < 40:
		return Dark
	case hi-lo < 20:
		return Faint
	}
	return ""
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

func (t *Teacher) learn(l lesson) Why {
	if len(t.recent) < fewest {
		return Busy
	}
	if len(t.lessons) >= mostLessons {
		t.lessons = t.lessons[1:]
	}
	first, last := t.recent[0].pic, t.recent[len(t.recent)-1].pic
	change := first.minus(last)
	change = change.blurred(2)
	lo, hi := first.v[0], first.v[0]
	var most float32
	for k, x := range first.v {
		lo, hi = min(lo, x), max(hi, x)
		most = max(most, abs(change.v[k]))
	}
	if most > 0.3*(hi-lo) {
		return Busy
	}
	pic := t.eye.empty
	pic.v = make([]float32, len(t.eye.places))
	for _, g := range t.recent {
		for k, x := range g.pic.v {
			pic.v[k] += x / float32(len(t.recent))
		}
	}
	l.pic = pic
	l.flat = pic.minus(pic.blurred(rows / 5))
	l.flat = l.flat.blurred(1)
	soft := l.flat.blurred(2)
	l.small = pad(&soft)
	t.lessons = append(t.lessons, l)
	return ""
}

// Reader fits the layout to what was shown: two texts that differ, or all segments and one text.
func (t *Teacher) Reader() (*Reader, Why) {
	texts, places, alike := 0, -1, true
	for i, l := range t.lessons {
		if l.allLit {
			alike = false
			continue
		}
		texts++
		if places >= 0 && places != l.shown.places {
			return nil, OtherUnit
		}
		places = l.shown.places
		for j := range i {
			alike = alike && same(l.shown.digits, t.lessons[j].shown.digits)
		}
	}
	if !t.ok {
		return nil, NotADisplay
	}
	if texts == 0 || len(t.lessons) < 2 || alike {
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

func same(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// build makes the reader of a layout that fits, and lets it read its own lessons.
func (t *Teacher) build(f fitted, places int) (*Reader, Why) {
	cells := f.cells(t.eye.plane.aspect)
	for _, l := range t.lessons {
		if len(l.shown.digits) > cells {
			return nil, NotADisplay
		}
	}
	r := &Reader{eye: t.eye, layout: f.layout, cells: cells, places: places, unit: t.unit}
	r.ink = newInk(&r.layout, cells, f.sign)
	r.full = r.ink.learn(t.lessons, &f.forms)
	if r.full < 8 {
		return nil, Faint
	}
	r.known = tailed(t.lessons, &f.forms)
	var pt *point
	if places > 0 {
		var share float32
		r.point, share = f.findPoint(t.lessons, places, cells, f.sign, r.full)
		if share < 0.35 {
			return nil, NotADisplay
		}
		r.pointInk = share
	} else {
		r.point = point{1 + (f.pitch-f.width)/f.width/2, 1 - f.stroke/f.height/2}
		r.pointInk = 0.8
	}
	pt = &r.point
	r.match = newMatcher(&r.layout, cells, f.sign)
	r.match.learn(&r.layout, &r.ink, t.lessons, &f.forms)
	r.marks = newMarks(&r.layout, cells, pt, t.seen, r.full, 2*t.eye.perRow)
	if r.marks.ref < 0.2*r.full {
		return nil, NoUnit
	}
	r.buf = make([]float32, len(t.eye.places))
	for i := range t.lessons {
		l := &t.lessons[i]
		if l.allLit {
			continue
		}
		got, why := r.readPicture(&l.pic)
		if why != "" || !same(got.digits, l.shown.digits) || got.minus != l.shown.minus {
			if len(t.lessons) < 3 {
				return nil, TooAlike
			}
			return nil, NotADisplay
		}
	}
	return r, ""
}
