package dialect

import (
	"strings"

	"panside/internal/fault"
)

var (
	tooMuch   = fault.New(fault.Overload, "There is more on the pan than the scale can weigh. No weight is shown; take something off.")
	tooLittle = fault.New(fault.Underload, "The scale reads below its range. No weight is shown; put the pan back on, or tare again with the pan empty.")

	// recognising is said while lines fit a format and it isn't sure yet.
	recognising   = fault.New(fault.Recognising, "Lines arrive from the scale; their format is not certain yet. No weight is shown until it is; this takes a few lines.")
	notAScale     = fault.New(fault.NotAScale, "Something arrives on this port, but in no scale format this program knows. No weight is shown; check the baud rate, pick the scale’s format by hand, or describe its lines with a pattern.")
	noUnit        = fault.New(fault.UnknownUnit, "The scale sends numbers without a unit. No weight is shown; tell the program which unit the scale shows.")
	gramOrGrain   = fault.New(fault.AmbiguousUnit, "The scale sends “gr”, which can mean grams or grains. No weight is shown; tell the program which of the two the scale shows.")
	unsureOver    = fault.New(fault.Overload, "The scale shows dashes or an error where the weight would be, as most do with too much on the pan. No weight is shown; take something off, and see the scale’s manual if it stays.")
	weakBattery   = fault.New(fault.ScaleFault, "The scale says that its battery is low. No weight is shown; change or charge the battery.")
	ownUnit       = fault.New(fault.RefusedUnit, "The scale is showing a unit that its owner set up, which can’t be turned into grams. No weight is shown; press the scale’s unit key until it shows g.")
	commaUnclear  = fault.New(fault.Recognising, "The scale writes a comma that can mark decimals or thousands. No weight is shown until a line says which; take everything off the pan for a moment.")
	grossHeld     = fault.New(fault.NotTheLoad, "The scale sent a gross weight, and a net weight may follow. It is waited for; nothing is lost.")
	nameless      = fault.New(fault.NotTheLoad, "The scale printed several weights without saying which of them lies on the pan. None is shown; set its printout to the net weight alone.")
	busy          = fault.New(fault.NotTheLoad, "The scale can’t give a weight at this moment; it is adjusting itself or waiting for rest. Nothing is lost.")
	notUnderstood = fault.New(fault.NotTheLoad, "The scale did not understand the question for its weight. Nothing is lost; set it to continuous output, or pick its format by hand.")
)

// broken gives the words for the outcomes that yield no reading.
var broken = map[Outcome]*fault.Error{
	NotMine:     fault.New(fault.Garbled, "The scale sent a line that is not in its usual format. It was left out and nothing is lost; the next good line counts."),
	Cut:         fault.New(fault.Garbled, "A line from the scale arrived incomplete. It was left out and nothing is lost; the next good line counts."),
	BadLength:   fault.New(fault.Garbled, "A line from the scale has the wrong length, as if characters went missing or two lines ran together. It was left out and nothing is lost; the next good line counts."),
	BadChecksum: fault.New(fault.Garbled, "A line from the scale fails its checksum. It was left out and nothing is lost; if this goes on, look at the cable."),
	Impossible:  fault.New(fault.Garbled, "A line from the scale holds a number that can’t be. It was left out and nothing is lost; if this goes on, look at the cable and the baud rate."),
}

// problem is what a person reads of a result that yields no value.
func (r Result) problem() *fault.Error {
	if r.Problem != nil || r.Outcome == Read {
		return r.Problem
	}
	return broken[r.Outcome]
}

func notTheLoad(what string) *fault.Error {
	return fault.New(fault.NotTheLoad, "The scale sent "+what+" instead of the load on the pan. The line was left out; nothing is lost.")
}

func scaleFault(says string) *fault.Error {
	return fault.New(fault.ScaleFault, "The scale reports a fault of its own ("+says+"). No weight is shown; see the scale’s manual, and switch it off and on.")
}

// outOfRange reads what scales put where the value would be. Common practice.
func outOfRange(field string) (r Result, found bool) {
	word := strings.Trim(field, " ")
	switch {
	case word == "":
		return Result{}, false
	case strings.Trim(word, "^") == "":
		return overload(), true
	case strings.Trim(word, "_") == "":
		return underload(), true
	case strings.Trim(word, "-") == "" && len(word) > 3:
		return withStatus(overload(), unsureOver), true
	case strings.Trim(word, "-") == "" && len(word) > 1:
		return withoutWeight(scaleFault("dashes instead of a weight")), true
	}
	return rangeWord(word)
}

// withStatus gives a result other words.
func withStatus(r Result, why *fault.Error) Result {
	r.Problem = why
	return r
}
