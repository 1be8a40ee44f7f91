// Package hints says where one coin's relief differs from another's of the same type and side: places
// to look at, never what it is. A second image is a second image: a doubled die, a die that bounced
// and damage look alike in plan, and the look-for and its key tell them apart.
//
// Slopes are compared ([panside/internal/relief]), not light, and everything is set against the rest
// of the same coin, since wear, another camera and another lamp change the whole of it.
//
// [Look] is the one way in: what the bench asks is what the tests and the second world measure. It puts together
//
//   - [Lay]: the ordinary coin over this one, by pictures first and then by the slopes themselves (refine.go). Where
//     these agree too poorly nothing is told.
//   - [Pair.Seconds]: how much of what the ordinary coin leaves of a window a second copy of its own slopes there,
//     shifted, explains: with M the coin's slopes in the window and R those of the reference, the gain of R_d, shifted by
//     d, is 1 − min |M − Bx − b R_d|² / min |M − Bx|², b > 0, where B is R, its two derivatives and its Laplacian,
//     since a window that lies a little off or is smeared by wear is no second image; less the same for −d, since
//     what is left of smearing lies on both sides and a second image on one; the mean with the windows around, the largest
//     over d. Of the largest gain G the score is (G − m)/(0.02 + m), m the median of the windows that share nothing with it: how well the
//     two reliefs agree at all. Left out are what goes around the coin (rings.go), windows of one straight edge, and
//     places where the first image itself is missing: that is a difference (second.go, sums.go).
//   - [OtherSideOn]: the other side's relief, mirrored and turned, in the bare field: the correlation of
//     slopes around the middle for all turns at once; the highest against the spread of all others
//     (otherside.go).
//   - [Pair.Differences]: the share of a small square's pixels that differ by more than pixels of as
//     much relief do elsewhere on the coin: chips, cuds, missing letters, damage (differs.go).
//
// # False alarms
//
// A bar is a score that ordinary coins reach with a known rate. The bars that stand here were found on
// rendered coins and say nothing of anybody's camera. [Learn] makes others from the hunter's own
// ordinary coins: of n coins that are ordinary like the next one, the k-th highest score is passed by
// it with probability k/(n+1), whatever scores are distributed like.
package hints
