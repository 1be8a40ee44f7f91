package simscale

import (
	"time"

	"panside/internal/mass"
)

// Filter names the firmware's digital filter.
type Filter string

// The digital filters. FilterTime is the window of the average or the time
// constant of the exponential.
const (
	FilterExponential Filter = "exponential"
	FilterAverage     Filter = "average"
	FilterCascade     Filter = "cascade" // two equal exponentials in a row
	FilterMixed       Filter = "mixed"   // an average and then an exponential of a third of its window

	// FilterTriangle is two equal averages in a row, FilterTime long together:
	// a step takes several of the converter's periods to come through.
	FilterTriangle Filter = "triangle"
	// FilterAdaptive is a running mean of up to FilterSamples conversions, let go
	// while they differ from it by more than FilterBand steps of the display, the
	// first of them excepted. It has no FilterTime.
	FilterAdaptive Filter = "adaptive"
)

// Sign names the rule for the stable sign.
type Sign string

// The rules for the stable sign. The zero value is SignCount.
const (
	// SignCount: StableCount displays lie within StableBand steps.
	SignCount Sign = ""
	// SignTime: the signal, before it is rounded, stayed within StableWithin
	// steps for StableTime.
	SignTime Sign = "time"
	// SignSticky: comes as SignCount does, and stays while the display walks by
	// single steps.
	SignSticky Sign = "sticky"
	// SignNone: the scale never says.
	SignNone Sign = "none"
)

// Config describes one scale. Masses are in grams; a zero value means “none”
// wherever that makes sense. DefaultConfig gives a whole one.
type Config struct {
	Seed       uint64
	Resolution mass.Decimal // step d of the display, in g
	Capacity   mass.Grams   // over above capacity + 9 d
	UnderLimit mass.Grams   // under when this much lighter than when switched on

	LineRate float64 // lines a second
	Jitter   float64 // standard deviation of a line's moment, in seconds
	Repeat   int     // lines of each display; 0 is 1
	Uneven   float64 // standard deviation of the time between lines, as a part of its mean; replaces Jitter

	NaturalHz float64 // of the load cell with its pan
	Damping   float64 // ζ, 0 to 1

	SampleRate float64 // conversions a second
	Filter     Filter
	FilterTime float64 // seconds

	FilterBand    float64 // of FilterAdaptive, in steps; 0 is 2
	FilterSamples int     // of FilterAdaptive; 0 is 50

	Noise     mass.Grams // standard deviation of one conversion
	Draught   mass.Grams // standard deviation of the slow wobble of the air
	Drift     mass.Grams // steady thermal drift of the zero, per hour
	WarmUp    mass.Grams // further drift that dies away over 15 minutes
	Flicker   mass.Grams // standard deviation of noise that averaging hardly helps
	Wander    mass.Grams // a minute: standard deviation of a drift that goes both ways
	Creep     float64    // part of the load that comes late (negative: goes)
	CreepTime float64    // seconds, its time constant

	GainError   float64    // relative error of the span
	Placement   mass.Grams // standard deviation between placements of one load (repeatability)
	NoTracking  bool       // switches zero tracking off
	TrackSteps  bool       // sets zero once a second, by a step at most, in place of slowly
	StableCount int        // the stable sign comes when so many values
	StableBand  int        // lie within so many steps of one another
	AutoOff     time.Duration

	Sign         Sign
	StableTime   float64 // seconds, of SignTime
	StableWithin float64 // steps, of SignTime
}

// DefaultConfig is an ordinary pocket scale of 200 g by 0.01 g: about 2.5 s
// from a coin's landing to the stable sign, ten lines a second, off after two
// idle minutes.
func DefaultConfig() Config {
	return Config{
		Seed:        1,
		Resolution:  mass.NewDecimal(1, 2),
		Capacity:    200,
		UnderLimit:  20,
		LineRate:    10,
		NaturalHz:   15,
		Damping:     0.15,
		SampleRate:  80,
		Filter:      FilterExponential,
		FilterTime:  0.27,
		Noise:       0.006,
		Draught:     0.0008,
		Drift:       0.02,
		WarmUp:      0.03,
		Placement:   0.002,
		StableCount: 10,
		StableBand:  1,
		AutoOff:     2 * time.Minute,
	}
}
