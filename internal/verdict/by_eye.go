package verdict

import (
	"panside/internal/coin"
	"panside/internal/say"
)

// byEye reports whether two metals remain that differ so much in colour that
// whoever holds the coin has seen it: golden dollars and silvery ones. Nobody
// needs a test for that, or a pile to look through later.
//
// An alloy of a few years isn't told so, for where it turns up the date is worth
// reading (see fewYears).
func (w *weighing) byEye(p *posterior) bool {
	left := w.likely(p)
	if len(left) != 2 || w.q.Evidence.Colour != "" {
		return false
	}
	for _, f := range left {
		if n := w.families[f].struck; !w.families[f].regular || n <= fewYears || !seenAs[w.colourOf(f)] {
			return false
		}
	}
	return w.colourOf(left[0]) != w.colourOf(left[1])
}

// likely are the families that one coin in twenty or more is of.
func (w *weighing) likely(p *posterior) []int {
	const few = 0.05
	left := remaining(p)
	for len(left) > 0 && p.chance[left[len(left)-1]] < few {
		left = left[:len(left)-1]
	}
	return left
}

// colourOf is the colour of the family's own planchets, empty if they differ.
func (w *weighing) colourOf(f int) coin.Colour {
	colour := coin.Colour("")
	for i := range w.ownBlanks {
		if b := &w.blanks[i]; b.family == f {
			if colour != "" && b.Colour != colour {
				return ""
			}
			colour = b.Colour
		}
	}
	return colour
}

// seenAs are the colours that nobody takes for one another. Red and golden meet in
// toned brass, white and grey in toned silver.
var seenAs = map[coin.Colour]bool{coin.Yellow: true, coin.White: true}

// coloursOf tells the metals that remain by their colours: “Golden: manganese
// brass; silvery: clad.”
func (w *weighing) coloursOf(p *posterior) say.Line {
	var parts []say.Arg
	for _, f := range w.likely(p) {
		parts = append(parts, say.Of("", say.New("color-is", say.Text("color", string(w.colourOf(f))), say.Noun("metal", w.metal(f).forms))))
	}
	return clauses(parts)
}
