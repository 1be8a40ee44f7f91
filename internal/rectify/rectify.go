// Package rectify brings a coin upright: from the ellipse that its edge is in a photo to a square
// picture in which the coin is round and has millimetres, by the diameter that the coin book gives.
//
// The ellipse is taken for a circle seen from afar: its half axes A and B both stand for the radius.
// A turn brings the design upright. So places go from the photo to the coin and back by one affine
// map each way, in mm from the coin's middle, x to the right and y down on the upright coin.
//
// What that leaves out stands in Doubts, as standard uncertainties of the factors by which the true
// map differs: the rim's own uncertainty, a stretch and a shift where the wall of a tilted coin was
// taken for its edge, and perspective, since a camera near a tilted coin shows its near half larger.
package rectify

import (
	"math"

	"panside/internal/picture"
	"panside/internal/rim"
)

// Why there is no upright picture. Words for the wire.
type Why string

// The reasons.
const (
	NoRim      Why = "no-rim"      // the ellipse has no size, or isn't one
	NoDiameter Why = "no-diameter" // the diameter isn't that of a coin, 3 to 200 mm
	Stopped    Why = "stopped"     // the caller's progress said so
)

// Point is a place on the coin, mm from its middle as it stands upright.
type Point struct{ X, Y float64 }

// Upright is the map between a photo and the upright coin.
type Upright struct {
	Edge     rim.Ellipse
	Diameter float64 // mm
	// Turn is by how many degrees the design in the photo is turned counterclockwise against upright.
	Turn float64
	// U is the relative standard uncertainty of the edge's axes (rim.Found.U).
	U float64
}

// New checks edge and diameter. u is the relative standard uncertainty of the edge's axes.
func New(edge rim.Ellipse, diameter, turn, u float64) (Upright, Why) {
	if !(edge.B > 0) || !(edge.A >= edge.B) || math.IsInf(edge.A, 0) || math.IsNaN(edge.X+edge.Y+edge.Turn) {
		return Upright{}, NoRim
	}
	if !(diameter >= 3 && diameter <= 200) {
		return Upright{}, NoDiameter
	}
	return Upright{edge, diameter, math.Remainder(turn, 360), math.Max(u, 0)}, ""
}

// Radius of the coin, mm.
func (u Upright) Radius() float64 { return u.Diameter / 2 }

// PhotoPxPerMM is the photo's scale along the ellipse's longer axis.
func (u Upright) PhotoPxPerMM() float64 { return u.Edge.A / u.Radius() }

// ToCoin takes a place of the photo to the coin.
func (u Upright) ToCoin(x, y float64) Point {
	a, b := u.Edge.ToRound(x, y)
	a, b = turned(a, b, -u.Turn)
	return Point{a * u.Radius(), b * u.Radius()}
}

// ToPhoto takes a place of the coin to the photo.
func (u Upright) ToPhoto(p Point) (x, y float64) {
	a, b := turned(p.X/u.Radius(), p.Y/u.Radius(), u.Turn)
	return u.Edge.FromRound(a, b)
}

// turned turns counterclockwise as seen.
func turned(x, y, deg float64) (float64, float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return x*cos + y*sin, -x*sin + y*cos
}

// Factors are by how much the true map differs from the one that is used: to the first order a
// place p = (x, y) truly lies at
//
//	p (1 + Scale + (Near·p)/R) + (StretchX x + StretchY y, StretchY x - StretchX y) + R Shift.
type Factors struct {
	Scale              float64
	StretchX, StretchY float64
	ShiftX, ShiftY     float64
	NearX, NearY       float64
}

// Bent is where a place truly lies if the factors are these.
func (u Upright) Bent(p Point, f Factors) Point {
	r := u.Radius()
	k := 1 + f.Scale + (f.NearX*p.X+f.NearY*p.Y)/r
	return Point{
		p.X*k + f.StretchX*p.X + f.StretchY*p.Y + r*f.ShiftX,
		p.Y*k + f.StretchY*p.X - f.StretchX*p.Y + r*f.ShiftY,
	}
}

// Standard uncertainties of the factors, for photos from 15 cm on with a tilt to 10 degrees
// (simulated; TestStatedUncertaintyCovers of package measure holds them). Ten degrees at five
// diameters bend by 1.7 %, and the wall then adds 1.2 % of the radius on one side.
const (
	stretch = 0.003
	shift   = 0.004
	near    = 0.0035
)

// Doubts are the standard uncertainties of the factors, which are taken for independent.
func (u Upright) Doubts() Factors {
	return Factors{u.U, stretch, stretch, shift, shift, near, near}
}

// Uncertainty is the standard uncertainty of where a place lies on the coin, mm, in each direction
// in the mean: the root of the squares of what each factor does.
func (u Upright) Uncertainty(p Point) float64 {
	d, r := u.Doubts(), u.Radius()
	q := (p.X*p.X + p.Y*p.Y) / (r * r)
	// Each in mm²; Scale and Near push outward only, so a half of each falls to a direction.
	return r * math.Sqrt(q*(d.Scale*d.Scale+d.StretchX*d.StretchX+d.StretchY*d.StretchY)/2+
		(d.ShiftX*d.ShiftX+d.ShiftY*d.ShiftY)/2+q*q*d.NearX*d.NearX/2)
}

// Square is the upright picture's frame: Size pixels a side, the coin's radius Radius of them.
type Square struct {
	Size   int
	Radius float64
}

// margin is how much of the table is shown around the coin, in radii: enough to see the edge, and
// that it was found rightly.
const margin = 0.06

// NewSquare is a frame of that many pixels a side (16 or more) with the coin in its middle.
func NewSquare(size int) Square {
	size = max(size, 16)
	return Square{size, float64(size) / 2 / (1 + margin)}
}

// FromSquare takes a place of the upright picture to the coin.
func (u Upright) FromSquare(s Square, x, y float64) Point {
	k := u.Radius() / s.Radius
	return Point{(x - float64(s.Size)/2) * k, (y - float64(s.Size)/2) * k}
}

// OnSquare takes a place of the coin to the upright picture.
func (u Upright) OnSquare(s Square, p Point) (x, y float64) {
	k := s.Radius / u.Radius()
	return p.X*k + float64(s.Size)/2, p.Y*k + float64(s.Size)/2
}

// Picture makes the upright picture of one channel. Where the photo is finer than the square each
// pixel is the mean of several places; beyond the photo its edge goes on. progress may be nil.
func (u Upright) Picture(photo picture.Picture, s Square, progress func(done float64) (goOn bool)) (picture.Picture, Why) {
	out := picture.New(s.Size, s.Size)
	n := max(1, int(math.Ceil(u.Edge.A/s.Radius)))
	share := 1 / float32(n*n)
	// The map is affine: one step along a row is always the same.
	x0, y0 := u.ToPhoto(u.FromSquare(s, 0, 0))
	x1, y1 := u.ToPhoto(u.FromSquare(s, 1, 0))
	x2, y2 := u.ToPhoto(u.FromSquare(s, 0, 1))
	for y := range s.Size {
		if progress != nil && y%64 == 0 && !progress(float64(y)/float64(s.Size)) {
			return picture.Picture{}, Stopped
		}
		for x := range s.Size {
			sum := float32(0)
			for j := range n {
				for i := range n {
					a, b := float64(x)+(float64(i)+0.5)/float64(n), float64(y)+(float64(j)+0.5)/float64(n)
					sum += photo.Sample(x0+a*(x1-x0)+b*(x2-x0), y0+a*(y1-y0)+b*(y2-y0))
				}
			}
			out.Light[y*s.Size+x] = sum * share
		}
	}
	return out, ""
}

// Colors makes the upright picture of all three channels.
func (u Upright) Colors(photo picture.Colors, s Square, progress func(done float64) (goOn bool)) (out picture.Colors, why Why) {
	for k, c := range [3]struct {
		from picture.Picture
		to   *picture.Picture
	}{{photo.Red, &out.Red}, {photo.Green, &out.Green}, {photo.Blue, &out.Blue}} {
		part := func(done float64) bool { return progress == nil || progress((float64(k)+done)/3) }
		if *c.to, why = u.Picture(c.from, s, part); why != "" {
			return picture.Colors{}, why
		}
	}
	return out, ""
}
