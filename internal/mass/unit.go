package mass

import (
	"strings"

	"panside/internal/fault"
	"panside/internal/say"
)

// Unit is a unit of mass by its usual symbol.
type Unit string

// The units that scales for small loads display.
const (
	Gram        Unit = "g"
	Milligram   Unit = "mg"
	Kilogram    Unit = "kg"
	Carat       Unit = "ct"
	Grain       Unit = "gr"
	Pennyweight Unit = "dwt"
	TroyOunce   Unit = "ozt"
	Ounce       Unit = "oz"
	Pound       Unit = "lb"
)

// factors are grams per unit, exact by definition. The avoirdupois pound is
// 0.45359237 kg and the grain 1/7000 of it (international yard and pound
// agreement of 1959, as given in NIST SP 811 appendix B); the pennyweight is
// 24 and the troy ounce 480 grains; the metric carat is 200 mg (4th CGPM,
// 1907).
var factors = map[Unit]Decimal{
	Gram:        MustDecimal("1"),
	Milligram:   MustDecimal("0.001"),
	Kilogram:    MustDecimal("1000"),
	Carat:       MustDecimal("0.2"),
	Grain:       MustDecimal("0.06479891"),
	Pennyweight: MustDecimal("1.55517384"),
	TroyOunce:   MustDecimal("31.1034768"),
	Ounce:       MustDecimal("28.349523125"),
	Pound:       MustDecimal("453.59237"),
}

// spellings maps what scales print and people type to the unit, in lower case.
// "gn" is common on scale displays for the grain, where "gr" might be misread
// as gram; "gr" itself is the grain's usual symbol and is read as such. Scales
// that print "gr" for grams exist, so internal/dialect asks about theirs.
var spellings = map[string]Unit{
	"g": Gram, "gram": Gram, "grams": Gram, "gm": Gram, "gms": Gram,
	"mg": Milligram, "kg": Kilogram, "kgs": Kilogram,
	"ct": Carat, "cts": Carat, "crt": Carat, "car": Carat, "carat": Carat, "carats": Carat,
	"gr": Grain, "gn": Grain, "grn": Grain, "grain": Grain, "grains": Grain,
	"dwt": Pennyweight, "pwt": Pennyweight,
	"ozt": TroyOunce, "oz t": TroyOunce, "ozt.": TroyOunce, "toz": TroyOunce,
	"oz": Ounce, "ozs": Ounce, "lb": Pound, "lbs": Pound,
}

// refused are units that scales show and that have no single value, by the word that
// unit-refused in package say goes by.
var refused = map[string]string{
	"tl": "tael", "tael": "tael", "tl.h": "tael", "tl.t": "tael", "tl.c": "tael", "tlh": "tael", "tlt": "tael", "tlj": "tael", "hkt": "tael", "twt": "tael",
	"lb:oz": "pounds-ounces", "lb oz": "pounds-ounces", "lboz": "pounds-ounces",
	"t": "tons", "ton": "tons",
	"pcs": "pieces", "pc": "pieces", "nos": "pieces", "pieces": "pieces", "%": "percent",
}

// ParseUnit recognises the spellings that scales print and people type, in any
// case. Errors: fault.RefusedUnit for a unit without a single value,
// fault.UnknownUnit for the rest. The empty string is unknown too: a caller
// with a default applies it before.
func ParseUnit(s string) (Unit, error) {
	key := strings.ToLower(strings.TrimSpace(s))
	if strings.TrimSpace(s) == "Mg" {
		key = "t" // the megagram: here alone the case decides
	}
	if u, ok := spellings[key]; ok {
		return u, nil
	}
	if name, ok := refused[key]; ok {
		return "", fault.New(fault.RefusedUnit, say.New("unit-refused", say.Text("unit", name)))
	}
	return "", fault.New(fault.UnknownUnit, say.New("unit-unknown", say.Text("given", quoteable(s))))
}

// Factor is the exact number of grams in one unit. Error: fault.UnknownUnit.
func (u Unit) Factor() (Decimal, error) {
	f, ok := factors[u]
	if !ok {
		return Decimal{}, fault.New(fault.UnknownUnit, say.New("unit-unknown", say.Text("given", quoteable(string(u)))))
	}
	return f, nil
}
