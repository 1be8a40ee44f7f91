// Package rendered draws displays of scales as a phone's camera sees them: the first world, on
// which the reader of internal/segments is tuned. Another world judges it. It shares no formula
// with the reader; everything in it is invented.
package rendered

import (
	"math"
	"math/rand/v2"
)

// Kind is a kind of display.
type Kind string

// The kinds.
const (
	LCD     Kind = "lcd"      // dark on gray, by the room's light
	Backlit Kind = "back-lit" // dark on bright
	Inverse Kind = "inverse"  // bright on dark, lit from behind
	LED     Kind = "led"      // glowing bars
)

// Kinds are all of them.
var Kinds = []Kind{LCD, Backlit, Inverse, LED}

// Look is how a display is built and seen. Lengths are in digit heights.
type Look struct {
	Kind                     Kind
	Cells, Places            int
	Width, Gap, Stroke       float64
	Slant, Cut               float64 // Cut is the gap between neighboring segments
	Tails                    bool    // 6 and 9 with tails
	HookedSeven              bool
	Comma                    bool
	MarkSize                 float64 // of unit marks
	MarkBelow                bool    // they stand low beside the digits, else high
	MarginX, MarginY, Right  float64
	Paper, Ink, Ghost        float64 // brightness of ground and ink, 0 to 1; share of ink in dark segments
	Unevenness               float64
	Turn, Lean, Shear, Zoom  float64 // radians, keystone, shear; pixels a digit height
	FrameW, FrameH           int
	Blur, Noise, Shade       float64
	Glare                    float64
	GlareX, GlareY, GlareR   float64
	Shake, FrameOff          float64 // pixels; share of window height
	Lag                      float64 // s a segment takes to change
	Fall                     float64 // how much slower segments go out than they light; 0 is 1
	Housing                  float64
	Stable, ZeroMark, Border bool
	Seed                     uint64
	Wide
	Late
	Hard
}

// Ordinary reports whether it is dark on light with little glare.
func (l Look) Ordinary() bool {
	return (l.Kind == LCD || l.Kind == Backlit) && l.Glare < 0.12 && l.Glint < 0.12
}

// Draw makes up a display.
func Draw(seed uint64) Look {
	r := rand.New(rand.NewPCG(seed, 0x5e65))
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	odds := func(p float64) bool { return r.Float64() < p }
	l := Look{
		Kind: Kinds[r.IntN(len(Kinds))], Cells: 4 + r.IntN(3), Places: 1 + r.IntN(3),
		Width: u(0.46, 0.62), Gap: u(0.16, 0.34), Stroke: u(0.1, 0.17), Slant: u(0, 0.18), Cut: u(0.01, 0.03),
		Tails: odds(0.85), HookedSeven: odds(0.12), Comma: odds(0.1),
		MarkSize: u(0.24, 0.5), MarkBelow: odds(0.6), MarginX: u(0.2, 0.5), MarginY: u(0.15, 0.5), Right: u(0.7, 1.1),
		Turn: u(-0.08, 0.08), Lean: u(-0.12, 0.12), Shear: u(-0.1, 0.1), Zoom: u(38, 80),
		FrameW: 640, FrameH: 360, Blur: u(0.5, 1.6), Noise: u(1, 5), Shade: u(0, 0.25),
		Shake: u(0, 0.4), FrameOff: u(0, 0.05), Lag: u(0.01, 0.12), Housing: u(0.1, 0.8), Unevenness: u(0, 0.08),
		Stable: odds(0.5), ZeroMark: odds(0.3), Border: odds(0.5), Seed: seed,
	}
	l.Zoom = min(l.Zoom, 560/(l.wide()+0.5), 300/(1+2*l.MarginY+0.5))
	switch l.Kind {
	case LCD:
		l.Paper, l.Ink, l.Ghost = u(0.4, 0.75), u(0.1, 0.25), u(0, 0.12)
	case Backlit:
		l.Paper, l.Ink, l.Ghost = u(0.7, 0.95), u(0.1, 0.3), u(0, 0.12)
	case Inverse:
		l.Paper, l.Ink, l.Ghost = u(0.1, 0.3), u(0.7, 0.95), u(0, 0.1)
	case LED:
		l.Paper, l.Ink, l.Ghost = u(0.02, 0.15), u(0.55, 1.0), u(0, 0.06)
	}
	if odds(0.25) {
		l.Glare = u(0.1, 0.6)
		l.GlareX, l.GlareY, l.GlareR = u(-1, l.wide()), u(-0.6, 1.6), u(0.4, 2)
	} else if odds(0.5) {
		l.Glare = u(0, 0.1)
		l.GlareX, l.GlareY, l.GlareR = u(-1, l.wide()), u(-0.6, 1.6), u(0.4, 2)
	}
	l.FrameW = int((l.wide()+0.4)*l.Zoom*1.08) + 20
	l.FrameH = int((1+2*l.MarginY+0.4)*l.Zoom*1.1+0.1*l.wide()*l.Zoom) + 20
	return l
}

// wide is the glass's width.
func (l Look) wide() float64 {
	return 2*l.MarginX + l.Left + float64(l.Cells)*(l.Width+l.Gap) + l.Right
}

// top and bottom are where the glass ends above and below the digits.
func (l Look) top() float64    { return -l.MarginY - l.Above }
func (l Look) bottom() float64 { return 1 + l.MarginY + l.Below }

// Shown is what a display shows.
type Shown struct {
	Text   string // with its point, without leading blanks
	Unit   string
	Stable bool
	Zero   bool
	Tare   bool
	Late   [3]bool // marks that came after the teaching
	All    bool    // every segment and mark lights
	Off    bool
}

type shape interface{ has(x, y float64) bool }

type polygon [][2]float64

func (p polygon) has(x, y float64) bool {
	in := false
	for i, j := 0, len(p)-1; i < len(p); j, i = i, i+1 {
		if (p[i][1] > y) != (p[j][1] > y) && x < (p[j][0]-p[i][0])*(y-p[i][1])/(p[j][1]-p[i][1])+p[i][0] {
			in = !in
		}
	}
	return in
}

type disc struct{ x, y, r float64 }

func (d disc) has(x, y float64) bool { return math.Hypot(x-d.x, y-d.y) < d.r }

// strokes are thick lines, for letters.
type strokes struct {
	lines [][4]float64
	half  float64
}

func (s strokes) has(x, y float64) bool {
	for _, l := range s.lines {
		dx, dy := l[2]-l[0], l[3]-l[1]
		t := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			t = min(max(((x-l[0])*dx+(y-l[1])*dy)/n, 0), 1)
		}
		if math.Hypot(x-l[0]-t*dx, y-l[1]-t*dy) < s.half {
			return true
		}
	}
	return false
}

// letters on a grid of 0..2 by 0..4, y down, x-height from 1 to 3.
var letters = map[byte][][4]float64{
	'g': {{2, 1, 0, 1}, {0, 1, 0, 3}, {0, 3, 2, 3}, {2, 1, 2, 4}, {2, 4, 0, 4}},
	'o': {{0, 1, 2, 1}, {2, 1, 2, 3}, {2, 3, 0, 3}, {0, 3, 0, 1}},
	'z': {{0, 1, 2, 1}, {2, 1, 0, 3}, {0, 3, 2, 3}},
	'c': {{2, 1, 0, 1}, {0, 1, 0, 3}, {0, 3, 2, 3}},
	't': {{1, 0, 1, 3}, {1, 3, 2, 3}, {0, 1, 2, 1}},
	'd': {{2, 0, 2, 3}, {2, 3, 0, 3}, {0, 3, 0, 1}, {0, 1, 2, 1}},
	'w': {{0, 1, 0.5, 3}, {0.5, 3, 1, 1.5}, {1, 1.5, 1.5, 3}, {1.5, 3, 2, 1}},
	'n': {{0, 3, 0, 1}, {0, 1, 2, 1}, {2, 1, 2, 3}},
	'r': {{0, 3, 0, 1}, {0, 1, 2, 1}},
	'a': {{0, 1, 2, 1}, {2, 1, 2, 3}, {2, 3, 0, 3}, {0, 3, 0, 2}, {0, 2, 2, 2}},
	'e': {{2, 2, 0, 2}, {2, 2, 2, 1}, {2, 1, 0, 1}, {0, 1, 0, 3}, {0, 3, 2, 3}},
	'l': {{0.5, 0, 0.5, 3}},
	'b': {{0, 0, 0, 3}, {0, 3, 2, 3}, {2, 3, 2, 1}, {2, 1, 0, 1}},
}

// Units are what these displays can show; the first is taught, if Set doesn't say other ones.
var Units = []string{"g", "oz", "ct", "dwt", "gn", "ozt"}

// units are those of this display, the taught one first.
func (l Look) units() []string {
	if len(l.Set) > 0 {
		return l.Set
	}
	return Units
}
