package otherdisplay

import (
	"math"
	"math/rand/v2"
)

// Kind is how a display makes its light.
type Kind string

// The kinds.
const (
	LCD      Kind = "lcd"      // dark segments, light from the room
	Backlit  Kind = "backlit"  // an LCD with its own light, dark segments on it
	Negative Kind = "negative" // an LCD with its own light, bright segments on blue or black
	LED      Kind = "led"
)

// Kinds are all.
var Kinds = []Kind{LCD, Backlit, Negative, LED}

// Trouble is what makes a display hard to read.
type Trouble string

// The troubles; Plain has little of each.
const (
	Plain   Trouble = "plain"
	Tilted  Trouble = "tilted"
	Glared  Trouble = "glare"
	Faint   Trouble = "faint"
	Uneven  Trouble = "uneven light"
	Blurred Trouble = "blurred"
	Ghosts  Trouble = "slow and ghosting"
	Noisy   Trouble = "noise and blocks"
)

// Troubles are all.
var Troubles = []Trouble{Plain, Tilted, Glared, Faint, Uneven, Blurred, Ghosts, Noisy}

// unitGrams are grams in a unit: the avoirdupois ounce, the metric carat, pennyweight and grain.
var unitGrams = map[string]float64{"g": 1, "oz": 28.349523125, "ct": 0.2, "dwt": 1.55517384, "gn": 0.06479891}

// element is what lights as one.
type element struct {
	all   []polygon
	digit int // whose turn it shares where digits are lit in turn
	parts []part
	state float64
	aim   float64
}

// Display is one scale's display, with the phone before it.
type Display struct {
	Kind    Kind
	Trouble Trouble
	Unit    string // shown now: "g", "oz", "ct", "dwt" or "gn"
	Digits  int
	Width   int // of a frame, in pixels
	Height  int

	rng      *rand.Rand
	font     font
	places   map[string]int
	units    []string
	ownMinus bool
	comma    bool
	pitch    float64 // from digit to digit
	segments [][7]*element
	points   []*element
	minus    *element
	marks    map[string]*element
	all      []*element
	glass    [4]xy // its window
	panel    [4]xy // what the light of the panel fills

	view   view
	lens   lens
	finger [4]xy // what the person marked as the window, in the picture
	light  optics
	inked  []float32 // the last frame's ink
	room   []float32

	changed bool // whether an element's state has, since the frame before
	scale   scale
	cover   hand
}

// optics is what light, lens and sensor do.
type optics struct {
	sigma, ghost, contrast, base, housing float64
	bright                                bool // segments brighter than the panel
	rise, fall                            float64
	noise                                 float64
	block                                 float64 // step of the blocks' rounding, 0 for none
	shadow                                int     // pixels that a segment's shadow lies lower, 0 for none
	bloom                                 float64
	multiplex, exposure, line             float64 // Hz, s, s a row
	panelLight, reflex                    []float32
	table                                 []float32 // of normal numbers
	drift                                 float64
}

// New draws the display of a seed.
func New(kind Kind, trouble Trouble, seed uint64) *Display {
	d := &Display{Kind: kind, Trouble: trouble, Unit: "g", rng: rand.New(rand.NewPCG(seed, 0x646973)), marks: map[string]*element{}}
	d.drawFont()
	d.layOut()
	d.drawLight()
	d.place()
	d.scale = newScale(d)
	d.aim()
	for _, e := range d.all {
		e.state = e.aim
	}
	return d
}

func (d *Display) between(a, b float64) float64 { return a + (b-a)*d.rng.Float64() }
func (d *Display) chance(p float64) bool        { return d.rng.Float64() < p }

func (d *Display) drawFont() {
	d.font = font{
		width: d.between(0.46, 0.62), gap: d.between(0.006, 0.03),
		slant: math.Max(0, d.between(-0.05, 0.2)), end: end(d.rng.IntN(int(ends))), shortMiddle: d.chance(0.3),
		openSix: d.chance(0.06), openNine: d.chance(0.06), hookedSeven: d.chance(0.06),
	}
	// No stroke is so thick that a digit's holes close.
	d.font.thick = d.between(0.09, math.Min(0.17, 0.27*d.font.width))
	if d.font.end == blunt {
		d.font.gap += 0.01
	}
	d.Digits = 4 + d.rng.IntN(3)
	d.pitch = d.font.width + d.between(0.16, 0.34)
	d.ownMinus, d.comma = d.chance(0.4), d.chance(0.15)
	gram := 1 + d.rng.IntN(3)
	if d.Digits == 4 {
		gram = min(gram, 2)
	}
	d.places = map[string]int{"g": gram, "oz": min(gram+2, d.Digits-1), "ct": min(gram, d.Digits-2), "dwt": gram, "gn": max(1, gram-1)}
	d.units = []string{"g"}
	for _, u := range []string{"oz", "ct", "dwt", "gn"} {
		if d.chance(0.6) || len(d.units) == 1 && u == "gn" {
			d.units = append(d.units, u)
		}
	}
}

func (d *Display) add(all []polygon, digit int) *element {
	e := &element{all: all, digit: digit}
	d.all = append(d.all, e)
	return e
}

// layOut puts the digits from 0, 0 to the right, marks around.
func (d *Display) layOut() {
	f := &d.font
	for c := range d.Digits {
		var seven [7]*element
		for k, p := range f.segments() {
			seven[k] = d.add([]polygon{p.moved(float64(c)*d.pitch, 0, 1)}, c)
		}
		d.segments = append(d.segments, seven)
		x, r := float64(c)*d.pitch+(d.pitch+f.width)/2, f.thick*0.55
		point := polygon{{x - r, 1 - 2*r}, {x + r, 1 - 2*r}, {x + r, 1}, {x - r, 1}}
		if d.comma {
			point = polygon{point[0], point[1], point[2], {x - r*0.9, 1 + 2.2*r}, {x - r*0.2, 1}, point[3]}
		}
		d.points = append(d.points, d.add([]polygon{point}, c))
	}
	left, right := -0.15, float64(d.Digits)*d.pitch+0.05
	if d.ownMinus {
		d.minus = d.add([]polygon{f.bar(xy{-0.6, 0.5}, xy{-0.25, 0.5}, xy{})}, 0)
		left = -0.8
	}
	top, bottom := -0.2, 1.25
	size := d.between(0.28, 0.42)
	stacked := d.chance(0.4) // each unit in its place, or all in one
	y := d.between(0.1, 1-size)
	longest := 0
	for i, u := range d.units {
		at := xy{right, y}
		if stacked {
			size = math.Min(size, 1.15/float64(len(d.units)))
			at.y = float64(i) * size * 1.15
			bottom = math.Max(bottom, at.y+size*1.25)
		}
		d.marks[u] = d.add(written(u, at, size, 0.16), d.Digits-1)
		longest = max(longest, len(u))
	}
	right += float64(longest)*0.7*size + 0.1
	if d.chance(0.8) {
		where := xy{left - 0.35, d.between(0, 0.7)}
		if d.chance(0.4) {
			where, top = xy{d.between(0, 1), -0.45}, -0.6
		} else {
			left -= 0.4
		}
		d.marks["stable"] = d.add(written("*", where, 0.3, 0.18), 0)
	}
	if d.chance(0.5) {
		d.marks["zero"] = d.add(written("^", xy{d.between(1.4, 2), -0.42}, 0.3, 0.18), 1)
		top = -0.6
	}
	if d.chance(0.4) {
		d.marks["battery"] = d.add(written("#", xy{d.between(2.2, 2.6), -0.42}, 0.3, 0.15), 2)
		top = -0.6
	}
	pad := d.between(0.08, 0.3)
	d.glass = [4]xy{{left - pad, top - pad}, {right + pad, top - pad}, {right + pad, bottom + pad}, {left - pad, bottom + pad}}
	more := d.between(0, 0.15)
	for i, q := range d.glass {
		side := [4]xy{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}[i]
		d.panel[i] = xy{q.x + more*side.x, q.y + more*side.y}
	}
}

// drawLight draws light, lens and sensor, and where the phone stands.
func (d *Display) drawLight() {
	o := &d.light
	t := d.Trouble
	o.sigma, o.ghost, o.noise = d.between(0.4, 1.1), d.between(0, 0.04), d.between(0.8, 3)
	o.rise, o.fall = d.between(0.02, 0.06), d.between(0.03, 0.09)
	o.base, o.housing = d.between(120, 200), d.between(30, 220)
	o.contrast = d.between(0.5, 0.85)
	switch d.Kind {
	case LCD:
		if d.chance(0.5) {
			o.shadow = 1 + d.rng.IntN(3)
		}
	case Backlit:
		o.base, o.housing = d.between(150, 235), d.between(10, 90)
	case Negative:
		o.bright, o.base, o.contrast = true, d.between(20, 70), d.between(0.4, 0.75)
		o.housing = d.between(10, 90)
	case LED:
		o.bright, o.base, o.contrast = true, d.between(8, 40), d.between(0.6, 1)
		o.housing, o.bloom = d.between(10, 120), d.between(0.02, 0.12)
		o.rise, o.fall = 0.001, 0.001
		o.multiplex, o.exposure, o.line = d.between(90, 600), 1/d.between(25, 110), d.between(60e-6, 200e-6)
		if d.chance(0.3) {
			o.multiplex = 0 // not in turn
		}
	}
	v := &d.view
	v.pitch, v.yaw, v.roll, v.shear = d.between(-0.15, 0.15), d.between(-0.15, 0.15), d.between(-0.05, 0.05), d.between(-0.02, 0.02)
	v.distance, v.pixels = d.between(9, 25), d.between(30, 50)
	switch t {
	case Tilted:
		v.pitch, v.yaw, v.roll, v.shear = d.between(-0.6, 0.6), d.between(-0.5, 0.5), d.between(-0.25, 0.25), d.between(-0.12, 0.12)
	case Faint:
		o.contrast *= d.between(0.15, 0.4)
	case Blurred:
		o.sigma = d.between(1.2, 3)
		v.pixels = d.between(25, 40)
	case Ghosts:
		o.ghost = d.between(0.05, 0.22)
		if d.Kind != LED {
			o.rise, o.fall = d.between(0.05, 0.15), d.between(0.1, 0.3)
		}
	case Noisy:
		o.noise, o.block = d.between(4, 14), d.between(6, 20)
	}
	o.table = make([]float32, 1<<14)
	for i := range o.table {
		o.table[i] = float32(d.rng.NormFloat64())
	}
}

// leastDigit is how high in pixels every digit stands at least, as the reader's API asks.
const leastDigit = 24

// lowest is the height in pixels of the digit that stands lowest in the picture.
func (d *Display) lowest() float64 {
	l, least := d.view.lens(), math.Inf(1)
	for c := range d.Digits {
		x := (float64(c) + 0.5) * d.pitch
		top, foot := through(&l.to, xy{x, 0}), through(&l.to, xy{x, 1})
		least = math.Min(least, math.Hypot(top.x-foot.x, top.y-foot.y))
	}
	return least
}

// place fits the picture to the window, and marks the window as a finger would.
func (d *Display) place() {
	v := &d.view
	v.middle = xy{(d.glass[0].x + d.glass[2].x) / 2, (d.glass[0].y + d.glass[2].y) / 2}
	// Whoever tilts the phone goes nearer until the digits are as high as asked.
	if least := d.lowest(); least < leastDigit {
		v.pixels *= leastDigit / least
	}
	l := v.lens()
	lo, hi := xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	for _, q := range d.glass {
		q = through(&l.to, q)
		lo.x, lo.y, hi.x, hi.y = math.Min(lo.x, q.x), math.Min(lo.y, q.y), math.Max(hi.x, q.x), math.Max(hi.y, q.y)
	}
	margin := 0.25 * (hi.y - lo.y) // what the phone looks at around the window
	d.Width, d.Height = int(hi.x-lo.x+2*margin), int(hi.y-lo.y+2*margin)
	v.at = xy{margin - lo.x, margin - lo.y}
	d.lens = v.lens()
	off := 0.05 * (d.glass[2].y - d.glass[0].y) * v.pixels
	for i, q := range d.glass {
		q = through(&d.lens.to, q)
		d.finger[i] = xy{q.x + off*d.between(-0.7, 0.7), q.y + off*d.between(-0.7, 0.7)}
	}
	d.expose()
	d.shine()
}

// Window is what the person marked: the corners x, y, clockwise from the upper left.
func (d *Display) Window() [4][2]float64 {
	var w [4][2]float64
	for i, q := range d.finger {
		w[i] = [2]float64{q.x, q.y}
	}
	return w
}

// expose finds each element's share of the pixels, after the lens has moved.
func (d *Display) expose() {
	o := &d.light
	d.inked = nil
	for _, e := range d.all {
		e.parts = d.lens.cover(e.all, d.Width, d.Height, o.sigma)
		if o.bloom > 0 {
			for _, p := range d.lens.cover(e.all, d.Width, d.Height, o.sigma+0.12*d.view.pixels) {
				e.parts = append(e.parts, part{p.at, p.share * float32(o.bloom) * 4})
			}
		}
		if o.shadow > 0 {
			n := len(e.parts)
			for _, p := range e.parts[:n] {
				if at := p.at + int32(o.shadow*d.Width+o.shadow/2); int(at) < d.Width*d.Height {
					e.parts = append(e.parts, part{at, p.share * 0.15})
				}
			}
		}
	}
	// The panel and the housing around it, which has a label.
	panel := make([]float64, d.Width*d.Height)
	for _, p := range d.lens.cover([]polygon{d.panel[:]}, d.Width, d.Height, o.sigma) {
		panel[p.at] = float64(p.share)
	}
	o.panelLight = make([]float32, len(panel))
	for i, share := range panel {
		o.panelLight[i] = float32(share*o.base + (1-share)*o.housing)
	}
}

// shine lays uneven light and reflections on the picture.
func (d *Display) shine() {
	o := &d.light
	w, h := float64(d.Width), float64(d.Height)
	slope, angle := d.between(0, 0.15), 2*math.Pi*d.rng.Float64()
	edge, shade := 2.0, 1.0
	if d.Trouble == Uneven {
		slope = d.between(0.2, 0.6)
		if d.chance(0.6) { // a shadow's edge across
			edge, shade = d.between(-0.4, 0.4), d.between(0.35, 0.75)
		}
	}
	cx, cy := w*d.between(0.1, 0.9), h*d.between(0.1, 0.9)
	rx, ry, strong := w*d.between(0.08, 0.5), h*d.between(0.15, 0.6), 0.0
	switch {
	case d.Trouble == Glared:
		strong = d.between(0.3, 1.1)
	case d.Kind != LED:
		strong = d.between(0, 0.08)
	}
	o.reflex = make([]float32, d.Width*d.Height)
	s, c := math.Sincos(angle)
	for y := range d.Height {
		for x := range d.Width {
			u := ((float64(x)-w/2)*c + (float64(y)-h/2)*s) / (w / 2)
			k := 1 + slope*u
			if u > edge {
				k *= shade + (1-shade)*math.Exp(-(u-edge)*20)
			}
			i := y*d.Width + x
			if d.Kind != LED {
				o.panelLight[i] *= float32(k)
			}
			dx, dy := (float64(x)-cx)/rx, (float64(y)-cy)/ry
			o.reflex[i] = float32(math.Min(1, strong*math.Exp(-(dx*dx+dy*dy))))
		}
	}
}

// Bump moves the phone, from a little to a third of the window's height.
func (d *Display) Bump() {
	v := &d.view
	far := v.pixels * d.between(0.12, 0.8)
	angle := 2 * math.Pi * d.rng.Float64()
	v.at.x += far * math.Cos(angle)
	v.at.y += far * math.Sin(angle)
	v.roll += d.between(-0.06, 0.06)
	v.pixels *= d.between(0.94, 1.06)
	d.lens = v.lens()
	d.expose()
	d.shine()
}
