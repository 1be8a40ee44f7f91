// Package simcoin is the first world of coins to look at: photos of coins that never were, on
// which what looks at coins is tuned. What is measured here holds for this world; another one,
// by another hand, judges.
//
// A Design (a raised rim, words of strokes, a bust of blobs) is struck into a Face, a grid of
// heights in mm; there it can be doubled, clashed with another face, worn and scratched. A Coin is
// a Face on a round of some diameter and thickness, of a Metal, with dirt. A Scene lays coins on a
// table among clutter under lamps, and Render takes the photo by a pinhole camera: each pixel is
// a ray that meets a coin's top, its wall or the table, so tilt, perspective and the visible wall
// come from the geometry. The light on metal is dull light, a gloss around the mirror's direction
// and what comes from all around; a lamp's shadow falls on the table, and within the relief
// if Scene.Shadows is set. Then come lens blur, a moving hand, noise of light and of the sensor,
// sRGB and eight bits.
//
// A Stand is the same for one still coin, and has more: bare metal (Polish) with the furrows of metal that flowed,
// a camera that sets its own exposure, corners that a lens darkens, sharpening and a curve of tones.
//
// Not in it: mirrors of proofs, light thrown from letter to letter, lens distortion.
//
// Directions and angles: x to the right, y down, in mm or pixels; degrees turn counterclockwise
// as seen, 0 points to the right.
package simcoin

import "math"

// direction is the unit vector of an angle in degrees, y down.
func direction(deg float64) (x, y float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return cos, -sin
}

// turned turns a place counterclockwise as seen.
func turned(x, y, deg float64) (float64, float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return x*cos + y*sin, -x*sin + y*cos
}

// smooth rises from 0 at a to 1 at b without a kink.
func smooth(a, b, v float64) float64 {
	t := math.Min(math.Max((v-a)/(b-a), 0), 1)
	return t * t * (3 - 2*t)
}
