package dialect

import (
	"panside/internal/fault"
	"panside/internal/mass"
)

// Ask is a question that only the person can answer, by looking at the scale.
type Ask string

// The questions of a Decoder.
const (
	AskNothing Ask = ""
	// AskUnit: the lines are numbers and nothing else. Options.Unit answers it.
	AskUnit Ask = "unit"
	// AskGr: the lines say "gr", which scales print for the gram and for the
	// grain. Options.Gr answers it.
	AskGr Ask = "gr"
)

// Units are the answers worth a button, the likeliest first.
func (a Ask) Units() []mass.Unit {
	switch a {
	case AskUnit:
		return []mass.Unit{mass.Gram, mass.Ounce, mass.Grain, mass.Carat, mass.Pennyweight, mass.TroyOunce, mass.Milligram, mass.Kilogram, mass.Pound}
	case AskGr:
		return []mass.Unit{mass.Gram, mass.Grain}
	}
	return nil
}

// fault is what a line says that leaves the question open.
func (a Ask) fault() *fault.Error {
	if a == AskGr {
		return gramOrGrain
	}
	return noUnit
}

// NeedsUnit tells what only the person can say before the lines count, as soon
// as the format is certain; ask is AskNothing otherwise. digits are the number
// of the newest such line as the scale sent it ("3.11"), to be held against the
// display. The question stands until a weight arrives. The answer goes into the
// Options of a new Decoder.
func (d *Decoder) NeedsUnit() (ask Ask, digits string) {
	if d.settled < 0 {
		return AskNothing, ""
	}
	return d.ask, d.asked
}

// wonder notes what a line of the settled format leaves open.
func (d *Decoder) wonder(r Result) {
	switch {
	case r.Outcome == Read && r.ask != AskNothing:
		d.ask, d.asked = r.ask, r.Quantity.Value.String()
	case r.HasValue:
		d.ask, d.asked = AskNothing, ""
	}
}

// unanswered is the result of a line with a number whose unit has to be asked
// for. The number stays in it for NeedsUnit only.
func (r Result) unanswered(a Ask) Result {
	out := withoutWeight(a.fault())
	out.ask, out.Quantity.Value = a, r.Quantity.Value
	return out
}

// gr is what "gr" means on this scale: as the person says, or the one of the
// two for which the scale has shown another word, left out. "" if unknown.
func (d *Decoder) gr() mass.Unit {
	switch {
	case d.opts.Gr != "":
		return d.opts.Gr
	case d.sitting.gram && !d.sitting.grain:
		return mass.Grain
	case d.sitting.grain && !d.sitting.gram:
		return mass.Gram
	}
	return ""
}
