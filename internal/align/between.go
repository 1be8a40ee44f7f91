package align

import "math"

// Angle is an angle with its standard uncertainty, degrees.
type Angle struct{ Degrees, U float64 }

// Between is by how much the reverse is turned counterclockwise against the obverse, seen from the
// reverse's side, −180 to 180: 0 for sides that are both upright when the coin is turned over top to
// bottom ("coin turn"), as a United States coin is struck, 180 for both upright when turned over left
// to right ("medal turn").
//
// The obverse's picture shows it turned counterclockwise by obverse against upright; then the coin is
// turned over top to bottom, so that its left edge stays on the left, and the reverse's picture shows
// that turned by reverse. Turning over changes the sense of a turn, so the angle is their sum. byHand
// is the standard uncertainty of turning the coin over, degrees: along a ruler's edge 1 to 2, free hand
// 5 or more (common practice).
func Between(obverse, reverse Angle, byHand float64) Angle {
	return Angle{math.Remainder(obverse.Degrees+reverse.Degrees, 360), math.Sqrt(obverse.U*obverse.U + reverse.U*reverse.U + byHand*byHand)}
}
