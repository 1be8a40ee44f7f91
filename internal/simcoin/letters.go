package simcoin

import (
	"math"
	"strings"
)

// strokes are letters as lines through places of a grid of 4 by 6, each place two digits (x, y
// down), lines apart by a bar.
var strokes = map[rune]string{
	'A': "06 20 46|14 34", 'B': "06 00 30 41 42 33 03|33 44 45 36 06", 'C': "41 30 10 01 05 16 36 45",
	'D': "00 06 26 45 41 20 00", 'E': "40 00 06 46|03 33", 'F': "40 00 06|03 33",
	'G': "41 30 10 01 05 16 36 45 43 23", 'H': "00 06|40 46|03 43", 'I': "20 26", 'J': "40 45 36 16 05",
	'K': "00 06|40 03 46", 'L': "00 06 46", 'M': "06 00 23 40 46", 'N': "06 00 46 40",
	'O': "10 30 41 45 36 16 05 01 10", 'P': "06 00 30 41 42 33 03", 'Q': "10 30 41 45 36 16 05 01 10|34 46",
	'R': "06 00 30 41 42 33 03|23 46", 'S': "41 30 10 01 02 13 33 44 45 36 16 05", 'T': "00 40|20 26",
	'U': "00 05 16 36 45 40", 'V': "00 26 40", 'W': "00 16 23 36 40", 'X': "00 46|40 06",
	'Y': "00 23 40|23 26", 'Z': "00 40 06 46",
	'0': "10 30 41 45 36 16 05 01 10", '1': "11 20 26", '2': "01 10 30 41 42 06 46",
	'3': "01 10 30 41 42 33 13|33 44 45 36 16 05", '4': "36 30 04 44", '5': "40 00 03 33 44 45 36 16 05",
	'6': "41 30 10 01 05 16 36 45 44 33 03", '7': "00 40 16",
	'8': "13 02 01 10 30 41 42 33 13 04 05 16 36 45 44 33 13", '9': "43 13 02 01 10 30 41 45 36 16 05",
}

// Word is an inscription of capital letters and digits. Along an arc, X and Y are not looked at.
type Word struct {
	Text string
	// Size is a letter's height, mm; 0.66 of it its width, and as much again by a third to the next.
	Size float64
	// X, Y is the middle of a straight word, mm.
	X, Y float64
	// Arc is the radius of the middle of the letters around the coin's middle, 0 for a straight
	// word; At the degrees at which the word's middle stands. Feet point to the coin's middle.
	Arc, At float64
	// Doubled is by how much a second, weaker image of the word is set off, mm, and SecondHeight
	// its share of the height (0.8 if 0 is given). No second image at 0, 0.
	DoubledX, DoubledY, SecondHeight float64
}

// Middle is where the word's middle stands on the coin, mm.
func (w Word) Middle() (x, y float64) {
	if w.Arc == 0 {
		return w.X, w.Y
	}
	dx, dy := direction(w.At)
	return w.Arc * dx, w.Arc * dy
}

// lines are the strokes as pairs of ends on the coin, mm.
func (w Word) lines() (out [][4]float64) {
	letters := []rune(strings.ToUpper(w.Text))
	pitch := 0.88 * w.Size
	for i, letter := range letters {
		along := (float64(i) - float64(len(letters)-1)/2) * pitch
		place := func(gx, gy byte) (float64, float64) {
			x := (float64(gx-'0')/4 - 0.5) * 0.66 * w.Size
			y := (float64(gy-'0')/6 - 0.5) * w.Size
			if w.Arc == 0 {
				return w.X + along + x, w.Y + y
			}
			at := w.At - along/w.Arc*180/math.Pi // clockwise as it is read
			mx, my := direction(at)
			lx, ly := turned(x, y, at-90)
			return w.Arc*mx + lx, w.Arc*my + ly
		}
		for _, line := range strings.Split(strokes[letter], "|") {
			points := strings.Fields(line)
			for k := 1; k < len(points); k++ {
				a, b := points[k-1], points[k]
				x0, y0 := place(a[0], a[1])
				x1, y1 := place(b[0], b[1])
				out = append(out, [4]float64{x0, y0, x1, y1})
			}
		}
	}
	return out
}
