package rim

import "math"

// Through gives the ellipse of the start's shape and direction (the tilt stays as it was) through
// three places: how a rim is mended by hand. In the plane in which the start is round that is the
// circle through three points. It is refused with InLine if the three lie in one line, or with two
// in one place.
func Through(start Ellipse, p, q, r Point) (Ellipse, Why) {
	px, py := start.ToRound(p.X, p.Y)
	qx, qy := start.ToRound(q.X, q.Y)
	rx, ry := start.ToRound(r.X, r.Y)
	qx, qy, rx, ry = qx-px, qy-py, rx-px, ry-py
	d := 2 * (qx*ry - qy*rx)
	long := math.Max(math.Max(math.Hypot(qx, qy), math.Hypot(rx, ry)), math.Hypot(qx-rx, qy-ry))
	// Twice the triangle's area: its height is d/2/long.
	if !(math.Abs(d)/2 > inLine*long*long) {
		return Ellipse{}, InLine
	}
	q2, r2 := qx*qx+qy*qy, rx*rx+ry*ry
	u, v := (ry*q2-qy*r2)/d, (qx*r2-rx*q2)/d
	size := math.Hypot(u, v)
	x, y := start.FromRound(px+u, py+v)
	return Ellipse{x, y, start.A * size, start.B * size, start.Turn}, ""
}

// inLine is how low a triangle of handles may be over its longest side: below that a click that is a
// pixel off moves the middle by more than the radius (TestThreeInLine).
const inLine = 0.01

// Handles are three places of an ellipse to take it by, a third of the way around from each other.
func (e Ellipse) Handles() [3]Point {
	var h [3]Point
	for i, deg := range [3]float64{90, 210, 330} {
		h[i].X, h[i].Y = e.Outline(deg)
	}
	return h
}
