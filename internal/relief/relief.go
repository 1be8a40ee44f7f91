package relief

import (
	"math"

	"panside/internal/picture"
)

// Lamp is where a lamp stands.
type Lamp struct {
	Side float64 // degrees counterclockwise as seen from above, 0 to the right
	Up   float64 // degrees over the table
}

// toward is the unit vector to the lamp: right, down, up.
func (l Lamp) toward() [3]float64 {
	s, c := math.Sincos(l.Side * math.Pi / 180)
	up, flat := math.Sincos(l.Up * math.Pi / 180)
	return [3]float64{c * flat, -s * flat, up}
}

// Frame is one photo of the still coin.
type Frame struct {
	Picture picture.Picture
	Lamp    Lamp
}

// Disc is where the coin lies in the frames, px. A radius of 0 means that it fills the picture.
type Disc struct{ X, Y, R float64 }

// holds reports whether a place lies on the disc, short of its rim by a share.
func (d Disc) holds(x, y, share float64) bool {
	if !(d.R > 0) {
		return true
	}
	return (x-d.X)*(x-d.X)+(y-d.Y)*(y-d.Y) <= share*share*d.R*d.R
}

// Why frames give no relief; empty for good.
type Why string

// The reasons.
const (
	TooFew   Why = "too-few"   // fewer than four frames
	TooMany  Why = "too-many"  // more than sixteen
	Sizes    Why = "sizes"     // frames of different sizes, or hardly any pixels
	OneSided Why = "one-sided" // lamps that don't stand around the coin
	Dark     Why = "dark"      // a frame in which nothing can be seen
	Glare    Why = "glare"     // a frame that is white for the most part
	Slipped  Why = "slipped"   // frames that can't be laid over each other within 0.7 px
	Astray   Why = "astray"    // a frame of a coin on a dial that lies at another turn than said
	Stopped  Why = "stopped"   // by the caller
)

// Relief is a coin's shape in the pixels of the first frame.
type Relief struct {
	W, H int
	// Right and Down are the slopes of the height: by how many px it rises a px to the right and down.
	// The factor that room light and the lamp's height leave open is in them.
	Right, Down picture.Picture
	// Tone is the surface's own color in light, 1 for that of the field around.
	Tone picture.Picture
	// On is where the coin lies.
	On Disc
	// Slip is how far each frame lay off the first, px, before it was moved.
	Slip []Slip
	// Apart is how far the frames still lie apart, px: root mean square over squares of the picture.
	Apart float64
	// Doubt is the share of pixels where a shadow or gloss had to be left out.
	Doubt float64
}

// Slip is how far a frame lay off another: middle, and turn in degrees counterclockwise.
type Slip struct{ X, Y, Degrees float64 }

// FewestFrames and MostFrames bound what is put together.
const (
	FewestFrames = 4
	MostFrames   = 16
	leastSide    = 64 // px
)

// Of makes the relief of frames of a still coin, four to eight of them as a rule. progress may be
// nil; when it answers false, the work stops.
func Of(frames []Frame, on Disc, progress func(done float64) (goOn bool)) (Relief, Why) {
	if why := sound(frames); why != "" {
		return Relief{}, why
	}
	lamps := make([][3]float64, len(frames))
	flat := make([]picture.Picture, len(frames))
	for i, f := range frames {
		lamps[i] = f.Lamp.toward()
		var why Why
		if flat[i], why = flattened(f.Picture, on, lamps[i][2]); why != "" {
			return Relief{}, why
		}
	}
	if !goesOn(progress, 0.15) {
		return Relief{}, Stopped
	}
	moved, shining, why := laidOver(flat, lamps, on, progress)
	if why != "" {
		return Relief{Slip: moved.slips(flat[0]), Apart: moved.apart}, why
	}
	flat = moved.over(flat)
	if shining {
		// Brightness itself isn't Lambert's: what lies over its surroundings is all that is believed.
		for i, f := range toSlopes.even(flat, on) {
			for j, v := range f.Light {
				flat[i].Light[j] = float32(moved.lamps[i][2]) * (1 + evenSlope*v)
			}
		}
	}
	if !goesOn(progress, 0.8) {
		return Relief{}, Stopped
	}
	r := solve(flat, moved.lamps, on)
	r.Slip, r.Apart = moved.slips(flat[0]), moved.apart
	if !goesOn(progress, 1) {
		return Relief{}, Stopped
	}
	return r, ""
}

func goesOn(progress func(float64) bool, done float64) bool { return progress == nil || progress(done) }

// sound says what keeps frames from being put together.
func sound(frames []Frame) Why {
	switch {
	case len(frames) < FewestFrames:
		return TooFew
	case len(frames) > MostFrames:
		return TooMany
	}
	// Lamps stand around the coin if their sides, as unit vectors, spread in every direction and about
	// cancel.
	var xx, xy, yy, mx, my float64
	for _, f := range frames {
		p := f.Picture
		if p.W < leastSide || p.H < leastSide || p.W != frames[0].Picture.W || p.H != frames[0].Picture.H || len(p.Light) != p.W*p.H {
			return Sizes
		}
		if !(f.Lamp.Up >= 5 && f.Lamp.Up <= 75) || math.IsNaN(f.Lamp.Side) || math.IsInf(f.Lamp.Side, 0) {
			return OneSided
		}
		s, c := math.Sincos(f.Lamp.Side * math.Pi / 180)
		xx, xy, yy, mx, my = xx+c*c, xy+c*s, yy+s*s, mx+c, my+s
	}
	n := float64(len(frames))
	least := (xx+yy)/2 - math.Hypot((xx-yy)/2, xy) // smaller eigenvalue
	if least < 0.2*n || math.Hypot(mx, my) > 0.5*n {
		return OneSided
	}
	return ""
}
