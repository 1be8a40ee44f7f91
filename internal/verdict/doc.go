// Package verdict says what a weight means for a tapped denomination: of which
// alloys the coin can be, whether its mass lies within the mint's limits, what
// else could explain it, and which test would tell more.
//
// # Model
//
// Everything is one mixture of hypotheses h, each with a prior P(h) and a
// density of the mass that the scale shows. The answer is Bayes' theorem over
// it, with the evidence of eye, magnet and calipers as further factors:
//
//	P(h | y, evidence) ∝ P(h) · f_h(y) · Π P(evidence | h)
//
// A regular coin weighs its standard mass, spread by making (normal, σ), less
// an exponential loss by wear that grows with age and depends on the alloy; the
// scale adds its standard uncertainty u:
//
//	y ~ EMG(μ, √(σ² + u²), −τ)     see stats.EMG
//
// with small shares of coins that carry dirt (tail to the heavy side) and of
// damaged ones (a longer tail to the light side). Beside the regular issues of
// the denomination stand: the neighbouring alloy of a transition year,
// planchets and struck coins of the mint's other denominations, blanks from
// another denomination's strip, missing layers, foreign coins of that size, a
// coin of another denomination under the wrong key, and a broad background of
// altered, false and unknown pieces that keeps the rest from being
// over-claimed.
//
// Priors, wear rates and reading errors are named constants in params.go; those
// without a published source are marked “assumed”. They decide little where
// the weight tells alloys apart, and where it doesn't, the verdict says so
// rather than lean on them.
//
// # Calibration
//
// The tests simulate jars of coins by other rules than these and count how
// often a claim made at 95 % is true; PANSIDE_LONG=1 runs the full 100,000
// coins at each resolution and prints the figures.
package verdict
