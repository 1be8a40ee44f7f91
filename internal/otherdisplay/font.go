package otherdisplay

import "math"

// xy is a point of the glass: right and down, 1 is a digit's height.
type xy struct{ x, y float64 }

// polygon is filled by the even-odd rule.
type polygon []xy

func (p polygon) holds(q xy) bool {
	in := false
	for i, j := 0, len(p)-1; i < len(p); j, i = i, i+1 {
		if (p[i].y > q.y) != (p[j].y > q.y) && q.x < (p[j].x-p[i].x)*(q.y-p[i].y)/(p[j].y-p[i].y)+p[i].x {
			in = !in
		}
	}
	return in
}

func (p polygon) moved(dx, dy, scale float64) polygon {
	out := make(polygon, len(p))
	for i, q := range p {
		out[i] = xy{dx + scale*q.x, dy + scale*q.y}
	}
	return out
}

// end is how a segment is cut off.
type end int

const (
	pointed end = iota // a hexagon
	mitred             // a trapezoid, the longer side outside
	blunt              // a rectangle
	ends
)

// font is the form of the digits.
type font struct {
	width, thick, gap float64
	slant             float64 // shift to the right by height
	end               end
	shortMiddle       bool // the middle segment is a little shorter
	openSix, openNine bool // without the upper, the lower stroke
	hookedSeven       bool // with the upper left stroke
}

// segments are a digit's seven polygons, a to g, its upper left at 0, 0.
func (f *font) segments() [7]polygon {
	t, g := f.thick, f.gap
	l, r, top, mid, low := t/2, f.width-t/2, t/2, 0.5, 1-t/2
	flat := func(y, side float64) polygon { return f.bar(xy{l + g, y}, xy{r - g, y}, xy{0, side}) }
	up := func(x, y1, y2, side float64) polygon { return f.bar(xy{x, y1 + g}, xy{x, y2 - g}, xy{side, 0}) }
	all := [7]polygon{
		flat(top, -1), up(r, top, mid, 1), up(r, mid, low, 1), flat(low, 1),
		up(l, mid, low, -1), up(l, top, mid, -1), flat(mid, 0),
	}
	if f.shortMiddle {
		all[6] = f.bar(xy{l + g + t*0.3, mid}, xy{r - g - t*0.3, mid}, xy{})
	}
	for _, p := range all {
		f.lean(p)
	}
	return all
}

func (f *font) lean(p polygon) {
	for i := range p {
		p[i].x += f.slant * (1 - p[i].y)
	}
}

// bar is a segment from a to b; outside points to the digit's outer side, 0 for the middle.
func (f *font) bar(a, b, outside xy) polygon {
	t := f.thick / 2
	length := math.Hypot(b.x-a.x, b.y-a.y)
	d := xy{(b.x - a.x) / length, (b.y - a.y) / length}
	n := xy{-d.y, d.x}
	at := func(p xy, along, across float64) xy {
		return xy{p.x + along*d.x + across*n.x, p.y + along*d.y + across*n.y}
	}
	switch {
	case f.end == blunt:
		cut := -t // lying strokes reach to the sides, standing ones between them
		if outside.x != 0 {
			cut = t
		}
		return polygon{at(a, cut, -t), at(b, -cut, -t), at(b, -cut, t), at(a, cut, t)}
	case f.end == mitred && (outside.x != 0 || outside.y != 0):
		side := n.x*outside.x + n.y*outside.y // +1: n points outside
		return polygon{at(a, -t, side*t), at(b, t, side*t), at(b, -t, -side*t), at(a, t, -side*t)}
	}
	return polygon{at(a, 0, 0), at(a, t, -t), at(b, -t, -t), at(b, 0, 0), at(b, -t, t), at(a, t, t)}
}

// lit are the segments of a character, bit 0 for a.
func (f *font) lit(c byte) uint8 {
	switch c {
	case '-':
		return 1 << 6
	case '6':
		if f.openSix {
			return 0b1111100
		}
	case '7':
		if f.hookedSeven {
			return 0b0100111
		}
	case '9':
		if f.openNine {
			return 0b1100111
		}
	}
	if c >= '0' && c <= '9' {
		return [10]uint8{0x3f, 0x06, 0x5b, 0x4f, 0x66, 0x6d, 0x7d, 0x07, 0x7f, 0x6f}[c-'0']
	}
	return 0
}

// strokes of small letters and marks, each in a cell 0.6 wide and 1 high, x-height 0.4 to 1.
var strokes = map[rune][]polygon{
	'g': {{{0.5, 0.4}, {0.1, 0.4}, {0.1, 0.8}, {0.5, 0.8}}, {{0.5, 0.4}, {0.5, 1.1}, {0.1, 1.1}}},
	'o': {{{0.1, 0.45}, {0.45, 0.45}, {0.5, 0.7}, {0.45, 0.95}, {0.1, 0.95}, {0.05, 0.7}, {0.1, 0.45}}},
	'z': {{{0.1, 0.45}, {0.5, 0.45}, {0.1, 0.95}, {0.5, 0.95}}},
	'c': {{{0.5, 0.45}, {0.15, 0.45}, {0.08, 0.7}, {0.15, 0.95}, {0.5, 0.95}}},
	't': {{{0.25, 0.15}, {0.25, 0.9}, {0.45, 0.95}}, {{0.08, 0.45}, {0.45, 0.45}}},
	'd': {{{0.5, 0.05}, {0.5, 0.95}, {0.1, 0.95}, {0.1, 0.45}, {0.5, 0.45}}},
	'w': {{{0.02, 0.45}, {0.15, 0.95}, {0.28, 0.55}, {0.41, 0.95}, {0.55, 0.45}}},
	'n': {{{0.1, 0.95}, {0.1, 0.45}, {0.4, 0.45}, {0.5, 0.55}, {0.5, 0.95}}},
	'*': {{{0.3, 0.1}, {0.5, 0.5}, {0.3, 0.9}, {0.1, 0.5}, {0.3, 0.1}}},                        // stable
	'^': {{{0.05, 0.9}, {0.3, 0.3}, {0.55, 0.9}, {0.05, 0.9}}},                                 // zero
	'#': {{{0, 0.3}, {0.8, 0.3}, {0.8, 0.8}, {0, 0.8}, {0, 0.3}}, {{0.15, 0.55}, {0.5, 0.55}}}, // battery
	'T': {{{0.05, 0.1}, {0.55, 0.1}}, {{0.3, 0.1}, {0.3, 0.95}}},                               // tare
}

// written are the polygons of a word at a place, its letters of the height given.
func written(word string, at xy, height, thick float64) []polygon {
	var all []polygon
	for _, r := range word {
		for _, line := range strokes[r] {
			for i := 1; i < len(line); i++ {
				a, b := line[i-1], line[i]
				n := xy{-(b.y - a.y), b.x - a.x}
				k := thick / 2 / math.Hypot(n.x, n.y)
				n.x, n.y = n.x*k, n.y*k
				p := polygon{{a.x + n.x, a.y + n.y}, {b.x + n.x, b.y + n.y}, {b.x - n.x, b.y - n.y}, {a.x - n.x, a.y - n.y}}
				all = append(all, p.moved(at.x, at.y, height))
			}
		}
		at.x += 0.7 * height
	}
	return all
}
