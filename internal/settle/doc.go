// Package settle turns a scale's readings into an estimate of the newest load:
// its weight, how sure that is, and whether it still moves. It knows nothing of
// coins.
//
// # What is never broken
//
// At rest, what is shown is the display's level less a zero, or a level below,
// that was seen, within a step of the display: the weight is held to what the
// display showed just before the load came. One load is one difference between
// two levels that both rested. told.go holds each weight against that before it is
// told, by the lines alone, whatever the model makes of them. What can't be told so
// is withheld (mass.PhaseWithheld): on a level that rested no longer than a hand
// holds a coin half put down, even under a lit sign; on a zero that was seen for a
// line or two; after a gap in which the load may have changed, after
// coins that came faster than the display could rest between them, or where a
// display fell and rose again by an amount that could be one coin swapped for
// another as well as one put on top. It must be put on again. What is put on top
// of it later is weighed again, since it rests.
//
// A display rests when it has stood still for a while: longer than a hand holds
// a coin half put down, or for a moment under the scale's own stable sign. A
// rest that the scale itself calls unstable is none, while its sign is known to
// work. How late that sign is, is learnt: one that has never come on within the time for
// which a load may be held half put down is overruled after that, others much later. A single load that falls to a part of
// itself does not rest there soon: a slow filter stands still at its bottom while
// one coin is exchanged for another. How far apart readings of one level may lie is learnt from successive
// differences, which neither a drift nor a coin widens, and has a ceiling.
//
// # Model
//
// Before rest the display is taken as the response of a linear filter to the
// load, the load as constant but for sudden changes at unknown times t_k:
//
//	z(t) = base + Σ a_k·s(t − t_k) + ε
//
// The step response s is not known. A grid of candidates (shape.go) is carried
// along, and which of them fit is learnt from load to load, as is how far the
// best of them is off. So nothing of a scale's filter need be known before.
//
// For each candidate several histories are followed (branch.go): after each
// reading the load may have changed suddenly, or be in a hand that changes it
// all the time, or be as it was. Two kinds of change are tied to what was
// before: one that leaves the pan empty, and one that ends a knock or a touch
// and leaves the load as it was. Given the times, z is linear in the amounts
// a_k, so that each history is a Kalman filter (R. E. Kalman, A new approach to
// linear filtering and prediction problems, 1960) without process noise, and
// its weight is the product of its forecasts' densities. Few histories per
// candidate survive (move.go). This is a multiple-model estimator with pruning
// (Y. Bar-Shalom, X. R. Li, T. Kirubarajan, Estimation with applications to
// tracking and navigation, chapter 11; both cited from memory).
//
// Each history tells a story of loads put on and taken (story.go). Their
// weighted opinion gives the newest load its number, and its weight: the sum of
// the amounts since it began to come on, alone on the pan or on top of others.
// The uncertainty is the spread of the mixture: wide while the filter or the
// hand may still explain what is seen in several ways, narrow once they can't.
// To it are added what a hand might still do, and the scale's own uncertainty
// (mass.Scale). A hand at work is suspected as often as hands lingered in this sitting
// (hand.go); the suspicion dies away with time, and faster with readings steadier
// than a trembling hand's. Besides, a display that stands still is believed before the
// model is: what may be left of an exponential approach is bounded by how long
// it has stood.
//
// A coin that stands half put down, or is leant on, shows as steady as one that was let
// go: nothing tells them apart but time, and the scale's sign, which may come on over
// both. The chance of it makes what is told unsure (habit.go). That chance is learnt from
// how often displays of this sitting stood still half-way, and from which weights came: it
// begins with a second's caution, is short again after some ten coins without, and long at
// once after a half-way stand. How long a load has lain counts from when it came to its level,
// by the model, knocks in between or not.
//
// What a hand may do is in the estimate twice. Its U makes allowance for it, as a variance
// (g·mean)²·P at a chance P, so that mean ± 1.96·U holds the mass. That is far too wide for
// who asks which of a few masses it is, since a part of one seldom weighs like another.
// For them Half is P, beyond what is let pass, and WholeU the uncertainty without it: with a
// true mass m, the mean is distributed as
//
//	(1 − P)·N(m, WholeU²) + P·h(m)
//
// where h is known to whoever knows what hands do (package verdict). At rest there is no
// such chance any more: what is told as settled has waited for it to go. Nor has a forecast,
// before the display stands still: U also holds back what else may be wrong with it.
//
// # Loads
//
// A load is given a number once it is sure to be one: bumps, and fingers that
// press before they lift, get none. A coin that was taken before it came to rest
// keeps its number if it lay still for a moment. What the display showed counts before
// what the branches make of it (count.go): a level at which it stood, or was calmer than a
// finger, between two sights of the empty pan is a load; two alone on the pan need a display that sank between
// them; a lone load at which it never stood still was a finger, unless it weighs as a
// coin of this sitting or the next comes as fast.
//
// What lies within a few steps of the zero is no load, since no coin is so light: the pan
// swings, and the zero is where it rests (noCoin).
//
// What comes on top of a lone load may be the rest of it, which a hand held back for seconds
// (grown.go): by this sitting's weights it is the same coin, another, or in doubt and withheld.
// A lone load unlike any of the sitting, on a scale without a sign, isn't told before nobody
// holds coins for so long (mayBeHalf).
//
// A display that stands still, even for a moment, and then at another level tells of two coins
// where the branches saw one (steps.go): on its way straight up, if both rises weigh rather like
// this sitting's coins than like one coin put down in two movements; and where it fell by much
// between, if the weight is another, or it was gone for as long as an exchange takes and didn't swing
// to both sides as a knock does. The sum of such coins is nobody's weight and is withheld. The
// number of what is withheld on top of another is taken back when it is lifted, since it must be
// put on again.
//
// Where lines are so rare that a load may be exchanged between two of them, one put on
// top is told from one put in another's place by what this sitting's coins weigh and by
// which of both was seen before (exchange.go); what is left in doubt is withheld.
//
// Two coins that land within a second on top of one another count as one load. A single load that gets
// lighter is the same load, which a hand has left; of a pile, it is one of them
// taken off: a load with a negative mean. When all is gone the phase is empty.
// The same holds below zero, with a tared cup lifted, and coming back to zero is empty
// again. If nothing was weighed before since the scale was switched on, it may have been a
// coin that lay there: then the first to come back is withheld.
//
// # What is assumed
//
// The constants in params.go were chosen on simulated evenings
// (internal/simscale) with other seeds than the tests use. A second world by
// another hand (internal/otherscale) judges them, see server/figures.
package settle
