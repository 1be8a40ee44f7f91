package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/say"
)

// variant is one fineness within a family, as silver of 89.24 and of 90 %: a
// searcher counts them as one metal, and weight seldom tells them apart.
type variant struct {
	metal     metal
	fractions []coin.Fraction
}

// sameFineness is how near two shares of the main element are to be one.
const sameFineness = 0.002

// vary notes the alloy's fineness if the family hasn't got it yet.
func (f *family) vary(a coin.Alloy) {
	if f.variant(a) >= 0 || len(a.Fractions) == 0 {
		return
	}
	f.variants = append(f.variants, variant{metalOf(&a), a.Fractions})
}

// variant is the index of an alloy's fineness, −1 if it isn't there.
func (f *family) variant(a coin.Alloy) int {
	for i, v := range f.variants {
		if m := v.fractions[0]; math.Abs(a.Share(m.Element)-m.Share) < sameFineness {
			return i
		}
	}
	return -1
}

// metal names a family as far as date and weight tell its fineness: “90% silver”, or
// “silver, 90% or 89.24%” where that is open.
func (w *weighing) metal(f int) metal {
	m, _ := w.metalAndFractions(f)
	return m
}

func (w *weighing) metalAndFractions(f int) (metal, []coin.Fraction) {
	fam := &w.families[f]
	if len(fam.variants) < 2 {
		return fam.metal, fam.fractions
	}
	sums := make([]float64, len(fam.variants))
	total := 0.0
	for i := range w.own {
		if b := &w.blanks[w.issues[i].blank]; b.family == f {
			x := w.own[i].weight * w.own[i].ordinary
			sums[fam.variant(b.alloy)] += x
			total += x
		}
	}
	best := 0
	var open []metal
	for i, x := range sums {
		if x > sums[best] {
			best = i
		}
		if x*(DecisiveOdds+1) > total {
			open = append(open, fam.variants[i].metal)
		}
	}
	if total > 0 && len(open) > 1 && allFine(open) {
		return metal{forms: say.Forms{One: w.write(say.New("silver"))}, parts: w.write(finenesses(open))}, fam.fractions
	}
	if !(total > 0) {
		return fam.metal, fam.fractions
	}
	return fam.variants[best].metal, fam.variants[best].fractions
}
