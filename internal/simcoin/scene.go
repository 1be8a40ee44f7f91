package simcoin

import "math"

// Metal is how a surface takes light: Red, Green and Blue the shares it throws back, Gloss from 0
// for dull to 1 for bright.
type Metal struct{ Red, Green, Blue, Gloss float64 }

// The metals as hunters tell them apart at a glance.
var (
	RedCopper = Metal{0.80, 0.44, 0.30, 0.5}
	Brown     = Metal{0.40, 0.25, 0.17, 0.25}
	White     = Metal{0.66, 0.64, 0.60, 0.5}
	Grey      = Metal{0.40, 0.41, 0.43, 0.2}
)

// Coin is one coin, sizes in mm.
type Coin struct {
	Diameter, Thickness float64
	Face                *Face
	Metal               Metal
	// Dirt from 0 for none to 1 for half covered, Tone the same for uneven color.
	Dirt, Tone float64
	// Reeds is the count of the wall's reeds, 0 for a plain edge.
	Reeds int
	// Bite is the radius of a round bite out of the edge, 0 for none; BiteOff is how far its
	// middle lies from the coin's; BiteAt the degrees towards it.
	Bite, BiteOff, BiteAt float64
	Seed                  uint64
}

// Holds reports whether a place, mm from the middle of the coin as designed, is metal.
func (c Coin) Holds(x, y float64) bool {
	if x*x+y*y > c.Diameter*c.Diameter/4 {
		return false
	}
	if c.Bite > 0 {
		dx, dy := direction(c.BiteAt)
		return math.Hypot(x-c.BiteOff*dx, y-c.BiteOff*dy) > c.Bite
	}
	return true
}

// cover is how much of a place dirt covers, 0 to 1, h mm over the field: it keeps to what lies deep.
func (c Coin) cover(x, y, h float64) float64 {
	if c.Dirt <= 0 {
		return 0
	}
	deep := 1 - smooth(0, 0.12, h)
	return smooth(1-0.6*c.Dirt, 1.08-0.6*c.Dirt, 0.6*speckle(x, y, c.Seed+1)+0.4*speckle(3*x, 3*y, c.Seed+2)) * (0.4 + 0.6*deep)
}

// Placed is a coin on the table: its middle in mm from the place the camera aims at, turned
// counterclockwise.
type Placed struct {
	Coin
	X, Y, Turn float64
}

// Camera is a pinhole that looks at the middle of the picture.
type Camera struct {
	Width, Height int
	// PxPerMM is the scale on the table in the middle of the picture.
	PxPerMM float64
	// Tilt from straight down, degrees, and the side TiltTo to which the camera is moved.
	Tilt, TiltTo float64
	// Distance from the table, mm; 300 if 0 is given.
	Distance float64
	// Blur of the lens as a standard deviation, px.
	Blur float64
	// MotionX, MotionY is how far the hand moved, px.
	MotionX, MotionY float64
	// Noise: the standard deviation at full light, of 1; it falls with the root of the light, to a
	// tenth.
	Noise float64
	// ShiftX, ShiftY moves the picture by px, as of a camera that slipped between two photos.
	ShiftX, ShiftY float64
}

// Lamp stands at the side From, degrees, Up degrees over the table, far away, or Near mm from the
// middle if that isn't 0.
type Lamp struct{ From, Up, Strength, Near float64 }

// toward is the unit vector to the lamp from a place.
func (l Lamp) toward(x, y, z float64) (lx, ly, lz, strength float64) {
	dx, dy := direction(l.From)
	sin, cos := math.Sincos(l.Up * math.Pi / 180)
	lx, ly, lz = dx*cos, dy*cos, sin
	if l.Near <= 0 {
		return lx, ly, lz, l.Strength
	}
	lx, ly, lz = lx*l.Near-x, ly*l.Near-y, lz*l.Near-z
	far := math.Sqrt(lx*lx + ly*ly + lz*lz)
	return lx / far, ly / far, lz / far, l.Strength * l.Near * l.Near / (far * far)
}

// Ground is what lies beneath.
type Ground string

// The grounds.
const (
	Paper Ground = "paper" // bright, flat
	Wood  Ground = "wood"  // streaks
	Cloth Ground = "cloth" // a weave
	Dark  Ground = "dark"  // a dark mat
)

// Scene is all that is photographed.
type Scene struct {
	Coins  []Placed
	Ground Ground
	// Clutter from 0 to 1: crumbs, pencil lines, edges of paper, stains of cups.
	Clutter float64
	Camera  Camera
	Lamps   []Lamp
	// Ambient is the light from all around, 0.25 in a usual room. With lamps of strength 1 in sum
	// white paper then comes out near white.
	Ambient float64
	// Shadows within the relief are cast too; slow.
	Shadows bool
	// Seed of noise, ground and clutter.
	Seed uint64
}

// Simple is a scene of one coin in the middle, in a picture of size by size pixels that the coin
// fills to that share, on wood with a lamp from the upper left.
func Simple(c Coin, size int, share float64, seed uint64) Scene {
	return Scene{
		Coins:  []Placed{{Coin: c}},
		Ground: Wood,
		Camera: Camera{Width: size, Height: size, PxPerMM: share * float64(size) / c.Diameter, Blur: 0.8, Noise: 0.01},
		Lamps:  []Lamp{{From: 135, Up: 40, Strength: 0.75}}, Ambient: 0.25,
		Seed: seed,
	}
}

// InRows is a scene of coins of one size on paper, seen from above, so many in a row, each turned
// otherwise, in a picture of width by height pixels.
func InRows(coins []Coin, row, width, height int, seed uint64) Scene {
	rows := (len(coins) + row - 1) / row
	d := coins[0].Diameter
	apart := 1.2 * d
	scale := math.Min(float64(width)/float64(row), float64(height)/float64(rows)) / apart
	s := Scene{
		Ground: Paper,
		Camera: Camera{Width: width, Height: height, PxPerMM: scale, Blur: 0.8, Noise: 0.01},
		Lamps:  []Lamp{{From: 135, Up: 45, Strength: 0.7}}, Ambient: 0.3,
		Seed: seed,
	}
	for k, c := range coins {
		s.Coins = append(s.Coins, Placed{
			Coin: c,
			X:    (float64(k%row) - float64(row-1)/2) * apart,
			Y:    (float64(k/row) - float64(rows-1)/2) * apart,
			Turn: float64(k) * 137.5,
		})
	}
	return s
}

// Shot is the photo, bytes as a browser's canvas gives them, and what is true of it.
type Shot struct {
	Width, Height int
	Pix           []byte
	Coins         []Truth
}

// Ellipse is the outline of a coin's top in the picture: half axes A and B in px, A the longer, its
// direction Turn in degrees.
type Ellipse struct{ X, Y, A, B, Turn float64 }

// Truth is what is true of one coin.
type Truth struct {
	Edge Ellipse
	// PxPerMM is the longer axis over the diameter.
	PxPerMM float64
	Turn    float64
	Lamps   []Lamp

	toPicture [9]float64
}

// InPicture gives the pixel place of a place on the coin's top as designed, mm from the middle.
func (t Truth) InPicture(x, y float64) (px, py float64) {
	x, y = turned(x, y, t.Turn)
	h := t.toPicture
	w := h[6]*x + h[7]*y + h[8]
	return (h[0]*x + h[1]*y + h[2]) / w, (h[3]*x + h[4]*y + h[5]) / w
}
