// Package measure is the ruler on an upright coin: lengths, angles, areas, shares of the face and
// how far off the middle a design was struck, each with its standard uncertainty.
//
// Places come from a hand that clicks on the upright picture (package rectify), in mm from the
// coin's middle. A value is a function of the clicked places and of the factors of the map to the
// coin; its uncertainty is carried through by differences, one input at a time, the squares added
// (JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2, equation 10, with
// sensitivities as in 5.1.3, note 2):
//
//	hand    0.7 px of the photo in each direction, each click (Hand)
//	pixels  a place is told to a pixel: half widths of 0.5 px, so 1/√12 px in each direction
//	rim     scale, stretch, shift and perspective of the map: rectify.Doubts
//
// The diameter in the coin book is taken for exact: dies and collars hold it within some hundredths
// of a millimetre, less than the above.
package measure

import (
	"math"

	"panside/internal/rectify"
)

// Why there is no value. Words for the wire.
type Why string

// The reasons.
const (
	Few     Why = "few-points"  // an area takes three corners
	Same    Why = "one-place"   // two clicks on one place have no direction
	Crossed Why = "crossed"     // the outline cuts itself
	InLine  Why = "in-one-line" // three places of a circle in one line
	Outside Why = "off-coin"    // nothing of it lies on the coin
)

// Hand is how far off a careful click is, as a standard deviation in each direction, px of the photo
// (that of the trials; common practice has nothing better).
const Hand = 0.7

// pixel is what telling a place to a pixel adds.
var pixel = 1 / math.Sqrt(12)

// Value is a measured value with its standard uncertainty, in the unit that the function names.
type Value struct{ Value, U float64 }

// Ruler measures on one coin.
type Ruler struct {
	On rectify.Upright
	// Hand overrides the constant if it isn't 0, px of the photo.
	Hand float64
}

// Length of the line from one place to another, mm.
func (r Ruler) Length(a, b rectify.Point) (Value, Why) {
	if a == b {
		return Value{}, Same
	}
	return r.carried(func(p []rectify.Point) float64 { return math.Hypot(p[1].X-p[0].X, p[1].Y-p[0].Y) }, a, b), ""
}

// Angle at a place between the lines to two others, degrees, 0 to 180.
func (r Ruler) Angle(a, at, b rectify.Point) (Value, Why) {
	if a == at || b == at {
		return Value{}, Same
	}
	return r.carried(func(p []rectify.Point) float64 {
		ax, ay, bx, by := p[0].X-p[1].X, p[0].Y-p[1].Y, p[2].X-p[1].X, p[2].Y-p[1].Y
		return math.Atan2(math.Abs(ax*by-ay*bx), ax*bx+ay*by) * 180 / math.Pi
	}, a, at, b), ""
}

// Area within an outline of straight lines from corner to corner, mm². What a curve bulges between
// two clicks isn't in the uncertainty: click closer where it bends.
func (r Ruler) Area(corners []rectify.Point) (Value, Why) {
	if why := outline(corners); why != "" {
		return Value{}, why
	}
	return r.carried(area, corners...), ""
}

// Share of the coin's face that lies within an outline, per cent: a cud's, or a clip's, whose outline
// may run beyond the edge, since only what lies within the whole round counts.
func (r Ruler) Share(corners []rectify.Point) (Value, Why) {
	if why := outline(corners); why != "" {
		return Value{}, why
	}
	radius := r.On.Radius()
	share := func(p []rectify.Point) float64 { return 100 * within(p, radius) / (math.Pi * radius * radius) }
	if share(corners) < 1e-6 {
		return Value{}, Outside
	}
	return r.carried(share, corners...), ""
}

// OffCenter is how far the design's middle lies from the coin's, in per cent of the diameter (common
// practice), by three places on a circle of the design, such as its border, and the direction in
// degrees, 0 to the right of the upright coin and counterclockwise.
func (r Ruler) OffCenter(a, b, c rectify.Point) (off Value, direction float64, why Why) {
	middle := func(p []rectify.Point) (x, y float64, ok bool) {
		qx, qy, rx, ry := p[1].X-p[0].X, p[1].Y-p[0].Y, p[2].X-p[0].X, p[2].Y-p[0].Y
		d := 2 * (qx*ry - qy*rx)
		if long := math.Max(math.Hypot(qx, qy), math.Hypot(rx, ry)); !(math.Abs(d) > 0.02*long*long) {
			return 0, 0, false
		}
		q2, r2 := qx*qx+qy*qy, rx*rx+ry*ry
		return p[0].X + (ry*q2-qy*r2)/d, p[0].Y + (qx*r2-rx*q2)/d, true
	}
	x, y, ok := middle([]rectify.Point{a, b, c})
	if !ok {
		return Value{}, 0, InLine
	}
	// Along the direction in which it lies: a distance itself has no slope at nought.
	dx, dy := 1.0, 0.0
	if far := math.Hypot(x, y); far > 0 {
		dx, dy = x/far, y/far
	}
	off = r.carried(func(p []rectify.Point) float64 {
		x, y, _ := middle(p)
		return 100 * (x*dx + y*dy) / r.On.Diameter
	}, a, b, c)
	return off, math.Atan2(-y, x) * 180 / math.Pi, ""
}

// carried is a function's value at the clicked places, with the uncertainty that places and map give
// it.
func (r Ruler) carried(f func([]rectify.Point) float64, places ...rectify.Point) Value {
	v := Value{Value: f(places)}
	hand := r.Hand
	if hand == 0 {
		hand = Hand
	}
	// A click's standard uncertainty, mm; along the shorter axis a pixel is more of the coin.
	click := math.Hypot(hand, pixel) * r.On.Radius() / r.On.Edge.Mean()
	moved := make([]rectify.Point, len(places))
	// slope is half the difference between an input one standard uncertainty more and less.
	slope := func(change func(sign float64)) float64 {
		change(1)
		up := f(moved)
		change(-1)
		return (up - f(moved)) / 2
	}
	square := 0.0
	for i, p := range places {
		for _, way := range [2]rectify.Point{{X: click}, {Y: click}} {
			d := slope(func(sign float64) {
				copy(moved, places)
				moved[i] = rectify.Point{X: p.X + sign*way.X, Y: p.Y + sign*way.Y}
			})
			square += d * d
		}
	}
	d := r.On.Doubts()
	for _, one := range []rectify.Factors{
		{Scale: d.Scale}, {StretchX: d.StretchX}, {StretchY: d.StretchY},
		{ShiftX: d.ShiftX}, {ShiftY: d.ShiftY}, {NearX: d.NearX}, {NearY: d.NearY},
	} {
		d := slope(func(sign float64) {
			f := rectify.Factors{
				Scale: sign * one.Scale, StretchX: sign * one.StretchX, StretchY: sign * one.StretchY,
				ShiftX: sign * one.ShiftX, ShiftY: sign * one.ShiftY, NearX: sign * one.NearX, NearY: sign * one.NearY,
			}
			for i, p := range places {
				moved[i] = r.On.Bent(p, f)
			}
		})
		square += d * d
	}
	v.U = math.Sqrt(square)
	return v
}
