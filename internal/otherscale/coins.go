package otherscale

import "math/rand/v2"

// Coin is one to be put down.
type Coin struct {
	Grams float64
	Alloy string // a word of the alloy's name; "" for a stranger
}

type standard struct {
	grams, tolerance float64
	alloy            string
}

// The standards of the United States Mint as in package coin; the tolerances
// are statutory, those of the silver coins of 1873 are 1.5 grains.
var standards = map[string][]standard{
	"cent":    {{3.11, 0.13, "bronze"}, {2.5, 0.13, "copper-plated zinc"}},
	"nickel":  {{5, 0.194, "copper-nickel"}},
	"dime":    {{2.268, 0.091, "clad"}, {2.5, 0.097, "90% silver"}},
	"quarter": {{5.67, 0.227, "clad"}, {6.25, 0.097, "90% silver"}},
}

// Foreign coins that lie in the same jars. Masses from memory.
var foreign = []float64{2.35, 2.07, 1.75, 3.95, 4.6, 5.05, 3.24, 2.8, 7.5, 4.1}

// Draw gives a coin from a jar of a denomination: as made within the mint's
// tolerance, one in fifty a foreign one.
func Draw(denomination string, rng *rand.Rand) Coin {
	if rng.IntN(50) == 0 {
		return Coin{Grams: foreign[rng.IntN(len(foreign))] * (1 + 0.01*rng.NormFloat64())}
	}
	all := standards[denomination]
	s := all[rng.IntN(len(all))]
	for {
		// A third of the tolerance as standard deviation; a coin beyond it is
		// not let out of the mint.
		off := rng.NormFloat64() / 3
		if off > -1 && off < 1 {
			return Coin{Grams: s.grams + off*s.tolerance, Alloy: s.alloy}
		}
	}
}
