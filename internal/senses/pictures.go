package senses

// Pictures are those that a page has handed over, and what was made of them, each by a number
// that is never used again.
type Pictures struct {
	held map[int]any
	last int
}

// raster is a picture as the browser decoded it.
type raster struct {
	w, h int
	rgba []byte
}

// MostPixels is what a picture may have at most; a page refuses one of more by its header.
const MostPixels = 40_000_000

// A Why says why there is no answer, a word for the wire.
type Why string

// What the door itself refuses; what a picture lacks is said by the package that looked at it.
const (
	NoSuchMethod  Why = "no-such-method"
	NoSuchPicture Why = "no-such-picture"
	NotAQuestion  Why = "not-a-question"
)

// Put takes a picture as RGBA, row by row from the top, and gives its number, which is 0 where
// there are not that many pixels or more than MostPixels.
func (p *Pictures) Put(width, height int, rgba []byte) int {
	if width < 1 || height < 1 || width > MostPixels/height || len(rgba) != 4*width*height {
		return 0
	}
	return p.keep(&raster{width, height, rgba})
}

// Drop forgets a picture, or what was made of some.
func (p *Pictures) Drop(n int) { delete(p.held, n) }

// Pixels gives a picture as it was put or made; ok is false where the number names none.
func (p *Pictures) Pixels(n int) (width, height int, rgba []byte, ok bool) {
	r, ok := p.held[n].(*raster)
	if !ok {
		return 0, 0, nil, false
	}
	return r.w, r.h, r.rgba, true
}

func (p *Pictures) keep(x any) int {
	if p.held == nil {
		p.held = map[int]any{}
	}
	p.last++
	p.held[p.last] = x
	return p.last
}

// An Object is a question or an answer as JavaScript has it: of Objects, []any, float64, string
// and bool.
type Object = map[string]any

// going is told how far a call is, 0 to 1, and says whether it goes on.
type going = func(done float64) (goOn bool)

// Ask answers a question about pictures by their numbers. Every answer has a "why", which is
// empty where there is one; methods says what else. progress may be nil.
func (p *Pictures) Ask(name string, question Object, progress func(done float64) bool) Object {
	m := methods[name]
	if m == nil {
		return refused(NoSuchMethod)
	}
	return m(p, asked(question), progress)
}

// refused is an answer of which nothing but the reason is known.
func refused[W ~string](why W) Object { return Object{"why": string(why)} }

// raster is the picture that a field names, nil for none.
func (p *Pictures) raster(q asked, field string) *raster {
	r, _ := p.held[int(q.number(field))].(*raster)
	return r
}
