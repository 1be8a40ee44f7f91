package othercoin

// glyphs are letters and figures as polylines on a grid of 4 by 6, x then y, from the upper left.
var glyphs = map[rune][]string{
	'A': {"06 20 46", "14 34"}, 'B': {"06 00 30 41 42 33 03", "33 44 45 36 06"}, 'C': {"41 30 10 01 05 16 36 45"},
	'D': {"00 06 26 44 42 20 00"}, 'E': {"40 00 06 46", "03 33"}, 'F': {"40 00 06", "03 33"},
	'G': {"41 30 10 01 05 16 36 45 43 23"}, 'H': {"00 06", "40 46", "03 43"}, 'I': {"20 26"},
	'J': {"40 45 36 16 05"}, 'K': {"00 06", "40 03 46"}, 'L': {"00 06 46"}, 'M': {"06 00 24 40 46"},
	'N': {"06 00 46 40"}, 'O': {"10 30 41 45 36 16 05 01 10"}, 'P': {"06 00 30 41 42 33 03"},
	'R': {"06 00 30 41 42 33 03", "23 46"}, 'S': {"41 30 10 01 02 13 33 44 45 36 16 05"},
	'T': {"00 40", "20 26"}, 'U': {"00 05 16 36 45 40"}, 'V': {"00 26 40"}, 'W': {"00 16 22 36 40"},
	'X': {"00 46", "40 06"}, 'Y': {"00 23 40", "23 26"}, 'Z': {"00 40 06 46"},
	'0': {"10 30 41 45 36 16 05 01 10"}, '1': {"11 20 26", "16 36"}, '2': {"01 10 30 41 42 06 46"},
	'3': {"01 10 30 41 42 33 44 45 36 16 05", "13 33"}, '4': {"36 30 04 44"}, '5': {"40 00 02 32 43 45 36 16 05"},
	'6': {"41 30 10 01 05 16 36 45 44 33 03"}, '7': {"00 40 16"}, '8': {"10 30 41 42 33 13 02 01 10", "13 04 05 16 36 45 44 33"},
	'9': {"43 13 02 01 10 30 41 45 36 16 05"},
}

// line is a stroke from one point to another, mm on the face.
type line struct{ x1, y1, x2, y2 float64 }

// lines are a glyph's strokes, size mm high around x, y, turned by the angle whose cosine and
// sine are given.
func lines(r rune, x, y, size, c, s float64) []line {
	var all []line
	at := func(p string) (float64, float64) {
		u, v := (float64(p[0]-'0')-2)/6*size, (float64(p[1]-'0')-3)/6*size
		return x + c*u - s*v, y + s*u + c*v
	}
	for _, poly := range glyphs[r] {
		for i := 0; i+5 <= len(poly); i += 3 {
			x1, y1 := at(poly[i : i+2])
			x2, y2 := at(poly[i+3 : i+5])
			all = append(all, line{x1, y1, x2, y2})
		}
	}
	return all
}
