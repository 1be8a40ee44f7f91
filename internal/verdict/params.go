package verdict

import (
	"panside/internal/coin"
)

// Thresholds of what is said.
const (
	// DecisiveOdds is how much likelier than all others together the likeliest
	// alloy must be before it is named alone.
	DecisiveOdds = 20

	// minimumHelp is the least likelihood ratio between the likeliest alloy
	// and a rival for weight, date, mark and evidence to count as telling them
	// apart at all. Below it the verdict rests on how often coins turn up
	// alone, so no odds make it decisive.
	minimumHelp = 3

	// negligible is the posterior below which a rival alloy isn't one; those
	// above shown are listed all the same.
	negligible = 0.01
	shown      = 0.001

	// LookRatio is the likelihood ratio against ordinary wear and damage from
	// which an explanation, and its kind as a whole, makes the person look.
	LookRatio = 20

	// ExpertRatio is the likelihood ratio, against everything everyday (wear,
	// damage, other coins under the wrong key, strays, altered and false
	// pieces) from which a rare explanation is worth an expert's time. It
	// is asked of the kind as a whole, because with many planchets to choose
	// from one will fit by chance.
	ExpertRatio = 10_000

	// steerRatio is the likelihood ratio from which an explanation speaks for
	// itself: what to look at next may follow from it. Moderate support, and half
	// of what makes the person look.
	steerRatio = 10

	// mentionRatio is the likelihood ratio from which an explanation is listed.
	mentionRatio = 5

	// Confidence is the default probability for the tolerance answer
	// (JCGM 106:2012 leaves the choice to the user; 97.5 % on one side goes
	// with the usual 95 % two-sided coverage).
	Confidence = 0.975

	// agreeAtLeast is the probability that the model of how coins are made and
	// worn must leave a below or above before it is said; see tolerance.go.
	agreeAtLeast = 0.95

	// heavyWear is from how many times the mean loss wear explains a light coin
	// only if it looks worn flat: one in twenty lost so much. Assumed.
	heavyWear = 3

	// wornTail is the share of coins of that age and alloy that must have lost
	// as much for wear to explain a light coin. Assumed.
	wornTail = 0.01
)

// How coins are made, worn and found. All assumed unless a source is named.
const (
	// asOf is the year that ages are counted to. Ten years of error change a
	// wear loss by less than 0.4 %.
	asOf = 2026

	// limitInSigma: a mint that keeps a limit keeps it at three standard
	// deviations. Assumed.
	limitInSigma = 3

	// Relative standard deviations of coins as made where no limit of a single
	// piece is published. Base metal, and layers of any: like the cent's and
	// five-cent's limits (0.13 g of 3.11 g, 0.194 g of 5 g: 4 %) over three;
	// solid silver and gold: like the limits of 1873 (1.5 gr of 96 gr: 1.6 %;
	// 0.25 gr of 64.5 gr: 0.4 %).
	spreadBase   = 0.013
	spreadSilver = 0.005
	spreadGold   = 0.0013

	// circulationLife is the longest that a coin is taken to be handled, in
	// years. Silver and gold were handled until about these years, when they
	// left circulation. Assumed.
	circulationLife = 40
	silverUntil     = 1968
	goldUntil       = 1933

	// halfLife: a coin's chance of turning up halves with every so many years
	// of age, when no year is given; beyond hoardedAfter years, when collectors
	// have picked most of them out, with every hoardedLife. Assumed; a given
	// year replaces it.
	halfLife     = 40
	hoardedAfter = 100
	hoardedLife  = 15

	// collectorWeight is a collector issue's chance of turning up beside a
	// circulating one of the same year, collectorWear its wear. Assumed.
	collectorWeight = 0.02
	collectorWear   = 0.1

	// Shares of ordinary coins with dirt and with damage, and their mean change
	// of mass. Assumed.
	dirtShare   = 0.05
	dirtMean    = 0.005
	damageShare = 0.02
	damageMean  = 0.06
	// stainShare is the share whose colour is not the metal's: stained, burnt,
	// etched without losing much.
	stainShare = 0.02
)

// Priors of the mint's own errors, per coin. All assumed; the likelihood ratios
// shown don't depend on them. What else isn't an ordinary coin of the tapped
// denomination depends on the origin: see odds.
const (
	priorMissingLayer   = 2e-6
	priorWrongPlanchet  = 1e-6
	priorTransitional   = 1e-6
	priorWrongStock     = 1e-6
	priorDoubleStruckOn = 1e-7
	priorSplit          = 2e-6
)

// The broad background: relative spreads of false and altered pieces. Assumed.
const (
	counterfeitSpread = 0.08
	platedMean        = 0.03 // plated, soldered, filled: heavier
	groundMean        = 0.15 // ground, etched, holed: lighter
	unknownReach      = 3    // times the heaviest regular coin
)

// Reading errors of date and mint mark. Assumed.
const (
	misreadDate    = 0.01
	misreadMint    = 0.02
	misreadTwice   = 1e-4 // read twice, with a loupe
	misreadGuessed = 0.1
	misreadReach   = 20 // a misread date is taken to lie this near, in years

	// misreadFar is the share of misread dates that may be of any of farYears years: a
	// date left standing from another coin, a wrong century. farMost bounds how much
	// oftener, in years of coins, all coins together turn up than those of a date.
	misreadFar = 0.2
	farYears   = 150
	farMost    = 100

	otherMintMarks = 4 // a misread mark is any of so many others
)

// Size of neighbours.
const (
	// transitionReach is how many years beyond its own run an alloy's left-over
	// planchets may be struck. Assumed.
	transitionReach = 2
	// lateReach is how many years after its own run an alloy's left-over planchets
	// are looked for at all, lateShare how much rarer each later year is. Assumed:
	// planchets lay forgotten in bins and machines for some years.
	lateReach = 25
	lateShare = 0.2
	// fitsCollar is by how much a planchet may be wider than the coin and still
	// be struck with its dies, in millimetres. Assumed.
	fitsCollar = 0.3
	// foreignReach is how far a foreign coin's diameter may be off and still be
	// taken for the denomination, in millimetres. Assumed.
	foreignReach = 0.8
	// rareShare is the least share within its kind that is looked at when no
	// year is given; foreign coins are many, so theirs is lower, and lower still for
	// those of countries that no judgement is made for.
	rareShare     = 0.008
	foreignShare  = 0.002
	strangerShare = 0.00003
	// neighbourWeight is how much oftener a coin of the neighbouring country
	// strays in than one of another. Assumed.
	neighbourWeight = 10
	// strangerWeight is how much rarer a coin of a country that no judgement is made
	// for strays in than one of another country that isn't the neighbour. Assumed.
	strangerWeight = 0.03
	// strayListed is the least share of the best fitting foreign coin's fit for
	// another to be named beside it.
	strayListed = 0.2
)

// handledUntil is the year up to which coins of the alloy went from hand to
// hand.
func handledUntil(a coin.Alloy) int {
	switch {
	case a.Share("Au") > 0.5:
		return goldUntil
	case a.Share("Ag") > 0.3:
		return silverUntil
	}
	return asOf
}

// handled is for how many years a coin of that year was.
func handled(year, until int) float64 {
	return float64(min(max(until-year, 0), circulationLife))
}

// spread is the standard deviation of a planchet's mass as made, in grams:
// a third of the limit of a single piece, else an assumed share of the mass.
// A batch remedy isn't a limit of a piece and isn't used.
func spread(p coin.Planchet, a coin.Alloy) float64 {
	if p.Limit.Known() && p.Limit.Scope == coin.PerPiece {
		return p.Limit.Value / limitInSigma
	}
	share := spreadBase
	switch {
	case a.Share("Au") > 0.5:
		share = spreadGold
	case a.Share("Ag") > 0.3 && len(p.Layers) == 1:
		share = spreadSilver
	}
	return share * p.Mass.Value
}
