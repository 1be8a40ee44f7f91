// Package settle turns a scale's readings into an estimate of the newest load:
// its weight, how sure that is, and whether it still moves. It knows nothing of
// coins.
//
// # Model
//
// The display is taken as the response of a linear filter to the load, the
// load as constant but for sudden changes at unknown times t_k:
//
//	z(t) = base + Σ a_k·s(t − t_k) + ε
//
// The step response s is not known. A grid of candidates (shape.go) is carried
// along, and which of them fit is learnt from load to load, as is how far the
// best of them is off. So nothing of a scale's filter need be known before.
//
// For each candidate several histories are followed (branch.go): after each
// reading the load may have changed suddenly, or be in a hand that changes it
// all the time, or be as it was. Given the times, z is linear in the amounts
// a_k, so that each history is a Kalman filter (R. E. Kalman, A new approach to
// linear filtering and prediction problems, 1960) without process noise, and
// its weight is the product of its forecasts' densities. Few histories per
// candidate survive (move.go). This is a multiple-model estimator with pruning
// (Y. Bar-Shalom, X. R. Li, T. Kirubarajan, Estimation with applications to
// tracking and navigation, chapter 11; both cited from memory).
//
// The final weight is then the sum of the a_k that belong to the newest load,
// and its uncertainty the spread of the mixture, which is honest from the first
// sample on: wide while the filter or the hand may still explain what is seen
// in several ways, narrow once they can't. To it are added what a hand might
// still do (belief.go) and the scale's own uncertainty (mass.Scale).
//
// # Loads
//
// Changes that follow one another without a quarter of a second of quiet are
// one load; later ones are another, weighed by difference (loads.go). How long a
// hand goes on is memoryless at first; one that has been at work for longer than
// a landing takes is a slow one and stays on for longer. On a scale's first three
// landings a slow hand can't be told from a slow filter: the uncertainty allows
// for the hand until about a second of quiet has passed. A load is
// given a number once it is sure to be one: bumps, and fingers that press
// before they lift, get none. Two coins that land within half a second count as
// one load, so does one put down while a hand is still at the one before, and a
// light one soon after a heavy one may be taken for the tail of the first.
//
// What takes weight away from several loads is a load with a negative mean,
// once it rests: the coin taken off weighed −Mean. When all is gone the phase
// is empty. The same holds below zero, with a tared cup lifted: the mean is
// minus the cup's mass, and coming back to zero is empty again.
//
// # What is assumed
//
// The constants in params.go were chosen on simulated evenings
// (internal/simscale) with other seeds than the tests use; the tests measure
// whether 95 % intervals hold 95 % of the time at every age.
package settle
