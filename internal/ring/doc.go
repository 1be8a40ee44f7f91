// Package ring hears a coin that is tapped: from samples to the partials it rang with,
// or to the reason why this wasn't one coin's ring. It knows no coins; what the partials
// mean is the verdict's ([panside/internal/plate], [panside/internal/verdict]). Nothing is kept
// of the sound but these numbers.
//
// # Steps
//
//   - Onsets ([Listen]): frames of 43 ms, an eighth of a frame apart… each against its own
//     floor, the median of the neighbouring bins. An onset is where a line rises from
//     beneath to [lineAbove] over the floor, or where the whole band does.
//   - Partials (partials.go): the spectrum of what follows the onset, under a window that
//     rises in 3 ms and falls over 80, so that of a damped sinusoid little is lost and
//     little leaks. Peaks by a parabola through the logarithms of three bins.
//   - Decay: the envelope of each peak, its band 10 ms wide, a line through its logarithm.
//   - Refusals (refuse.go): what isn't one disc's ring.
//   - [Together]: what the rings of one coin have in common.
//
// A finer estimator (matrix pencil, Prony) was left out on purpose: a parabola is right
// within 0.05 % at 0 dB, and coins of one kind differ by 2.5 %.
//
// # Uncertainty
//
// The standard uncertainty of a frequency is the Cramér–Rao bound of a damped sinusoid in
// white noise, with the line's own height over the floor, and a fifth of a bin for the
// split that a struck coin shows in its modes with nodal diameters.
package ring
