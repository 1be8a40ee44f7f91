package rendered

// Lettering is how units are written; the zero value is a plain face.
type Lettering struct {
	Weight, Spacing, Aspect float64 // of strokes, of letters and of their width, against the plain face; 0 is 1
	Lean                    float64 // to the right for one up
	NoTail                  bool    // a g that stands on the line
}

// smallCell is what a small cell of seven segments shows for a unit.
var smallCell = map[string]string{
	"g": "abcdfg", "oz": "cdeg", "ct": "deg", "dwt": "bcdeg", "gn": "ceg", "ozt": "defg", "gr": "eg", "lb": "cdefg",
}

// marks adds all that isn't digits.
func (s *Scene) marks() {
	l := s.Look
	right := l.MarginX + l.Left + float64(l.Cells)*(l.Width+l.Gap) + 0.12
	row := 1 + l.MarginY
	if l.MarksAbove {
		row = -l.MarginY - 0.05 - l.MarkSize
	}
	for i, u := range l.units() {
		switch l.Style {
		case OneWord:
			y := 0.05
			if l.MarkBelow {
				y = 0.95 - l.MarkSize
			}
			s.addUnit(u, l.word(u, right, y, l.MarkSize))
		case WordColumn:
			s.addUnit(u, l.word(u, right+0.5*l.MarkSize*float64(i/3), float64(i%3)*1.4*l.MarkSize, l.MarkSize))
		case WordRow:
			s.addUnit(u, l.word(u, l.MarginX+float64(i)*(l.wide()-2*l.MarginX)/6, row, l.MarkSize))
		case Letter:
			if i == 0 {
				s.digit("u", right, 0.4, 0.6)
			}
			for _, seg := range smallCell[u] {
				s.units[u] = append(s.units[u], s.names["u"+string(seg)])
			}
		case Arrow:
			x := l.MarginX + float64(i)*(l.wide()-2*l.MarginX)/6
			s.logo = append(s.logo, word(u, x+0.22, row, l.MarkSize))
			h := 0.6 * l.MarkSize
			s.addUnit(u, polygon{{x, row + 0.2*h}, {x + 0.8*h, row + 0.7*h}, {x, row + 1.2*h}})
		}
	}
	s.others(right)
}

// besideUnit is a free place for the stable mark close to the unit, if there is one.
func (s *Scene) besideUnit(x, y float64) (float64, float64) {
	b := bounds(s.shapes[s.units[s.Look.units()[0]][0]])
	for _, at := range [...][2]float64{{b[0] + 0.08, b[2] - 0.22}, {b[0] + 0.08, b[3] + 0.22}, {b[1] + 0.25, b[2] + 0.08}, {b[0] - 0.25, b[2] + 0.08}} {
		if s.isFree([4]float64{at[0] - 0.08, at[0] + 0.08, at[1] - 0.08, at[1] + 0.08}) {
			return at[0], at[1]
		}
	}
	return x, y
}

func (s *Scene) addUnit(name string, sh shape) {
	s.add("unit "+name, sh)
	s.units[name] = append(s.units[name], s.names["unit "+name])
}

// others are the marks that aren't units, and what is printed.
func (s *Scene) others(right float64) {
	l := s.Look
	x, y := right+0.15, 0.5-0.2+0.4*boolTo(!l.MarkBelow)
	if l.FPS > 0 {
		x, y = l.StableX, l.StableY
	}
	if u := s.units[l.units()[0]]; l.Near && len(u) > 0 {
		x, y = s.besideUnit(x, y)
	}
	if l.Triangle {
		s.add("stable", polygon{{x - 0.08, y + 0.07}, {x, y - 0.08}, {x + 0.08, y + 0.07}})
	} else {
		s.add("stable", disc{x, y, 0.07})
	}
	if l.FPS == 0 {
		s.add("zero", strokes{[][4]float64{{right, -0.08, right + 0.2, -0.08}}, 0.03})
		return
	}
	// A free row for the rest: on the other side than the units', or else nothing.
	free, size := 0.0, 0.16
	unitsAbove := l.Style >= WordRow && l.Style != Letter && l.MarksAbove
	unitsBelow := l.Style >= WordRow && l.Style != Letter && !l.MarksAbove
	switch {
	case l.Above > 0.3 && !unitsAbove:
		free = -l.MarginY - l.Above + 0.06
	case l.Below > 0.3 && !unitsBelow:
		free = 1 + l.MarginY + l.Below - 0.06 - size
	default:
		s.ZeroMark, s.Battery, s.TareMark, s.Logo = false, false, false, false
	}
	at := func(share float64) float64 { return l.MarginX + share*(l.wide()-2*l.MarginX) }
	if s.ZeroMark {
		s.add("zero", strokes{[][4]float64{{at(0.05), free + 0.1, at(0.05) + 0.2, free + 0.1}}, 0.03})
	}
	if s.TareMark {
		s.add("tare", word("tare", at(0.2), free, size))
	}
	if s.Battery {
		x := at(0.85)
		s.add("battery", strokes{[][4]float64{{x, free + 0.03, x + 0.25, free + 0.03}, {x + 0.25, free + 0.03, x + 0.25, free + 0.14}, {x + 0.25, free + 0.14, x, free + 0.14}, {x, free + 0.14, x, free + 0.03}, {x + 0.08, free + 0.03, x + 0.08, free + 0.14}}, 0.02})
	}
	if s.Logo {
		s.logo = append(s.logo, word("balance", at(0.5), free, size*0.8))
	}
	if s.FixedMinus {
		x := l.minusX()
		s.add("minus", polygon{{x, 0.45}, {x + 0.28, 0.45}, {x + 0.28, 0.55}, {x, 0.55}})
	}
	if s.Print {
		s.printed = append(s.printed, word("grace balance", 0.2*l.wide(), l.bottom()+0.14, 0.2), word("dozen", 0.4*l.wide(), l.top()-0.3, 0.2))
	}
}

// word is a unit as this face writes it.
func (f Lettering) word(text string, x, y, size float64) strokes {
	or1 := func(v float64) float64 {
		if v == 0 {
			return 1
		}
		return v
	}
	k := size / 4
	wide := k * or1(f.Aspect)
	out := strokes{half: size * 0.08 * or1(f.Weight)}
	for i := range len(text) {
		o := x + float64(i)*(2*wide+0.9*k*or1(f.Spacing))
		for _, l := range letters[text[i]] {
			if f.NoTail && text[i] == 'g' {
				l[1], l[3] = min(l[1], 3), min(l[3], 3)
			}
			out.lines = append(out.lines, [4]float64{o + l[0]*wide + f.Lean*(3-l[1])*k, y + l[1]*k, o + l[2]*wide + f.Lean*(3-l[3])*k, y + l[3]*k})
		}
	}
	return out
}

func word(text string, x, y, size float64) strokes {
	k := size / 4
	out := strokes{half: size * 0.08}
	for i := range len(text) {
		for _, l := range letters[text[i]] {
			o := x + float64(i)*k*2.9
			out.lines = append(out.lines, [4]float64{o + l[0]*k, y + l[1]*k, o + l[2]*k, y + l[3]*k})
		}
	}
	return out
}
