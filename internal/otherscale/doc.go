// Package otherscale is a second world to judge the settling tracker by: cheap
// and good lab scales, the hands that use them and the table they stand on,
// written by another hand and with other physics than internal/simscale. No
// constant of the tracker may be chosen on it.
//
// # From the coin to the line
//
//	forces F(t) -> pan -> creep, gain, zero -> converter -> noise -> filter
//	-> zero tracking -> rounding to d -> stable sign -> lines
//
// All forces are in grams-force and piecewise linear in time, so that the pan,
//
//	x″ + 2ζω·x′ + ω²·x = ω²·F(t)
//
// moves in closed form from one corner to the next and no step size enters. Its
// mean over a span follows from the same equation, integrated once:
//
//	∫x dt = ∫F dt − (2ζ/ω)·Δx − Δv/ω²
//
// The converter is a cascade of K running means over one conversion period each
// (a sinc^K filter), so that a step takes K periods: 400 ms for K = 4 at ten a
// second. White noise enters each conversion; a 1/f floor is the sum of
// Ornstein-Uhlenbeck processes with time constants spaced by four. The digital
// filter is none, a moving average, an exponential one, an adaptive one that
// starts anew when two samples in a row are off by more than a band and else
// averages ever more samples up to a limit, or an average followed by an
// exponential.
//
// # Sources
//
// Ranges come from manuals and recorded streams of scales: display and line
// rates, lines that repeat each display, uneven lines, the stable signs, the
// adaptive filters, zero tracking, auto-off, the noise and its floor, warm-up,
// the switch-on step, the rest half way of an item put down in two movements.
// What has no such source is assumed: the pan's frequencies and damping, the
// forces and times of hands, the shape of bumps and drafts, the mixture of kinds, the
// spread of mints (a third of the tolerance as one standard deviation), lines that
// arrive in bursts, displays that stick.
//
// # Judging
//
//	PANSIDE_LONG=1 PANSIDE_SEED=N go test -run OtherWorldLong -v ./server/figures
//
// plays 10,000 coins from seed N on and prints the scores by kind of scale and
// of happening; server/figures says how each is counted.
package otherscale
