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
// planchets and struck coins of the mint's other denominations, planchets of
// coins that it struck for other countries, blanks from another denomination's
// strip, missing layers, foreign coins of that size, a coin of another
// denomination under the wrong key, two coins at once, and a broad background
// of altered, false and unknown pieces that keeps the rest from being
// over-claimed.
//
// Priors, spreads and reading errors are named constants in params.go; the rates of
// wear stand with the metals, in internal/book/data/metals.json. Those without a
// published source are marked “assumed”. They decide little where
// the weight tells alloys apart, and where it doesn't, the verdict says so
// rather than lean on them.
//
// # What to do next
//
// Where weight, date and mark leave one thing to see between ordinary and rare, the
// verdict has a Question of the coin book (asks.go). Its answer comes in with the next
// question: a rare variety is to look at, whatever the weight; where the mark tells the
// alloy the answer is one more factor P(answer | h). A test is proposed by the
// information it is expected to give times what that counts by what the test takes
// (next.go). Inspect is what the verdict leaves for the sheet (inspect.go).
//
// Where nobody looks at the screen, the verdict's CountAs says as what the coin is
// counted and whether it is set aside.
//
// # Keepers
//
// A regular coin of something that the hunter wants is a Keeper. The call says no more
// of the metal than Ordinary does, at the same odds; where several metals remain, each
// must be wanted, and together they must be as likely. A want takes a metal, dates or
// marks; it takes the coin if it takes nearly all of the issues that the coin can be of,
// as they fit. What makes the person look goes first, wanted or not.
//
// # Calibration
//
// The tests simulate jars of coins by other rules than these and count how
// often a claim is true. The full run, 100,000 ordinary coins and 60,000 draws
// of rare ones at each resolution,
//
//	PANSIDE_LONG=1 go test -run Calibration -v ./internal/verdict
//
// gave (PANSIDE_SHOW=1 lists the coins that went wrong; “go run ./server/up
// long” runs it among others):
//
//	scale step                              0.1 g     0.01 g    0.001 g
//	alloy claims                            75,206    81,768    82,021
//	  of them true                          99.5 %    99.6 %    99.6 %
//	“within” claims true (made at 97.5 %)   99.98 %   99.99 %   100 %
//	“below” claims true (made at 97.5 %)    99.97 %   99.98 %   100 %
//	ordinary coins to look at               0.7 %     1.0 %     0.9 %
//	coins of the jars called for an expert  1         0         2
//	rare coins that weight can separate     7,948     11,358    11,612
//	  of them caught                        99.9 %    99.97 %   100 %
//
// Most of the ordinary coins to look at are of standards left long ago and so
// are seldom met, such as half dollars of before 1853.
//
// A rare coin counts as separable if the range of its planchet, at three
// standard deviations with the scale’s, lies clear of every regular coin that
// was asked for; as caught if the call is to look and its kind and mass are
// listed.
package verdict
