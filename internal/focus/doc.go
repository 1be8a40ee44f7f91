// Package focus says how sharp a picture is, picks the sharpest of a burst, and puts several focus
// steps together to one picture that is sharp all over.
//
// # Sharpness
//
// [Sharpness] is the share of fine detail in what detail there is: the energy of the picture less
// itself blurred by 1 px, over that of the picture less itself blurred by 4 px,
//
//	S = (Σ (I − G1∗I)² − n f1) / (Σ (I − G4∗I)² − n f4),
//
// n the noise's variance, taken from the median of |I − 2 I' + I”| along rows (Immerkær, Computer
// Vision and Image Understanding 64, 1996, has the idea; from memory), f the share of white noise that
// each filter lets pass. It doesn't depend on exposure or contrast. It runs from 0, nothing finer than
// the blur, to 0.15 of a crisp coin and more of grit, and about halves with each further half pixel of
// blur (TestSharpnessFallsWithBlur). Scores are compared between pictures of one coin at one size.
//
// # Stack
//
// [Stack] is Laplacian pyramid fusion (Burt and Adelson, IEEE Trans. Communications 31, 1983; Burt and
// Kolczynski, ICCV 1993; from memory): each frame is taken apart into bands an octave wide, in each band
// and place the frame with the most energy around wins, the coarsest level is the frames' mean weighed
// by what won below it, and the bands are put together again. Frames are laid over the middle one
// first: without that a stack is worse than its best frame.
package focus
