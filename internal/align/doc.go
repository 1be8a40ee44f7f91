// Package align lays one picture of a coin over another: by the rim, which the caller knows, then
// by the relief itself.
//
// # What is compared
//
// A lamp on another side changes the light on every stroke, so brightness itself is not compared. For a first look three
// things are (features.go), which hold whatever side the light comes from:
//
//   - the doubled angle of the gradient, g²/|g|² of g = gx + i gy: an edge that turns from light-dark
//     to dark-light stays where it is, since its angle changes by 180 degrees and the doubled by 360
//     (Bigün and Granlund, ICCV 1987; from memory);
//   - the gradient's size against its own surroundings;
//   - the local phase, even part of a band against even and odd together (monogenic signal, Felsberg
//     and Sommer, IEEE Trans. Signal Processing 49, 2001; from memory).
//
// # Steps
//
//   - [TurnOf]: rings around the middle, each a periodic course of the angle; the correlation of two
//     such courses for all turns at once by Fourier transforms, summed over rings and features. The
//     rim gives middle and scale, so a turn is all that is left.
//   - [Over]: from there turn, middle and size together, so that what the middle errs doesn't go into the turn
//     (search.go): turns to 4 degrees and moves to a fortieth of the radius all around are tried, and the tops are
//     climbed. Sizes differ by no more than two rims may. What is made most is not those features' agreement, which lays
//     flanks lit alike over each other, but how well the light of both is that of one relief under any two lamps
//     (crossed.go): light is a slope toward the lamp, so one direction's change of the one is another
//     direction's change of the other, sign and all, and the canonical correlation of the two gradients needs no lamp to
//     be known. Where the features agree as under one lamp, an affine map by the inverse compositional
//     algorithm (Baker and Matthews, Lucas-Kanade 20 Years On, IJCV 56, 2004, section 3.2), with Huber's weights,
//     ends it.
//   - [Steady]: that algorithm on light alone, for pictures under one lamp.
//   - [Find]: a close-up in a whole picture: the doubled angle's correlation over all places, by turns
//     and scales (closeup.go), then the same refinement, the rim left out.
//
// # Uncertainty and refusal
//
// A turn's uncertainty is the spread of three votes: every third of the coin's twelve sectors by itself finds turn,
// middle and size, and of three independent turns θ the mean has u² = Σ (θ_k − mean θ)² / 6; what a lamp
// moved far adds to all alike is added (lampMoved). It is refused from half a degree on, since then one degree
// is within two u. A close-up's is the sandwich estimator by squares (Liang and Zeger, Biometrika 73, 1986; from
// memory): H⁻¹ (Σ s sᵀ) H⁻¹, where s is the gradient of the misfit summed over one square, so what errs
// together within a stroke counts once.
//
// A fit says how well the features agree. It is refused where the crossed light agrees less than other designs' may by
// chance, or where only two bands around the middle agree, as beads do with the next beads; and if another turn agrees
// as well (turn.go and fit.go say which tests hold the limits).
package align
