package rendered

// marks adds all that isn't digits.
func (s *Scene) marks() {
	l := s.Look
	right := l.MarginX + l.Left + float64(l.Cells)*(l.Width+l.Gap) + 0.12
	row := 1 + l.MarginY
	if l.MarksAbove {
		row = -l.MarginY - 0.05 - l.MarkSize
	}
	for i, u := range Units {
		switch l.Style {
		case OneWord:
			y := 0.05
			if l.MarkBelow {
				y = 0.95 - l.MarkSize
			}
			s.addUnit(u, word(u, right, y, l.MarkSize))
		case WordColumn:
			s.addUnit(u, word(u, right+0.5*l.MarkSize*float64(i/3), float64(i%3)*1.4*l.MarkSize, l.MarkSize))
		case WordRow:
			s.addUnit(u, word(u, l.MarginX+float64(i)*(l.wide()-2*l.MarginX)/6, row, l.MarkSize))
		case Letter:
			if i == 0 {
				s.digit("u", right, 0.4, 0.6)
			}
			for _, seg := range map[string]string{"g": "abcdfg", "oz": "cdeg", "ct": "deg", "dwt": "bcdeg", "gn": "ceg", "ozt": "defg"}[u] {
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
		x := l.MarginX * 0.6
		s.add("minus", polygon{{x, 0.45}, {x + 0.28, 0.45}, {x + 0.28, 0.55}, {x, 0.55}})
	}
	if s.Print {
		s.printed = append(s.printed, word("grace balance", 0.2*l.wide(), l.bottom()+0.14, 0.2), word("dozen", 0.4*l.wide(), l.top()-0.3, 0.2))
	}
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
