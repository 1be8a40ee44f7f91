package journal

import (
	"math"

	"panside/internal/say"
)

// Rim is a coin's edge in a photo, an ellipse in pixels of the photo from its upper left corner.
// With the coin's diameter it gives the photo millimeters. A close-up has the edge mostly outside of it,
// found by the photo of the whole coin; or it has a circle of MM that stands for a ruler's scale alone.
type Rim struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	A    float64 `json:"a"`              // half its length
	B    float64 `json:"b"`              // half its width
	Turn float64 `json:"turn,omitempty"` // of the length, degrees counterclockwise from the right
	MM   float64 `json:"mm,omitempty"`   // the coin's diameter, 0 where it isn't known
	By   string  `json:"by"`             // found, hand; close-up, ruler of a part of a coin
	U    float64 `json:"u,omitempty"`    // relative standard uncertainty of A and B, 0 where none is told
}

func (r Rim) check() say.Line {
	const most = 100_000
	in := func(x, low, high float64) bool { return x >= low && x <= high } // false for NaN too
	if !in(r.X, -most, most) || !in(r.Y, -most, most) || !in(r.A, 1, most) || !in(r.B, 1, most) ||
		!in(r.Turn, -360, 360) || r.MM != 0 && !in(r.MM, 5, 100) || !in(r.U, 0, 1) || !oneOf(r.By, "found", "hand", "close-up", "ruler") {
		return say.New("field-rim")
	}
	return say.Line{}
}

// Measure is what was measured on a photo, with where.
type Measure struct {
	Photo  string       `json:"photo"`           // its SHA-256
	Other  string       `json:"other,omitempty"` // that of the reverse's photo, between two sides
	Is     string       `json:"is"`              // line, step, angle, area, between
	Points [][2]float64 `json:"points"`          // pixels of the photo, as those of its rim; between two sides, two of each
	Value  float64      `json:"value"`
	U      float64      `json:"u"`            // standard uncertainty, in the same unit
	Unit   string       `json:"unit"`         // mm, deg, mm2
	Of     string       `json:"of,omitempty"` // the question of the coin book that it answers
	At     int64        `json:"at,omitempty"` // ms since 1970
}

// mostPoints bounds the corners of an area.
const mostPoints = 64

func (m Measure) check() say.Line {
	finite := func(x float64) bool { return math.Abs(x) <= 1e6 }
	for _, p := range m.Points {
		if !finite(p[0]) || !finite(p[1]) {
			return say.New("field-measure")
		}
	}
	if !isHash(m.Photo) || !oneOf(m.Is, "line", "step", "angle", "area", "between") || m.Other != "" && !isHash(m.Other) || !oneOf(m.Unit, "mm", "deg", "mm2") ||
		len(m.Points) < 2 || len(m.Points) > mostPoints || !finite(m.Value) || !(m.U >= 0 && finite(m.U)) ||
		m.Of != "" && !isName(m.Of, 1, 60) || m.At < 0 {
		return say.New("field-measure")
	}
	return say.Line{}
}
