package segments

// layout is where the digits stand in the display's plane, and their shape. The cells count from
// the last digit, which is cell 0.
type layout struct {
	x, y   float64 // right edge of the last digit at half height, and its middle
	pitch  float64 // from digit to digit
	height float64
	width  float64
	slant  float64 // to the right for one up
	tilt   float64 // down for one to the right
	taper  float64 // how much larger the digits get, for one to the right, as a share
	stroke float64
	last   float64 // size of the last digit against the others; 0 is 1
	cut    float64 // how much shorter than up to the corners the segments are at each end, in strokes
}

// at is the place of (u, v) in a cell: u goes from its left edge, 0, to its right, 1; v from its
// top to its bottom.
func (l *layout) at(cell int, u, v float64) Point {
	if cell == 0 && l.last > 0 {
		u, v = u*l.last, 1-(1-v)*l.last // on one line with the others, from their left edge
	}
	d := -float64(cell)*l.pitch - l.width*(1-u)
	h := l.height * (1 + l.taper*d)
	return Point{l.x + d + l.slant*(0.5-v)*h, l.y + l.tilt*d + (v-0.5)*h}
}

// bar is a segment's centre line in a cell, and the direction across it toward a hole.
type bar struct {
	u0, v0, u1, v1 float64
	du, dv         float64
}

// bars are the segments' centre lines for the layout's stroke.
func (l *layout) bars() [nSegments]bar {
	tu, tv := l.stroke/l.width/2, l.stroke/l.height/2
	cu, cv := 2*tu*l.cut, 2*tv*l.cut
	return [nSegments]bar{
		{tu + cu, tv, 1 - tu - cu, tv, 0, 1},
		{1 - tu, tv + cv, 1 - tu, 0.5 - cv, -1, 0},
		{1 - tu, 0.5 + cv, 1 - tu, 1 - tv - cv, -1, 0},
		{tu + cu, 1 - tv, 1 - tu - cu, 1 - tv, 0, -1},
		{tu, 0.5 + cv, tu, 1 - tv - cv, 1, 0},
		{tu, tv + cv, tu, 0.5 - cv, 1, 0},
		{tu + cu, 0.5, 1 - tu - cu, 0.5, 0, 1},
	}
}

// on is the place in a cell at a share of a bar's length, and so many strokes across it.
func (l *layout) on(b bar, along, across float64) (u, v float64) {
	u = b.u0 + along*(b.u1-b.u0) + across*b.du*l.stroke/l.width
	v = b.v0 + along*(b.v1-b.v0) + across*b.dv*l.stroke/l.height
	return u, v
}

// cells is how many digits have room in a window of that aspect, at most maxCells.
func (l *layout) cells(aspect float64) int {
	n := 0
	for n < maxCells {
		left := min(l.at(n, 0, 0).X, l.at(n, 0, 1).X)
		if left < -0.3*l.stroke {
			break
		}
		n++
	}
	return n
}
