package verdict

import (
	"math"
	"slices"
	"strings"

	"panside/internal/coin"
)

// variant is one fineness within a family, as silver of 89.24 and of 90 %: a
// searcher counts them as one metal, and weight seldom tells them apart.
type variant struct {
	name      string
	fractions []coin.Fraction
}

// sameFineness is how near two shares of the main element are to be one.
const sameFineness = 0.002

// vary notes the alloy's fineness if the family hasn't got it yet.
func (f *family) vary(a coin.Alloy) {
	if f.variant(a) >= 0 || len(a.Fractions) == 0 {
		return
	}
	f.variants = append(f.variants, variant{a.Name, a.Fractions})
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

// metal names a family as far as date and weight tell its fineness: “90 %
// silver”, or “silver, 90 % or 89.24 %” where that is open.
func (w *weighing) metal(f int) (name string, fractions []coin.Fraction) {
	fam := &w.families[f]
	if len(fam.variants) < 2 {
		return fam.name, fam.fractions
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
	var open []string
	for i, x := range sums {
		if x > sums[best] {
			best = i
		}
		if x*(DecisiveOdds+1) > total {
			open = append(open, fam.variants[i].name)
		}
	}
	if total > 0 && len(open) > 1 {
		if metal, rest := fineness(open); metal != "" {
			return metal + ", " + rest, fam.fractions
		}
	}
	if !(total > 0) {
		return fam.name, fam.fractions
	}
	return fam.variants[best].name, fam.variants[best].fractions
}

// fineness joins names like “90% silver” and “40% silver” to “silver” and
// “90 % or 40 %”; metal is empty if they aren't all of one metal.
func fineness(names []string) (metal, list string) {
	var parts []string
	for _, n := range names {
		part, of, ok := strings.Cut(n, "% ")
		if !ok || metal != "" && of != metal || strings.Contains(of, " ") {
			return "", ""
		}
		metal = of
		parts = append(parts, part+"%")
	}
	return metal, orList(parts)
}

// andList joins likewise: “a, b and c”.
func andList(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	n := len(s) - 1
	return strings.Join(s[:n], ", ") + " and " + s[n]
}

// metalList joins the names of metals, each metal named once: “clad, 40% or 90%
// silver” for clad, 40% silver and 90% silver.
func metalList(names []string) string {
	for n := 2; n <= len(names); n++ {
		at := len(names) - n
		if metal, list := fineness(names[at:]); metal == "" {
			break
		} else if n == len(names) || !strings.HasSuffix(names[at-1], "% "+metal) {
			return strings.Join(append(slices.Clone(names[:at]), list+" "+metal), ", ")
		}
	}
	return orList(names)
}

// orList joins as people write: “a, b or c”.
func orList(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	n := len(s) - 1
	return strings.Join(s[:n], ", ") + " or " + s[n]
}
