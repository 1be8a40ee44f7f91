package dialect

import (
	"strings"

	"panside/internal/fault"
	"panside/internal/say"
)

var (
	tooMuch   = fault.New(fault.Overload, say.New("scale-overload"))
	tooLittle = fault.New(fault.Underload, say.New("scale-below-range"))

	// recognising is said while lines fit a format and it isn't sure yet.
	recognising   = fault.New(fault.Recognising, say.New("scale-format-uncertain"))
	notAScale     = fault.New(fault.NotAScale, say.New("scale-format-unknown"))
	noUnit        = fault.New(fault.UnknownUnit, say.New("scale-no-unit"))
	gramOrGrain   = fault.New(fault.AmbiguousUnit, say.New("scale-gram-or-grain"))
	unsureOver    = fault.New(fault.Overload, say.New("scale-dashes-or-error"))
	weakBattery   = fault.New(fault.ScaleFault, say.New("scale-battery-low"))
	ownUnit       = fault.New(fault.RefusedUnit, say.New("scale-unit-of-its-own"))
	commaUnclear  = fault.New(fault.Recognising, say.New("scale-comma-unclear"))
	grossHeld     = fault.New(fault.NotTheLoad, say.New("scale-gross-held"))
	nameless      = fault.New(fault.NotTheLoad, say.New("scale-weights-nameless"))
	busy          = fault.New(fault.NotTheLoad, say.New("scale-adjusting"))
	notUnderstood = fault.New(fault.NotTheLoad, say.New("scale-question-not-understood"))
)

// broken gives the words for the outcomes that yield no reading.
var broken = map[Outcome]*fault.Error{
	NotMine:     fault.New(fault.Garbled, say.New("scale-line-of-another-format")),
	Cut:         fault.New(fault.Garbled, say.New("scale-line-cut")),
	BadLength:   fault.New(fault.Garbled, say.New("scale-line-length")),
	BadChecksum: fault.New(fault.Garbled, say.New("scale-line-checksum")),
	Impossible:  fault.New(fault.Garbled, say.New("scale-line-impossible")),
}

// problem is what a person reads of a result that yields no value.
func (r Result) problem() *fault.Error {
	if r.Problem != nil || r.Outcome == Read {
		return r.Problem
	}
	return broken[r.Outcome]
}

func notTheLoad(what say.Line) *fault.Error {
	return fault.New(fault.NotTheLoad, say.New("scale-not-the-load", say.Of("what", what)))
}

func scaleFault(says say.Line) *fault.Error {
	return fault.New(fault.ScaleFault, say.New("scale-fault", say.Of("says", says)))
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
		return withoutWeight(scaleFault(say.New("scale-says-dashes"))), true
	}
	return rangeWord(word)
}

// withStatus gives a result other words.
func withStatus(r Result, why *fault.Error) Result {
	r.Problem = why
	return r
}
