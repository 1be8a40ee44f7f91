// Package otherdisplay is a second world to judge the camera's reader by: displays of scales as
// a phone on a stand sees them, written by another hand than the reader and its tests. No
// constant of the reader may be chosen on it.
//
// # From the weight to the pixels
//
//	load -> pan, x(t) = m + (m₀−m)·e^(−t/τ)·cos ωt -> rounding at each refresh -> text and marks
//	-> segments that lighten and darken, s ← s + (aim−s)·(1−e^(−Δt/τ)) -> light -> lens -> frame
//
// What a display shows is a sum of elements: seven segments and a point a digit, unit, sign
// and other marks. Each is a set of polygons in the plane of the glass, 1 being a digit's
// height. A homography H, of a camera with tilt, turn, roll and a finite distance, takes that
// plane to the picture; an element's share of each pixel comes from 16 points a pixel taken back
// by H⁻¹, and is blurred by a Gaussian. A frame then is
//
//	ink = Σ s·share,   L = B·(1 − k·min(1, ink))      dark segments
//	                   L = B + k·min(1, ink)          bright ones
//
// with B the light on the panel, then reflections, what passes before it, noise that grows with
// the root of L, and blocks of 8×8 whose cosine transform is rounded. An LED's digits are
// lit in turn; a row of the picture has of each digit what falls into its own time of exposure.
//
// # Sources
//
// The transform of the blocks is that of ITU-T T.81, from memory, with one step for all
// coefficients that grows with their order. Response times of LCD, rates of refresh and of
// multiplexing are common practice. All else is assumed: the mixture of fonts, light and faults.
//
// # What isn't here
//
// A phone in the hand, a display whose last digit never rests, a lens's distortion, moiré.
package otherdisplay
