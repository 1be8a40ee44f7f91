package rendered

import (
	"math"
	"math/rand/v2"
)

// Ends is how the segments of a display end.
type Ends int

// The ends.
const (
	Mitred Ends = iota
	Square
	Pointed
)

// UnitStyle is how a display says its unit.
type UnitStyle int

// The styles: a word in one place, words in a column or row, a small cell of seven segments, and a
// triangle beside the printed word.
const (
	OneWord UnitStyle = iota
	WordColumn
	WordRow
	Letter
	Arrow
)

// Wide is what DrawWide adds to a look; the zero value adds nothing. Lengths are in digit heights.
type Wide struct {
	Left, Above, Below float64 // more glass on these sides
	Last               float64 // size of the last digit, if smaller
	Ends               Ends
	Style              UnitStyle
	MarksAbove         bool // rows of marks stand above the digits, else below
	StableX, StableY   float64
	Triangle           bool // the stable mark's shape, else a ring
	Battery, TareMark  bool
	FixedMinus         bool // the minus stands at the left edge, not before the digits
	Logo, Print        bool // printed on the glass, and on the housing
	Shadow             float64
	ShadowX, ShadowY   float64
	Spot               float64 // how uneven the light from behind is
	SpotX, SpotY       float64
	Bloom              float64  // light round glowing ink, as a share
	Band, BandRows     float64  // depth of a multiplexed display's bands, and their period in pixels
	Drift              float64  // of the exposure, as a share
	Breath             float64  // of the lens, as a share of size
	Walk, Roll         float64  // pixels and radians that a hand moves
	Blocks             float64  // step of the coarsest blocks, in levels of brightness
	Curve              float64  // exponent of the tone curve; 0 is 1
	Blend              float64  // odds that a frame mixes two states
	FPS, Refresh       float64  // frames, and the display's numbers, a second
	Over               float64  // how much housing is framed, as a share of the window's height
	HandDims           float64  // how much a passing hand darkens all
	Set                []string // its units, the taught one first; none is Units
	Lettering
}

// Group is the kind of display for a table of shares.
func (l Look) Group() string {
	name := string(l.Kind)
	switch {
	case l.Glare >= 0.12 || l.Glint >= 0.12:
		return name + ", glare"
	case l.Walk > 0.8:
		return name + ", by hand"
	}
	return name
}

// DrawWide makes up a display of the wider kind: what displays and cameras are seen to do, common
// practice all of it.
func DrawWide(seed uint64) Look {
	l := Draw(seed)
	r := rand.New(rand.NewPCG(seed, 0x71de))
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	odds := func(p float64) bool { return r.Float64() < p }
	if odds(0.3) {
		l.Kind = LCD // by far the commonest on pocket scales
		l.Paper, l.Ink, l.Ghost = u(0.4, 0.75), u(0.1, 0.25), u(0, 0.12)
	}
	l.Width, l.Gap, l.Stroke = u(0.44, 0.66), u(0.12, 0.36), u(0.09, 0.19)
	l.Slant, l.Cut = math.Tan(u(0, 12)*math.Pi/180), u(0.004, 0.035)
	l.Ends = Ends(r.IntN(3))
	l.Tails, l.HookedSeven = odds(0.75), odds(0.25)
	l.Shade, l.Blur, l.Noise = u(0, 0.35), u(0.4, 1.4), u(0.5, 5)
	ratio := u(0.35, 0.9)
	room := 1/ratio - 1 // above and below together
	l.Style = UnitStyle(r.IntN(5))
	l.MarksAbove = odds(0.5)
	l.MarginY = 0.05 + 0.05*r.Float64()
	room = max(room-2*l.MarginY, 0)
	if l.Style == WordRow || l.Style == Arrow {
		room = max(room, 0.42)
		if l.MarksAbove {
			l.Above = room - min(room-0.42, u(0, room/2))
		} else {
			l.Above = min(room-0.42, u(0, room/2))
		}
	} else {
		l.Above = u(0, room)
	}
	l.Below = room - l.Above
	l.MarginX = u(0.12, 0.45)
	if odds(0.4) {
		l.Left = u(0.3, 1.2)
	}
	switch l.Style {
	case OneWord, WordColumn:
		l.MarkSize = u(0.26, 0.5)
		if l.Style == WordColumn {
			l.MarkSize = u(0.22, 0.28)
		}
		l.Right = 0.2 + 2.1*l.MarkSize
	case Letter:
		l.Right = u(0.5, 0.8)
	case WordRow, Arrow:
		l.MarkSize = u(0.2, 0.3)
		l.Right = u(0.05, 0.5)
	}
	if odds(0.08) {
		l.Last = u(0.65, 0.8)
	}
	l.Stable, l.ZeroMark, l.Triangle = odds(0.7), odds(0.4), odds(0.4)
	switch wide := l.wide(); {
	case l.Left > 0.5 && odds(0.6):
		l.StableX, l.StableY = l.MarginX+l.Left/3, u(0.15, 0.85)
	case l.Above > 0.25 && !(l.MarksAbove && l.Style >= WordRow):
		l.StableX, l.StableY = u(0.15*wide, 0.9*wide), -l.MarginY-l.Above/2+0.02
	case l.Below > 0.25 && (l.MarksAbove || l.Style < WordRow):
		l.StableX, l.StableY = u(0.15*wide, 0.9*wide), 1+l.MarginY+l.Below/2-0.02
	case l.Style == OneWord:
		l.StableX, l.StableY = wide-l.MarginX-l.Right/2+0.1, 0.75-0.5*boolTo(l.MarkBelow)
	case l.Style == Letter:
		l.StableX, l.StableY = wide-l.MarginX-l.Right/2+0.1, 0.15
	default:
		l.Stable = false
	}
	l.Battery, l.TareMark = odds(0.3), odds(0.35)
	l.FixedMinus, l.Logo, l.Print = odds(0.3) && l.Left > 0.5, odds(0.25), odds(0.6)
	if l.Kind == LCD && odds(0.7) {
		l.Shadow, l.ShadowX, l.ShadowY = u(0.05, 0.3), u(-0.1, 0.1), u(0.02, 0.14)
	}
	if l.Kind == Backlit || l.Kind == Inverse {
		l.Spot, l.SpotX, l.SpotY = u(0, 0.4), u(-0.2, 1.2), u(-0.2, 1.2)
	}
	if l.Kind == LED {
		l.Bloom = u(0.02, 0.3)
		if odds(0.5) {
			l.Band, l.BandRows = u(0.1, 0.5), u(20, 200)
		}
	}
	l.Drift, l.HandDims, l.Breath = u(0, 0.08), u(0, 0.25), u(0, 0.005)
	if odds(0.5) {
		l.Walk, l.Roll = u(0.1, 3), u(0, 0.004)
	}
	if odds(0.4) {
		l.Blocks = u(1, 5)
	}
	l.Curve, l.Blend = u(0.7, 1.2), u(0, 1)
	l.FPS, l.Refresh = u(10, 30), u(3, 10)
	l.Over = max(u(-0.04, 0.12), 0)
	l.Lag = u(0.01, 0.1)
	tall := l.bottom() - l.top()
	l.Zoom = 24 * math.Pow(2, u(0, 1.3))
	l.Zoom = max(min(l.Zoom, 460/(l.wide()+0.6), 240/(tall+0.6)), 24)
	if l.Glare > 0 {
		l.GlareX, l.GlareY, l.GlareR = u(-1, l.wide()+1), u(l.top()-0.5, l.bottom()+0.5), u(0.4, 2)
	}
	l.FrameW = int((l.wide()+0.6)*l.Zoom*1.08) + 20
	l.FrameH = int((tall+0.6)*l.Zoom*1.1+0.1*l.wide()*l.Zoom) + 20
	drawLate(&l, r)
	drawLettering(&l)
	drawHard(&l)
	return l
}
