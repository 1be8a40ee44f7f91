package mass

import (
	"panside/internal/fault"
	"panside/internal/moment"
)

// Status is what one line of the scale says of itself.
type Status string

// The statuses of a reading, as printed by the listen command.
const (
	StatusStable  Status = "stable"  // the scale's own stable sign
	StatusMoving  Status = "moving"  // the scale says the load is in motion
	StatusOver    Status = "over"    // overload: no value
	StatusUnder   Status = "under"   // underload: no value
	StatusZero    Status = "zero"    // stable at the centre of zero
	StatusUnknown Status = "unknown" // a value, but the format has no status
	StatusError   Status = "error"   // not a weight: Problem says why
	StatusLooking Status = "looking" // no line, and no error: a scale is being looked for
)

// Reading is one line from the scale. Quantity counts only if HasValue.
type Reading struct {
	Raw        []byte
	At         moment.Time // when its last byte arrived
	Quantity   Quantity
	HasValue   bool
	Resolution Decimal // smallest step shown, in Quantity's unit; zero if not known
	Status     Status
	Dialect    string
	Problem    *fault.Error // only with StatusError, StatusOver or StatusUnder
}

// Phase is where the load on the pan stands.
type Phase string

// The phases of an estimate.
const (
	PhaseNone     Phase = "none"    // no usable reading yet, or none any more
	PhaseEmpty    Phase = "empty"   // nothing on the pan
	PhaseMoving   Phase = "moving"  // a load is settling or being handled
	PhaseSettled  Phase = "settled" // the load rests
	PhaseOver     Phase = "over"
	PhaseUnder    Phase = "under"
	PhaseWithheld Phase = "withheld" // a load rests whose weight can't be told: it must be put on again
)

// Estimate is what the readings so far say of the newest load: a coin put on an
// empty pan, or one dropped on a pile, weighed by difference.
type Estimate struct {
	Phase Phase
	// Mean is the best guess of the newest load's mass, meaningful in
	// PhaseMoving and PhaseSettled only. It is below zero once a pile rests from
	// which a load of mass −Mean was taken off (or a tared cup was lifted).
	Mean Grams
	// U is the standard uncertainty of Mean: the settling still to come
	// together with the scale's own (Scale.U). Mean ± 1.96·U holds the mass
	// 95 % of the time.
	U Grams
	// Half is the chance that Mean isn't the whole load, or more than it: a coin that a
	// hand still holds half put down, or leans on. U makes allowance for it; WholeU is the
	// standard uncertainty if it isn't so, not set where Half is 0. Both are for who asks
	// which of a few masses it is; PhaseMoving only.
	Half   float64
	WholeU Grams
	// Pile is all that lies on the pan, with the same phases as Mean: the level
	// above that of the empty pan. It equals Mean for a single load.
	Pile Grams
	// Resolution is the scale's step d.
	Resolution Grams
	// Placement counts loads since the start, so that one coin is judged once.
	// A load gets its number once it is sure to be one; before, the number is
	// still that of the load before. Should it turn out to be a knock or a
	// hand, the number is taken back and used again.
	Placement uint64
	// ScaleStable repeats the scale's own stable sign.
	ScaleStable bool
}

// HasLoad reports whether Mean and U mean anything.
func (e Estimate) HasLoad() bool {
	return e.Phase == PhaseMoving || e.Phase == PhaseSettled
}
