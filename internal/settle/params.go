package settle

// Times are in seconds. None of these is a property of a scale; they say what
// hands do, and what counts as a load. All are assumed, and tried on simulated
// evenings.
const (
	usualLoad  = 8.0  // g, standard deviation of a load before anything is seen of it
	handPart   = 0.3  // of that: a hand's further changes
	freshRate  = 0.1  // changes a second without a hand at work
	handTime   = 0.12 // for which a hand goes on changing the load,
	handStays  = 0.4  // and one that has been at it for longer than
	handSlow   = 0.25 // this and a line's period
	handShort  = 0.07 // decay of the suspicion that a hand is there, after a moment's work
	handLong   = 0.15 // added to it after half a second's work
	handOnce   = 0.2  // suspicion right after a moment's work
	handBusy   = 0.7  // added to it after half a second's work
	handForce  = 2    // part of the load that a hand may still add or take,
	handRest   = 3.0  // g, and what it may still add to however little is seen
	landings   = 3    // clean ones after which a scale is no longer quite new
	spreadPart = 0.53 // of the mixture's spread: it is wider than needed, by trial

	startRough = 2.0  // factor on the variance of shape and time, before it is learnt
	leastRough = 0.3  //
	mostRough  = 4.0  //
	mismatch   = 0.02 // error of a shape, as a part of the load still to show

	apart     = 0.25 // quiet between two loads that can be told apart
	layQuiet  = 0.4  // quiet after which what lies there counts, once more comes on
	takenPart = 0.1  // of a load: no more is left of one that was taken off
	forSure   = 5.0  // a load counts once it is so many u,
	minSteps  = 4.0  // so many steps,
	minPart   = 0.05 // this part of an earlier load that hasn't come to rest,
	minUnseen = 0.5  // and this part of what that one had still to show.
	unseenSD  = 0.1  // standard deviation of the latter, as a part of it
	surePart  = 0.03 // standard deviation at which a load counts as weighed
	dipPart   = 0.3  // of a single load: a display that falls by it saw it taken off
	sameLoad  = 1.5  // weight that goes off so soon belongs to the landing

	restQuiet  = 0.4 // without a change before a load rests
	refine     = 2.0 // of rest over which the weight is still refined
	calmFor    = 0.8 // of equal readings after which all rests, whatever the model says
	calmLines  = 5
	levelTime  = 3.0        // in which a level at rest follows a creep
	zeroTime   = 5.0        // in which the zero follows it on an empty pan
	zeroCreep  = 0.1 / 3600 // g/s, of a zero that nobody sees under a load
	silence    = 1.0        // of unusable lines after which nothing is known
	staleLimit = 0.25       // for which a repeated line may be an old one
	tooFew     = 16.0       // branches so much below the best, in ln, are dropped
	perShape   = 4          // branches kept for each shape
	spreadGain = 0.03       // of the running variance at rest
	restLines  = 2.5        // line periods that a rest lasts at least
	lonely     = 3          // knots of a clean landing at most, to learn much from it
)
