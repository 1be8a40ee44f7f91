package coin_test

import (
	"math"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
)

// TestCanada: Royal Canadian Mint Act, R.S.C. 1985 c. R-9, schedule part 2.
// The margin is per kilogram of N pieces and never a piece's limit.
func TestCanada(t *testing.T) {
	for _, r := range table(t, "canada.csv") {
		for _, p := range planchets(t, r, "planchet") {
			near(t, p.ID+" mass", p.Mass.Value, r["mass_g"])
			graded(t, p.ID+" mass", p.Mass, "P")
			if n := r.number(t, "pieces") * p.Mass.Value; n < 993.6 || n > 1003.4 {
				t.Errorf("%s: %s pieces weigh %v g, not about a kilogram", p.ID, r["pieces"], n)
			}
			if p.Limit.Scope != coin.PerBatch || !strings.Contains(p.Limit.Batch, r["margin_g_per_kg"]+" g per kilogram of "+r["pieces"]+" pieces") {
				t.Errorf("%s: scope %s, rule %q", p.ID, p.Limit.Scope, p.Limit.Batch)
			}
			near(t, p.ID+" margin per piece", p.Limit.Value, r["margin_per_piece_g"])
			// The table's percentage was worked out from the rounded margin.
			near(t, p.ID+" relative margin", 100*r.number(t, "margin_per_piece_g")/p.Mass.Value, r["relative_percent"])
		}
	}
}

// TestCanadaEras: pages repeating the mint on the cent, encyclopaedias on dime and quarter; half and dollar from memory.
func TestCanadaEras(t *testing.T) {
	b := data.Coins()
	for _, r := range table(t, "canada-eras.csv") {
		for _, year := range []string{"first", "last"} {
			issues, err := b.Find("CA", r["coin"], int(r.number(t, year)), "")
			if err != nil {
				t.Error(err)
				continue
			}
			found := false
			for _, i := range issues {
				p := b.Planchet(i.Planchet)
				if math.Abs(p.Mass.Value-r.number(t, "mass_g")) < 1e-9 {
					found = true
					graded(t, p.ID, p.Mass, r["sure"])
					holds(t, p.ID, b.Alloy(p.Alloy), r["alloy"])
				}
			}
			if !found {
				t.Errorf("no Canadian %s of %s weighs %s g", r["coin"], r[year], r["mass_g"])
			}
		}
	}
}

// TestEuro: Regulation (EC) 975/98 article 1 for diameters and alloys,
// Regulation (EU) 729/2014 for weight and thickness. The figures of 1998 are
// told in the note. No weight tolerance is published.
func TestEuro(t *testing.T) {
	b := data.Coins()
	for _, r := range table(t, "euro.csv") {
		p := b.Planchet("eu-" + r["coin"])
		near(t, p.ID+" mass", p.Mass.Value, r["mass_2014_g"])
		near(t, p.ID+" thickness", p.Thickness.Value, r["thickness_2014_mm"])
		near(t, p.ID+" diameter", p.Diameter.Value, r["diameter_mm"])
		graded(t, p.ID+" mass", p.Mass, "S")
		graded(t, p.ID+" diameter", p.Diameter, "P")
		if want := "975/98 gave " + r["mass_1998_g"] + " g and " + r["thickness_1998_mm"] + " mm"; !strings.Contains(p.Note, want) {
			t.Errorf("%s: the note %q lacks “%s”", p.ID, p.Note, want)
		}
		if r["alloy"] != "" {
			holds(t, p.ID, b.Alloy(p.Alloy), r["alloy"])
		}
		if p.Limit.Known() {
			t.Errorf("%s has a limit; none is published", p.ID)
		}
	}
	two := b.Planchet("eu-two-euro")
	holds(t, "2 euro ring", b.Alloy(two.Layers[0].Alloy), "Cu 0.75 Ni 0.25")
	holds(t, "2 euro core", b.Alloy(two.Layers[1].Alloy), "Cu 0.75 Zn 0.2 Ni 0.05")
	one := b.Planchet("eu-one-euro")
	holds(t, "1 euro ring", b.Alloy(one.Layers[0].Alloy), "Cu 0.75 Zn 0.2 Ni 0.05")
	holds(t, "1 euro core", b.Alloy(one.Layers[1].Alloy), "Cu 0.75 Ni 0.25")
	holds(t, "1 euro middle", b.Alloy(one.Layers[2].Alloy), "Ni 1")
}

// TestUK: Royal Mint Museum page on the penny and pages repeating the mint.
// The weight remedies of 1967 and 1971 were not seen and are not used.
func TestUK(t *testing.T) {
	b := data.Coins()
	for _, r := range table(t, "uk.csv") {
		for _, p := range planchets(t, r, "planchet") {
			near(t, p.ID+" mass", p.Mass.Value, r["mass_g"])
			graded(t, p.ID+" mass", p.Mass, r["sure"])
			if r["diameter_mm"] != "" {
				near(t, p.ID+" diameter", p.Diameter.Value, r["diameter_mm"])
			}
			if r["thickness_mm"] != "" {
				near(t, p.ID+" thickness", p.Thickness.Value, r["thickness_mm"])
			}
			holds(t, p.ID, b.Alloy(p.Alloy), r["alloy"])
			if p.Limit.Known() {
				t.Errorf("%s has a limit; none was read", p.ID)
			}
		}
	}
}

// TestUK1870: Coinage Act 1870, first schedule. Its grams use an older ratio
// of the grain and are cut, not rounded, so they agree within 0.00002 g, rounded, only.
// The least current weight of gold is told in a note.
func TestUK1870(t *testing.T) {
	const ratio = 0.000025
	b := data.Coins()
	for _, r := range table(t, "uk-1870.csv") {
		if d := grams(t, r["grains"]+" gr") - r.number(t, "grams"); math.Abs(d) > ratio {
			t.Errorf("%s: %s gr differ by %v g from the schedule", r["coin"], r["grains"], d)
		}
		if d := grams(t, r["remedy_grains"]+" gr") - r.number(t, "remedy_g"); math.Abs(d) > ratio {
			t.Errorf("%s: remedy differs by %v g from the schedule", r["coin"], d)
		}
		for _, p := range planchets(t, r, "planchet") {
			if p.Mass.Value != grams(t, r["grains"]+" gr") {
				t.Errorf("%s: %v g, the act says %s gr", p.ID, p.Mass.Value, r["grains"])
			}
			graded(t, p.ID, p.Mass, "S")
			if p.Limit.Value != grams(t, r["remedy_grains"]+" gr") || p.Limit.Scope != coin.PerBatch {
				t.Errorf("%s: remedy %v g per %s", p.ID, p.Limit.Value, p.Limit.Scope)
			}
			a := b.Alloy(p.Alloy)
			if r["fineness"] != "" && math.Abs(1000*(a.Share("Au")+a.Share("Ag"))-r.number(t, "fineness")) > 0.01 {
				t.Errorf("%s: fineness of %s, the act says %s", p.ID, a.ID, r["fineness"])
			}
		}
	}
	for id, least := range map[string]string{"gb-sovereign": "7.93787", "gb-half-sovereign": "3.96083", "gb-double-sovereign": "15.87574", "gb-five-pounds-gold": "39.68935"} {
		if note := b.Planchet(id).Note; !strings.Contains(note, least) {
			t.Errorf("%s: the note %q lacks the least current weight", id, note)
		}
	}
}
