package settle

// Times are in seconds, weights in grams. None of these is a property of one
// scale; they say what hands do, what counts as a load, and how long what is
// seen must last to be believed. All are assumed, and tried on simulated
// evenings (internal/simscale).

// How loads change.
const (
	usualLoad   = 8.0  // standard deviation of a load before anything is seen of it
	freshRate   = 0.1  // changes a second without a hand at work
	nextRate    = 0.5  // the same for nextWithin after the pan was emptied
	nextWithin  = 3.0  // for which the next load is expected
	emptyLeast  = 0.15 // from taking a coin to the landing of the next
	quickWithin = 0.4  // after taking a coin in which few put the next one down
	returnSD    = 0.01 // by which a knock changes a load
	emptySD     = 0.01 // by which an emptied pan misses its zero
)

// The logarithms of the chances that a change, where something lies, empties
// the pan or doesn't; that one in a run of changes ends them as they began or
// doesn't; of a next coin within quickWithin, and after a whole pile was taken;
// and that a single load gets lighter without being taken.
const (
	emptiesOdds = -0.92 // ln 0.4
	staysOdds   = -0.51 // ln 0.6
	returnOdds  = -1.20 // ln 0.3
	onwardOdds  = -0.36 // ln 0.7
	quickOdds   = -3.0  // ln 0.05
	pileOdds    = -6.0  // ln 0.0025
	lighterOdds = -4.0  // ln 0.02
)

// Hands.
const (
	handPart      = 0.3    // of a load's standard deviation: a hand's further changes
	handTime      = 0.12   // for which a hand usually goes on changing the load
	handStays     = 0.4    // for which a slow hand does
	handSlow      = 0.25   // of a hand's work, and a line's period, from which it is slow
	handShort     = 0.07   // decay of the suspicion that a hand is there, after a moment's work
	handLong      = 0.2    // added to it after half a second's work
	handBusy      = 0.9    // suspicion that a hand stays on after half a second's work
	handPasses    = 0.0005 // suspicion that is let pass
	handForce     = 2.0    // part of the load that a hand may still add or take
	handRest      = 3.0    // g that it may still add to however little is seen
	handTremble   = 0.03   // part of the load it bears on by which a hand trembles
	handShakes    = 0.05   // g by which it trembles besides
	handSure      = 6.0    // in ln, that steady readings can tell of no hand
	steadyEnough  = 1.5    // of that, for a load that was taken before it came to rest
	letsGo        = 0.05   // part of the load by which it gets lighter when a hand leaves it
	lingersAt     = 0.25   // of a hand's work, and a line's period, from which it lingers
	lingersSeldom = 0.1    // part of landings from which on a hand must be expected
	handMemory    = 0.95   // of earlier landings, at each new one
	landings      = 3      // clean ones after which a scale is no longer quite new
)

// Coins half put down. TestHalfPutDown and TestVerdictBeforeTheStableSign hold
// halfPasses from both sides; TestHabit and TestOddsOfAKind hold the others.
const (
	handLeast   = 0.2   // for which a hand at least holds a coin half put down
	handLongest = 1.2   // and at most
	halfPasses  = 0.001 // chance of a half-way stand that is let pass
	halfSettles = 0.02  // chance of one, beyond that, that keeps a weight from being told
	remembered  = 32    // weights told
	leastKind   = -7.0  // in ln, of a kind of person against the likeliest
	kindLeast   = 0.03  // g, standard deviation of the weights of coins of one kind at least,
	kindPart    = 0.01  // and as a part of them
	heaviest    = 100.0 // times the lightest load that any may be
)

// Shares of landings that stand still half-way, and how common people are who have
// them.
var (
	halfShares = [...]float64{0.0005, 0.03, 0.1, 0.25, 0.5}
	halfPrior  = [...]float64{0.55, 0.12, 0.13, 0.12, 0.08}
)

// What is learnt of a scale.
const (
	startNoiseFactor = 2.0  // factor on the variance of shape and time, before it is learnt
	leastNoiseFactor = 0.06 // least that this factor is learnt to be
	mostNoiseFactor  = 4.0
	mismatch         = 0.02 // error of a shape, as a part of the load still to show
	neighbour        = 3.5  // in ln, that a shape is at most less likely than the next
	fitsWell         = -3.0 // in ln, of a shape against the best
	responses        = 3.3  // times the slowest time constant that fits: a little over its t95
	leftPart         = 0.3  // of what is still to show, by which a forecast of it is wrong
	youngSpread      = 3.0  // and by how much more on a scale of which no landing was seen
	spreadPart       = 1.3  // of the mixture's spread, since its tails are longer than a normal's
	repeatsLast      = 1.3  // that a display of several lines lasts at most
	repeatMemory     = 0.9
	repeatsSeen      = 2.0
	wobbleGain       = 0.03 // of the running variance at rest
	tooFew           = 16.0 // branches so much below the best, in ln, are dropped
	negligible       = 1e-6 // weight of a branch that isn't asked
	perShape         = 5    // branches kept for each shape
)

// What counts as a load.
const (
	apart        = 0.25 // quiet between two runs of changes
	together     = 1.0  // the same between two loads on top of one another, where no sign tells of rest
	layQuiet     = 0.3  // quiet after which what lies there counts, though it is taken again
	layStill     = 0.5  // the same of a display that stands still, at most,
	stoodLeast   = 0.3  // and at least, on a scale that responds so fast
	calmPart     = 0.01 // of a load, within which it counts as calm under no finger: TestALoadThatCreepsIsCounted
	calmDisplays = 4    // displays that show it
	pileQuiet    = 1.0  // the same for one on top of others, where it may be the hand that takes them
	leastLoad    = 0.05 // nothing lighter is weighed as a coin
	noCoin       = 0.15 // nothing lighter is told: an empty pan swings by so much: TestZeroAfterASwing
	leastOnTop   = 0.3  // nor, where something lies already, than this: it may have been exchanged
	forSure      = 5.0  // times its u that a load must be to count
	minSteps     = 4.0  // steps of the display that it must be
	minPart      = 0.05 // part of an earlier load, not yet at rest, that it must be
	minUnseen    = 0.5  // part of what that one had still to show that it must be
	unseenSD     = 0.1  // standard deviation of the latter, as a part of it
	sameLoad     = 1.5  // weight that goes off so soon belongs to the landing
	agreed       = 0.9  // weight of opinion that settles a question
	likeBefore   = 0.8  // the same, that a load like the last one is another
	deepDip      = 0.3  // part of a single load: a display that falls by it saw it taken
	slightDip    = 0.1  // the same, that it may fall by while something is put on top
	lightFor     = 0.08 // of a whole load's absence, as a knock may feign
	absentFor    = 0.1  // s, for which an exchanged coin is gone at least, as the display has to show it
	swing        = 0.5  // of that area, by which a knock would show more above the load
)

// What loads are told apart by that the display hardly showed.
const (
	alikeSD        = 0.25 // g, up to which a load is known well enough to weigh as one before: TestFingerOnAnEmptyPan
	feeds          = 2.5  // within which loads follow one another where somebody feeds: TestFeeder
	liftLeast      = 0.2  // between displays, in which no coin may be exchanged for another,
	liftLasts      = 0.45 // and in which one may: TestExchangedBetweenTwoLines
	liftSlow       = 0.1  // and it shows for longer where the display takes two steps to rise
	stepOdds       = 5.0  // that a display which stands on its way up shows two coins and not one in two movements: TestPileThatHardlyRests
	grownOdds      = 5.0  // that what came on top of a load is the rest of it, and no other coin: TestTwoMovementsFarApart
	halfTail       = 0.1  // of coins held half put down, those held for longer than handLongest,
	halfFades      = 1.0  // and the mean time for which these are, s
	lightCoin      = 1.0  // g, from which on an unknown weight may be a coin of a pile
	goesOn         = 0.7  // chance that who piles coins goes on to
	halfNear       = 0.7  // of coins put down in two movements, those that stand at about half their weight
	exchangePasses = 0.05 // odds of an exchange that are let pass: TestPileOfKnownCoins
)

// Rest.
const (
	restQuiet    = 1.0 // without a change before a load rests, longer than one is held half put down
	restSigned   = 0.2 // the same under a stable sign that is known to work
	restLines    = 2.5 // line periods that a rest lasts at least
	restStill    = 0.5 // part of that for which the display must have stood still, too
	refine       = 2.0 // of rest over which the weight is still refined
	flatFor      = 1.2 // of equal readings after which all rests, whatever the model says
	flatSigned   = 0.4 // the same under a stable sign that is known to work
	flatLines    = 5
	flatTells    = 0.25 // of equal readings after which they say more than the model
	flatDisplays = 3.0  // equal displays that it takes for that
	rareTells    = 0.4  // of two equal displays that say as much, on a scale that shows few
	flatSure     = 1.3  // in ln, that each equal display tells of no trembling hand
	flatLooks    = 6.0
	slipSteps    = 1.5  // of the display, by which it leaves a told weight as the sign goes out
	justBefore   = 0.6  // a change, in which displays tell what a level showed
	showedLines  = 5    // that tell it at least: TestGroundThatWalks
	partsPart    = 0.3  // of a load that came on in parts, that it is unsure by on its way
	fellPart     = 0.3  // of a single load: how unsure the display is at a part of it
	fellFor      = 2.0  // of equal readings at a part of a load that nobody took, before they are a rest
	signLate     = 4.0  // of equal readings that a working sign calls unstable
	stillSlow    = 2.0  // of those that one calls unstable that has come on before: longer than a load is held half put down
	mostBand     = 3.0  // steps that the band of readings at rest is at most
	coinHides    = 0.01 // g that it may be on a finer scale
	foundPart    = 0.05 // part of a load found on the pan by which it may still change
	wokenSteps   = 1.5  // by which the first display of an empty pan may miss its zero
	silence      = 1.0  // of unusable lines after which nothing is known
)

// What a weight rests on before it is told.
const (
	layBelow      = 1.2  // since the load below changed: longer than one is held half put down
	zeroStood     = 0.3  // of an empty pan, since the lines came
	bareDisplays  = 2    // of one that doesn't rest by the model: TestZeroOfTheLastMoments
	zeroLines     = 5    // of it, when they come late
	restsFor      = 0.35 // of a display that stands still
	restsDisplays = 3
	disproved     = 2.0  // of a display that stands still and contradicts the weight
	nearPart      = 0.35 // of the band of readings, by which a weight may differ from the display's difference
)

// Zero, drift and span.
const (
	unprovenSpan = 4e-4       // standard deviation of the span of a scale without a check, as a part of the load
	levelTime    = 0.6        // in which a level at rest follows a creep
	zeroTime     = 5.0        // in which the zero follows it on an empty pan
	zeroSoon     = 0.5        // in which it does once the pan has been empty for as long
	zeroCreep    = 0.004 / 60 // g a second that a zero creeps that nobody sees under a load
	zeroSteps    = 1.5 / 60   // steps a second that it does on a coarse scale
	zeroSD       = 0.003 / 60 // a second, standard deviation of such a zero
)
