package otherring

import "panside/internal/coin"

// A metal's stiffness is made of its elements, E in GPa, from memory of handbooks: annealed
// copper 122, nickel 203, iron 205, rolled fine silver 76, zinc 92. Between silver and copper,
// which don't dissolve in each other, compliances add by volume; in copper, what is dissolved
// stiffens or softens in proportion to its mass.
const (
	youngCopper = 122.0
	youngSilver = 76.0
	youngNickel = 203.0
	youngIron   = 205.0
)

// softens is the change of E, in GPa, by a hundredth of an element's mass dissolved in copper.
var softens = map[coin.Element]float64{"Ni": 0.86, "Zn": -0.45, "Sn": -1.5, "Al": -1.0, "Mn": 0.1}

// elastic is Young's modulus in GPa and Poisson's ratio; ok is false for a metal of which
// nothing is known here, such as zinc, whose modulus depends on how it was rolled.
func elastic(a coin.Alloy) (young, poisson, q float64, ok bool) {
	switch {
	case a.Share("Fe") > 0.9, a.Share("Fe") == 0 && len(a.Fractions) == 0 && a.Young.Value > 190:
		return youngIron, 0.29, 1800, true // plated steel of unpublished shares, too
	case a.Share("Ni") > 0.9:
		return youngNickel, 0.31, 1500, true
	case a.Share("Ag") > 0:
		silver, copper := a.Share("Ag")/10.49, (1-a.Share("Ag"))/8.94
		v := silver / (silver + copper)
		return 1 / (v/youngSilver + (1-v)/youngCopper), 0.343 + 0.025*v, 3200, true
	case a.Share("Cu") > 0.6:
		e := youngCopper
		for _, f := range a.Fractions {
			e += softens[f.Element] * 100 * f.Share
		}
		return e, 0.343, 2200, true
	}
	return 0, 0, 0, false
}
