package rim

import "math"

// Ellipse is an outline in a picture: its middle, half axes A >= B, all in pixels as package
// picture counts them, and the direction Turn of the longer one in degrees, 0 to the right and
// counterclockwise as seen, above -90 to 90.
type Ellipse struct{ X, Y, A, B, Turn float64 }

// Scaled is the ellipse in the picture made larger by a factor.
func (e Ellipse) Scaled(by float64) Ellipse {
	return Ellipse{e.X * by, e.Y * by, e.A * by, e.B * by, e.Turn}
}

// axes are the unit vectors of the longer and the shorter axis.
func (e Ellipse) axes() (ax, ay, bx, by float64) {
	sin, cos := math.Sincos(e.Turn * math.Pi / 180)
	return cos, -sin, sin, cos
}

// ToRound takes a place to the circle of radius 1 that the ellipse is seen as: the plane of the
// coin, but for what perspective does.
func (e Ellipse) ToRound(x, y float64) (u, v float64) {
	ax, ay, bx, by := e.axes()
	x, y = x-e.X, y-e.Y
	p, q := (x*ax+y*ay)/e.A, (x*bx+y*by)/e.B
	// Back along the axes, so that what was up stays up.
	return p*ax + q*bx, p*ay + q*by
}

// FromRound takes a place of the circle of radius 1 back to the picture.
func (e Ellipse) FromRound(u, v float64) (x, y float64) {
	ax, ay, bx, by := e.axes()
	p, q := e.A*(u*ax+v*ay), e.B*(u*bx+v*by)
	return e.X + p*ax + q*bx, e.Y + p*ay + q*by
}

// Outline gives the place on the ellipse at an angle of the round coin, degrees.
func (e Ellipse) Outline(deg float64) (x, y float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return e.FromRound(cos, -sin)
}

// Tilt is by how many degrees a round coin is tilted that is seen so from afar.
func (e Ellipse) Tilt() float64 { return math.Acos(math.Min(e.B/e.A, 1)) * 180 / math.Pi }

// Mean is the radius of the circle of the same area.
func (e Ellipse) Mean() float64 { return math.Sqrt(e.A * e.B) }

// ordered swaps the axes if the second is the longer one, and brings Turn into its range.
func (e Ellipse) ordered() Ellipse {
	if e.B > e.A {
		e.A, e.B, e.Turn = e.B, e.A, e.Turn+90
	}
	if e.Turn = math.Remainder(e.Turn, 180); e.Turn <= -90 {
		e.Turn += 180
	}
	return e
}
