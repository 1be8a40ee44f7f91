package segments

import (
	"encoding/binary"
	"math"
)

// Frame is one picture: brightness, row by row from the top, 0 to 255, so that
// len(Pix) is Width·Height.
type Frame struct {
	Width, Height int
	Pix           []byte
}

// whole reports whether the frame is one.
func (f Frame) whole() bool {
	return f.Width > 0 && f.Height > 0 && len(f.Pix) == f.Width*f.Height
}

// Luma gives the frame of RGBA pixels, as a camera's picture comes, as (R + 2G + B)/4. It uses
// into, if that is large enough, for the answer's pixels. A picture that isn't whole gives an
// empty frame.
func Luma(width, height int, rgba, into []byte) Frame {
	n := width * height
	if width <= 0 || height <= 0 || len(rgba) != 4*n {
		return Frame{}
	}
	if cap(into) < n {
		into = make([]byte, n)
	}
	into = into[:n]
	left := into
	// Four pixels at a turn, two in each word: byte by byte this takes as long as the reading.
	const even, two = 0x000000ff_000000ff, 0x00000002_00000002
	for len(rgba) >= 16 && len(left) >= 4 {
		a, b := binary.LittleEndian.Uint64(rgba), binary.LittleEndian.Uint64(rgba[8:])
		a = (a&even + a>>7&(2*even) + a>>16&even + two) >> 2
		b = (b&even + b>>7&(2*even) + b>>16&even + two) >> 2
		left[0], left[1], left[2], left[3] = byte(a), byte(a>>32), byte(b), byte(b>>32)
		rgba, left = rgba[16:], left[4:]
	}
	for i := range left {
		left[i] = byte((int(rgba[4*i]) + 2*int(rgba[4*i+1]) + int(rgba[4*i+2]) + 2) / 4)
	}
	return Frame{width, height, into}
}

// Point is a place in a picture, in pixels; the first pixel's centre is (0.5, 0.5).
type Point struct{ X, Y float64 }

// Window is a display's window as a person frames it: its corners clockwise from the top left, as
// the digits stand upright.
type Window [4]Point

// aspect is the window's width over its height, by its opposite sides' means.
func (w Window) aspect() float64 {
	side := func(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }
	height := side(w[0], w[3]) + side(w[1], w[2])
	if height == 0 {
		return 0
	}
	return (side(w[0], w[1]) + side(w[3], w[2])) / height
}

// height is the mean of its left and right side.
func (w Window) height() float64 {
	return (math.Hypot(w[0].X-w[3].X, w[0].Y-w[3].Y) + math.Hypot(w[1].X-w[2].X, w[1].Y-w[2].Y)) / 2
}

// isConvex reports whether it is a convex four-cornered figure that goes round clockwise.
func (w Window) isConvex() bool {
	for i := range w {
		a, b, c := w[i], w[(i+1)%4], w[(i+2)%4]
		if !((b.X-a.X)*(c.Y-b.Y)-(b.Y-a.Y)*(c.X-b.X) > 0) {
			return false
		}
	}
	return true
}

// plane maps the display's plane to the picture. In the plane the window is a rectangle of height
// one and its aspect's width.
type plane struct {
	a, b, c, d, e, f, g, h float64
	aspect                 float64
}

// planeOf is the projective map that takes the unit square's corners to the window's. Formula:
// P. S. Heckbert, Fundamentals of texture mapping and image warping, 1989, section 2.2.3 (from
// memory); TestThePlaneMeetsTheCorners holds it.
func planeOf(w Window) plane {
	x, y := [4]float64{}, [4]float64{}
	for i, p := range w {
		x[i], y[i] = p.X, p.Y
	}
	dx1, dx2, sx := x[1]-x[2], x[3]-x[2], x[0]-x[1]+x[2]-x[3]
	dy1, dy2, sy := y[1]-y[2], y[3]-y[2], y[0]-y[1]+y[2]-y[3]
	det := dx1*dy2 - dx2*dy1
	g := (sx*dy2 - dx2*sy) / det
	h := (dx1*sy - sx*dy1) / det
	return plane{
		a: x[1] - x[0] + g*x[1], b: x[3] - x[0] + h*x[3], c: x[0],
		d: y[1] - y[0] + g*y[1], e: y[3] - y[0] + h*y[3], f: y[0],
		g: g, h: h, aspect: w.aspect(),
	}
}

// picture is where a point of the plane lies in the picture.
func (m plane) picture(p Point) Point {
	u, v := p.X/m.aspect, p.Y
	k := 1 / (m.g*u + m.h*v + 1)
	return Point{(m.a*u + m.b*v + m.c) * k, (m.d*u + m.e*v + m.f) * k}
}
