package calibration

import (
	"cmp"
	"math"
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Class is an accuracy class of weights of OIML R 111-1.
type Class string

// The classes in use for balances of this size, finest first.
const (
	E2 Class = "E2"
	F1 Class = "F1"
	F2 Class = "F2"
	M1 Class = "M1"
)

// Classes lists them, finest first.
var Classes = []Class{E2, F1, F2, M1}

// limits are maximum permissible errors in milligrams for E2, F1, F2 and M1.
// Source: OIML R 111-1:2004, table 1, read in a weight maker's reprint.
var limits = []struct {
	grams float64
	mg    [4]float64
}{
	{1, [4]float64{0.03, 0.10, 0.3, 1.0}},
	{2, [4]float64{0.04, 0.12, 0.4, 1.2}},
	{5, [4]float64{0.05, 0.16, 0.5, 1.6}},
	{10, [4]float64{0.06, 0.20, 0.6, 2.0}},
	{20, [4]float64{0.08, 0.25, 0.8, 2.5}},
	{50, [4]float64{0.10, 0.3, 1.0, 3.0}},
	{100, [4]float64{0.16, 0.5, 1.6, 5.0}},
	{200, [4]float64{0.3, 1.0, 3.0, 10}},
}

// Limit is the maximum permissible error, in grams either way, of a weight of a
// class. ok is false for a nominal that the table hasn't or an unknown class.
func Limit(nominal mass.Grams, c Class) (limit mass.Grams, ok bool) {
	for _, row := range limits {
		if math.Abs(row.grams-float64(nominal)) > 1e-9 {
			continue
		}
		for i, k := range Classes {
			if k == c {
				return mass.Grams(row.mg[i] / 1000), true
			}
		}
	}
	return 0, false
}

// Weight is what is put on the pan. With a class or a certificate's value it is
// a check weight; with neither it is some object, good for repeatability only.
type Weight struct {
	Nominal mass.Grams
	Class   Class // "" if none is known
	// Value is the conventional mass from a certificate, 0 if there is none, and
	// U its standard uncertainty: half of what certificates give with k = 2.
	Value, U mass.Grams
	// Density in g/cm³ makes Value the mass in vacuum of a piece of that density
	// instead; 0 if Value is conventional.
	Density float64
}

// Known reports whether it is a check weight.
func (w Weight) Known() bool { return w.Class != "" || w.Value != 0 }

// Mass is the conventional mass and its standard uncertainty: the certificate's,
// or the nominal value with limit/√3, rectangular within the class's limits. It
// is zero for an object that is no check weight.
func (w Weight) Mass() (m, u mass.Grams) {
	switch {
	case w.Value != 0 && w.Density != 0:
		return Conventional(w.Value, w.Density), w.U
	case w.Value != 0:
		return w.Value, w.U
	}
	limit, ok := Limit(w.Nominal, w.Class)
	if !ok {
		return 0, 0
	}
	return w.Nominal, limit / mass.Grams(math.Sqrt(3))
}

// Name is the weight as a person calls it: “20 g F2”.
func (w Weight) Name() string {
	g := w.Nominal
	if g == 0 {
		g = w.Value
	}
	if g == 0 {
		return "the object"
	}
	return strings.TrimSpace(written(float64(g)) + " g " + string(w.Class))
}

// named is Name, to be written in a language.
func (w Weight) named() say.Line {
	g := cmp.Or(w.Nominal, w.Value)
	switch {
	case g == 0:
		return say.New("check-object")
	case w.Class == "":
		return say.New("check-grams", say.Figure("mass", written(float64(g))))
	}
	return say.New("check-grams-of-class", say.Figure("mass", written(float64(g))), say.Text("class", string(w.Class)))
}

const (
	airDensity       = 0.0012 // g/cm³, conventional
	referenceDensity = 8.0    // g/cm³, conventional
)

// Conventional is the conventional mass of a piece of mass m and density ρ in
// g/cm³:
//
//	m·(1 − 0.0012/ρ) / (1 − 0.0012/8.0)
//
// Source: OIML D 28:2004, by its definition of the conventional mass.
func Conventional(m mass.Grams, density float64) mass.Grams {
	return m * mass.Grams((1-airDensity/density)/(1-airDensity/referenceDensity))
}

// CoinWarning says why a coin is no check weight. The limit is that of 31 U.S.C.
// 5113(a): for the five-cent coin ±0.194 g on a single piece.
func CoinWarning() say.Line { return say.New("check-coin") }
