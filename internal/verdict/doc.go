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
// the denomination stand: left-over planchets of another year's alloy and those of
// collector issues, planchets and struck coins of the mint's other denominations,
// planchets of coins that this very mint struck for other countries, blanks from
// another denomination's strip, missing layers, split planchets, foreign coins of
// that size, a coin of another denomination under the wrong key, two coins at
// once, and a broad background of altered, false and unknown pieces that keeps the
// rest from being over-claimed.
//
// Strangers are coins of countries that no judgement is made for. They stray in beside the
// others and take nothing from their share, so that one country more in the book makes a coin
// of the neighbour no rarer. Fitting says which coin of any country one is that nobody has
// named, by the same observables (fitting.go).
//
// A date that was read speaks for strays that bear it and against all others: see
// strayShare. It is now and then misread, or another coin's.
//
// How often silver, old coins, strays and fakes turn up depends on where the coins
// are from: see odds. The likelihood ratios that are shown don't, so that an
// explanation weighs the same in a roll as in a drawer.
//
// Gold and large silver of the right weight are ordinary with a word on fakes: see
// fakes.go.
//
// Priors, spreads and reading errors are named constants in params.go and origin.go; the rates of
// wear stand with the metals, in internal/book/data/metals.json. Those without a
// published source are marked “assumed”. They decide little where
// the weight tells alloys apart, and where it doesn't, the verdict says so
// rather than lean on them.
//
// # Coins that may be half put down
//
// An estimate says with which chance P a hand still holds the coin or leans on it, and how
// sure the weight is if none does. A part of one coin seldom weighs like another, so an
// ordinary alloy is named by the narrow uncertainty u, if its whole coins are 10,000 times
// likelier than parts of all the others, taken as uniform from a tenth of a coin to twice
// its mass:
//
//	(1 − P)·P(a)·f_a(y; u) ≥ 10,000 · P·Σ P(b)·h(y; m_b)  over b ≠ a
//
// Otherwise no alloy is named before the doubt is gone. Limits are judged by the wide
// uncertainty. See half.go.
//
// # What to do next
//
// Where weight, date and mark leave one thing to see between ordinary and rare, the
// verdict has a Question of the coin book (asks.go). Its answer comes in with the next
// question: a rare variety is to look at, though its weight is ordinary; where the mark tells the
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
//	alloy claims                            75,075    81,881    82,157
//	  of them true                          99.5 %    99.6 %    99.7 %
//	“within” claims true (made at 97.5 %)   99.98 %   99.99 %   100 %
//	“below” claims true (made at 97.5 %)    99.97 %   99.98 %   100 %
//	ordinary coins to look at               0.7 %     1.0 %     1.0 %
//	coins of the jars called for an expert  1         0         0
//	rare coins that weight can separate     8,128     11,062    11,274
//	  of them caught                        99.9 %    99.97 %   99.98 %
//
// Most of the ordinary coins to look at are of standards left long ago and so
// are seldom met, such as half dollars of before 1853.
//
// Two more worlds are plain lists of what lies in bank rolls and in inherited boxes,
// weighed on a step of 0.01 g as coins of that origin. Where silver is claimed,
//
//	                     no date read           date read
//	                     stated    true         stated    true
//	rolls of dimes       55 %      61 %         96 %      91 %
//	rolls of quarters    97 %      100 %        99.6 %    100 %
//	rolls of halves      89 %      100 %        87 %      87 %
//	rolls of five cents  never claimed          78 %      90 %
//	inherited dimes      98.8 %    99.3 %       99.5 %    99.5 %
//	inherited quarters   99.4 %    99.8 %       99.5 %    99.6 %
//	inherited halves     97.2 %    99.3 %       99.7 %    99.8 %
//	inherited dollars    99.5 %    99.1 %       99.6 %    99.2 %
//	inherited five cents never claimed          96 %      89 %
//
// In the rolls one coin in 2,000 is silver, and in those of dimes one in 3,000 a zinc
// cent. As coins of a jar the dimes among these were called silver at 99.5 %. All
// figures are simulated.
//
// A rare coin counts as separable if the range of its planchet, at three
// standard deviations with the scale’s, lies clear of every regular coin that
// was asked for; as caught if the call is to look and its kind and mass are
// listed.
package verdict
