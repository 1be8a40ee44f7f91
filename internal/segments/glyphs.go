package segments

import "slices"

// A glyph is a set of lit segments: bit 0 is a, the top bar, then clockwise b to f, and g the
// middle one.
type glyph uint8

const (
	segA glyph = 1 << iota
	segB
	segC
	segD
	segE
	segF
	segG
)

const (
	nSegments       = 7
	blank     glyph = 0
	minus           = segG
	eight           = segA | segB | segC | segD | segE | segF | segG
)

// forms are the digits as displays draw them. The second forms of 6, 7 and 9, with or without
// their tails, are common practice; none of them is a form of another digit.
var forms = [10][]glyph{
	{segA | segB | segC | segD | segE | segF},
	{segB | segC},
	{segA | segB | segG | segE | segD},
	{segA | segB | segG | segC | segD},
	{segF | segG | segB | segC},
	{segA | segF | segG | segC | segD},
	{segA | segF | segG | segE | segC | segD, segF | segG | segE | segC | segD},
	{segA | segB | segC, segF | segA | segB | segC},
	{eight},
	{segA | segB | segC | segD | segF | segG, segA | segB | segC | segF | segG},
}

// digitOf is the digit that a glyph is a form of.
func digitOf(g glyph) (digit int, ok bool) {
	for d, fs := range forms {
		if slices.Contains(fs, g) {
			return d, true
		}
	}
	return 0, false
}

// shown is a text on a display: digits from the last to the first, and how many stand behind the
// point.
type shown struct {
	digits []int
	minus  bool
	places int
}

// maxCells is how many digits a display has at most: six, and a place for the minus.
const maxCells = 7

// parseShown reads a text as it stands on a display, without leading blanks.
func parseShown(text string) (shown, bool) {
	var s shown
	point := false
	for i := len(text) - 1; i >= 0; i-- {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			s.digits = append(s.digits, int(c-'0'))
		case (c == '.' || c == ',') && !point && len(s.digits) > 0 && i > 0:
			point = true
			s.places = len(s.digits)
		case c == '-' && i == 0:
			s.minus = true
		default:
			return shown{}, false
		}
	}
	return s, len(s.digits) > s.places && len(s.digits) <= 6
}
