// Package ring hears a coin that is tapped: from samples to the partials it rang with,
// or to the reason why this wasn't one coin's ring. It knows no coins; what the partials
// mean is the verdict's ([panside/internal/plate], [panside/internal/verdict]). Nothing is kept
// of the sound but these numbers.
//
// # What a tap sounds like
//
// Wood touches the coin for T = 0.3 to 2 ms with a force like half a sine, whose spectrum
//
//	|F(f)| ~ |cos(πfT)| / |1 − (2fT)²|                                                (1)
//
// is far down where a coin's modes are. So the wood's own modes, up to some kHz, are often louder
// than the coin in the first 20 ms; with a loss factor η each dies away as e^(−πηft), in a few
// milliseconds where a coin rings, while the coin rings on for 20 to 600 ms: damped by the finger's
// tip each mode otherwise, and split in two, which beat. (Contact and η from memory.)
//
// # Steps
//
//   - Onsets (onset.go): frames of 5 ms. With P the power of a bin and B the larger of its means
//     over the last 11 and the last 85 ms, something begins where the mean over the bins of
//     ln(1 + P/B) has a peak of 0.85 or more. In steady noise P/B has nearly the exponential
//     distribution, and the mean is e·E₁(1) = 0.596, less what the larger of two means takes off.
//     What swells slowly never gets there. Besides, a new line in frames of 43 ms, for what no blow is
//     heard with.
//
//   - Partials (partials.go): the spectrum after the onset, under windows that fall as a damped
//     sinusoid does. Of x(t) = a·e^(−t/τ)·cos(2πft + φ) in white noise the logarithm of the
//     likelihood over that of noise alone is
//
//     ln Λ(f, τ) = |Σ x(t)·e^(−t/τ)·e^(−2πift)|² / (σ²·Σ e^(−2t/τ))                        (2)
//
//     which is the power of a bin over the floor under a window e^(−t/τ). Four windows stand for
//     the decays: of 12 and 35 ms from 4 ms on, of 50 and 150 ms from 14 ms on, when the knock is
//     gone. σ² is the median of the bins 250 Hz around over ln 2, so that a spectrum that isn't
//     flat, such as the knock's rest, counts as floor. In the first world that does more than the
//     wait: windows that begin with the tap find about as many. A line has ln Λ ≥ 18; in white noise one of
//     some 10⁴ bins reaches it by chance once in 10⁴ onsets.
//
//   - New, not there before: the same windows mirrored, backwards from the onset. A line that had
//     0.7 of its amplitude before isn't this tap's.
//
//   - Decay (envelope.go): the envelope of each peak by windows of 10 ms, less the noise from
//     before the onset; a line through the logarithm of the largest of the next 60 ms, since a mode
//     that is split in two beats.
//
//   - Ring or not (refuse.go): lines of more than 11 ms at 3.2 kHz or more, of which ln Λ is 60 or
//     more together, that begin at the onset, are a ring, whatever the knock did. It is refused only
//     for what speaks for something else: sound below that stays (words), long clean low tones
//     (glass), tones that don't die away, a second tap, partials that one disc hasn't got (disc.go).
//     A mode with nodal diameters is a pair that a design splits; one without is single, so where it
//     is heard twice, or elsewhere from tap to tap, two coins rang (Rayleigh, The Theory of Sound,
//     on bells; from memory).
//
//   - [Together]: what the rings of one coin have in common.
//
// Where rings lie among words and notes none is believed, nor where a tap beside it had the same
// tone twice or with another's: an ear that asks for one more ring is better than one that is
// fooled. A clink much fainter or of other tones, from the sink, is let pass.
//
// A finer estimator (matrix pencil, Prony) was left out on purpose: in the first world the
// lowest partial lies within 1 % of the truth at 0 dB, a split mode’s halves included, and
// coins of one kind differ by 2.5 %.
//
// # Uncertainty
//
// The standard uncertainty of a frequency is of the order of the Cramér–Rao bound of a sinusoid
// that dies away with the window, in white noise (after Rife and Boorstyn, IEEE Trans. Inf. Theory
// 20, 1974; from memory),
//
//	u(f) = 1 / (2πτ·√Λ′),   Λ′ the power over the floor                                  (3)
//
// and a thousandth for the split of a struck coin's modes with nodal diameters. That of several
// rings is no less than half their range.
//
// # Speed
//
// What a transform needs is worked out once, and one complex transform does two real ones. Most of
// the work is three of 16,384 points for each onset; BenchmarkListen prints what a clip costs.
package ring
