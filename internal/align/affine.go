package align

import (
	"math"

	"panside/internal/picture"
)

// Affine maps places: (x, y) to (A x + B y + X, C x + D y + Y).
type Affine struct{ A, B, C, D, X, Y float64 }

// Identity maps each place to itself.
var Identity = Affine{A: 1, D: 1}

// Turned turns about the origin, counterclockwise as seen, degrees.
func Turned(degrees float64) Affine {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return Affine{A: c, B: s, C: -s, D: c}
}

// Moved moves by (x, y).
func Moved(x, y float64) Affine { return Affine{A: 1, D: 1, X: x, Y: y} }

// Scaled makes bigger by k about the origin.
func Scaled(k float64) Affine { return Affine{A: k, D: k} }

// Mirrored swaps left and right at x = 0.
var Mirrored = Affine{A: -1, D: 1}

// Of maps a place.
func (m Affine) Of(x, y float64) (float64, float64) {
	return m.A*x + m.B*y + m.X, m.C*x + m.D*y + m.Y
}

// Then is first m, then n.
func (m Affine) Then(n Affine) Affine {
	x, y := n.Of(m.X, m.Y)
	return Affine{
		A: n.A*m.A + n.B*m.C, B: n.A*m.B + n.B*m.D,
		C: n.C*m.A + n.D*m.C, D: n.C*m.B + n.D*m.D,
		X: x, Y: y,
	}
}

// Back is the inverse. A map that flattens all onto a line has none and gives NaN.
func (m Affine) Back() Affine {
	det := m.A*m.D - m.B*m.C
	if det == 0 {
		det = math.NaN()
	}
	n := Affine{A: m.D / det, B: -m.B / det, C: -m.C / det, D: m.A / det}
	n.X, n.Y = -(n.A*m.X + n.B*m.Y), -(n.C*m.X + n.D*m.Y)
	return n
}

// Degrees is by how much the map turns, counterclockwise as seen, −180 to 180: the turn of the nearest
// similarity.
func (m Affine) Degrees() float64 { return math.Atan2(m.B-m.C, m.A+m.D) * 180 / math.Pi }

// Scale is by how much the map makes areas' sides bigger.
func (m Affine) Scale() float64 { return math.Sqrt(math.Abs(m.A*m.D - m.B*m.C)) }

// Take gives a picture of w*h pixels whose place (x, y) shows what p has at the map of (x, y):
// bilinear, with p's edges going on outward.
func (m Affine) Take(p picture.Picture, w, h int) picture.Picture {
	out := picture.New(w, h)
	if p.W == 0 || p.H == 0 {
		return out
	}
	for y := range out.H {
		row := out.Light[y*out.W : (y+1)*out.W]
		px, py := m.Of(0.5, float64(y)+0.5)
		for x := range row {
			row[x] = p.Sample(px+float64(x)*m.A, py+float64(x)*m.C)
		}
	}
	return out
}
