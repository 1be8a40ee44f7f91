// Package rim finds a coin's edge in a photo, as an ellipse, or says why there is none to be
// trusted.
//
// Steps, each in its file:
//
//  1. picture.ClearestEdges: the photo shrunk to at most three quarters of a megapixel, its light drawn by the
//     square root (which makes noise of light even), blurred by a pixel, its gradient.
//  2. votes.go: each edge pixel votes for the places along its gradient line, at half that size;
//     where circles of any radius have their middle the votes heap up. Tilt to some 15 degrees
//     only makes the heap broader.
//  3. rings.go: around each of the best middles the edges that lie across the ray are listed by
//     angle. A ring is the radius r(φ) = r0 + c1 cos φ + s1 sin φ + c2 cos 2φ + s2 sin 2φ, to first
//     order an ellipse whose middle and shape are a little off; it is sought by random triples
//     (M. Fischler and R. Bolles, "Random sample consensus", Communications of the ACM 24 (1981)
//     381–395), refined by least squares with the outliers weighed down, and the edge's points go
//     through Fit in the end.
//  4. choose.go: rim, inner ring, bevel, the wall's foot and a shadow's edge are all such rings.
//     What tells the rim is said there.
//
// Covered is the share of the outline along which there is an edge where the ellipse says; below
// Least nothing is given. What the ellipse's uncertainty holds and what not: Found.U.
package rim

// Least covered share of the outline that is taken for a rim.
const Least = 0.4

// Why there is no rim, or none to be trusted. Words for the wire.
type Why string

// The reasons.
const (
	None    Why = "none"        // no outline of a coin
	Two     Why = "two"         // more than one coin: which is meant?
	CutOff  Why = "cut-off"     // part of the coin lies outside of the picture
	Doubt   Why = "doubt"       // an outline, but too little of it is seen
	Blurred Why = "blurred"     // the edge is smeared over too many pixels
	Small   Why = "small"       // the picture, or the coin in it, has too few pixels
	Stopped Why = "stopped"     // the caller's progress said so
	Few     Why = "few-points"  // an ellipse takes five points
	Flat    Why = "no-ellipse"  // points on a line or without spread
	InLine  Why = "in-one-line" // three handles in one line
)
