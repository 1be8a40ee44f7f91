// Package ring hears a coin that is tapped: from samples to the partials it rang with,
// or to the reason why this wasn't one coin's ring. It knows no coins; what the partials
// mean is the verdict's ([panside/internal/plate], [panside/internal/verdict]). Nothing is kept
// of the sound but these numbers.
//
// # Steps
//
//   - Onsets ([Listen]): frames of 43 ms, a quarter of a frame apart, each against its own
//     floor, the median of the neighbouring bins. An onset is where a line rises by 6 dB to
//     14 dB over the floor, or where the whole band rises.
//   - Partials (partials.go): the spectrum of what follows the onset, under a window that
//     rises in 3 ms and falls over 80, so that of a damped sinusoid little is lost and
//     little leaks. Peaks by a parabola through the logarithms of three bins.
//   - Decay: the envelope of each peak by windows of 10 ms, a line through the logarithm of
//     the largest of the next 60, since a mode that is split in two beats.
//   - Refusals (refuse.go): what isn't one disc's ring.
//   - [Together]: what the rings of one coin have in common.
//
// A finer estimator (matrix pencil, Prony) was left out on purpose: in the first world the
// lowest partial lies within 0.6 % of the truth at 0 dB, a split mode’s halves included, and
// coins of one kind differ by 2.5 %.
//
// Where rings lie among words, notes, a bounce or two coins, none is believed: an ear that asks
// for one more ring is better than one that is fooled.
//
// # Uncertainty
//
// The standard uncertainty of a frequency is the Cramér–Rao bound of a sinusoid as long as the
// window in white noise (Rife and Boorstyn, IEEE Trans. Inf. Theory 20, 1974; from memory), by
// the line's own height over the floor, and a fifth of a bin for the split of a struck coin's
// modes with nodal diameters. That of several rings is no less than half their range.
package ring
