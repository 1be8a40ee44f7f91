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
// # Why this is fair
//
// Of the reader's API: corners are marked up to a twentieth of the window's height away from
// where they are; every digit stands at least 24 pixels high, the farthest of a tilted display
// too; what the phone looks at reaches a quarter of the window's height beyond it. Displays are
// taught empty and with loads that a person would take, each shown for as long as typing it takes.
//
// Of displays: digits half as wide as high, strokes of a tenth to a sixth of the height that leave
// the holes of an 8 open (common practice, as data sheets of seven-segment modules draw them); at
// rest an LCD's segment has 90 % of its change within 0.05 to 0.2 s, in a cold room up to
// 0.7 s (common practice); digits renewed 3 to 12 times a second; an LED's digits lit in turn
// at 90 to 600 Hz, above where an eye sees it flicker, under exposures of 1/25 to 1/110 s
// (common practice), so that a row of the picture may have little of a digit's turn.
//
// Of cameras: a phone 9 to 25 heights of a digit away, which is 10 to 30 cm; 10 to 25 frames
// a second; a gain that drifts by a percent. Blocks are worse than a browser's camera
// gives, which hands over frames not compressed; they stand for cameras that compress on their way.
//
// Of hands: what lays a coin passes before the display in one rest of eight, mostly before
// the number rests; a rest counts from when nothing hides it.
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
