package look_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"panside/internal/book/data"
	. "panside/internal/look" // the data imports it, so the tests stand outside
)

func TestThereAreManyFacts(t *testing.T) {
	b := data.Looks()
	total, normal := 0, 0
	for _, id := range b.DenominationIDs() {
		d := b.Denominations()["US/"+id]
		for _, f := range slices.Concat(d.Dates, d.Types) {
			if f.RarityIn(b) == "normal" {
				normal++
			}
		}
		total += len(d.Dates)
		t.Logf("%-14s %3d facts of dates, %2d of types", id, len(d.Dates), len(d.Types))
	}
	abroad := 0
	for id, d := range b.Denominations() {
		if !strings.HasPrefix(id, "US/") {
			abroad += len(d.Dates)
		}
	}
	if abroad < 150 {
		t.Errorf("%d facts of dates for the other countries; expected 150", abroad)
	}
	t.Logf("%d facts of dates in other countries", abroad)
	t.Logf("%d facts of dates; %d facts of both sorts say what is normal", total, normal)
	if total < 1100 || normal < 150 {
		t.Errorf("%d facts of dates and %d of what is normal; expected 1100 and 150", total, normal)
	}
}

func TestNoFactTwice(t *testing.T) {
	for id, d := range data.Looks().Denominations() {
		seen := map[string]bool{}
		for _, f := range slices.Concat(d.Types, d.Dates) {
			k := fmt.Sprint(f.Kind, f.Years, f.Mints, f.Name, f.See)
			if seen[k] {
				t.Errorf("%s: twice: %s", id, k)
			}
			seen[k] = true
		}
	}
}

var grams = regexp.MustCompile(`(\pL*) ?(\d+\.\d+)( or \d+\.\d+)* g\b`)

// Weights in the words must be those of the catalogue's planchets, but where
// the words say that they are rough.
func TestWeightsAreTheCatalogues(t *testing.T) {
	book := data.Coins()
	var masses []float64
	for _, i := range book.All() {
		masses = append(masses, book.Planchet(i.Planchet).Mass.Value)
	}
	rough := []string{"About", "about", "Near", "near", "Often", "often", "Under", "below", "than", "to"}
	checked := 0
	for id, d := range data.Looks().Denominations() {
		for _, f := range slices.Concat(d.Types, d.Dates) {
			for _, text := range []string{f.Weight, f.Decides, f.Mimics, f.See} {
				for _, m := range grams.FindAllStringSubmatch(text, -1) {
					if slices.Contains(rough, m[1]) {
						continue
					}
					v, err := strconv.ParseFloat(m[2], 64)
					if err != nil {
						t.Fatal(err)
					}
					checked++
					half := 0.5 * math.Pow10(-len(m[2])+strings.IndexByte(m[2], '.')+1)
					if !slices.ContainsFunc(masses, func(g float64) bool { return math.Abs(g-v) <= half+1e-9 }) {
						t.Errorf("%s %s %s: no planchet weighs %s g", id, f.Kind, f.Years, m[2])
					}
				}
			}
		}
	}
	t.Logf("%d weights checked", checked)
	if checked < 60 {
		t.Errorf("only %d weights found to check", checked)
	}
}

// Well-known coins: what a person who knows the series would look for first.
func TestWellKnown(t *testing.T) {
	const cent, nickel, dime, quarter, half, dollar = "cent", "nickel", "dime", "quarter", "half", "dollar"
	for _, c := range []struct {
		denomination string
		year         int
		mint, kind   string
		rarity       string
	}{
		{cent, 1955, "-", "doubled-die", "rare"},
		{cent, 1955, "-", "worn-die-doubling", "common"},
		{cent, 1922, "-", "missing-mint-mark", "rare"},
		{cent, 1909, "S", "low-mintage", "rare"},
		{cent, 1914, "D", "low-mintage", "rare"},
		{cent, 1943, "-", "transitional-alloy", "very rare"},
		{cent, 1944, "D", "over-mint-mark", "scarce"},
		{cent, 1969, "S", "doubled-die", "very rare"},
		{cent, 1969, "S", "strike-doubling", "common"},
		{cent, 1972, "-", "doubled-die", "scarce"},
		{cent, 1982, "D", "transitional-alloy", "very rare"},
		{cent, 1983, "-", "doubled-die", "scarce"},
		{cent, 1992, "D", "lettering-style", "very rare"},
		{cent, 1993, "D", "lettering-style", "normal"},
		{cent, 1999, "-", "lettering-style", "rare"},
		{cent, 1985, "D", "lettering-style", "normal"},
		{cent, 1972, "-", "strike-doubling", "uncommon"},
		{nickel, 1937, "D", "altered", "uncommon"},
		{dime, 1850, "O", "repunched-mint-mark", "uncommon"},
		{quarter, 1845, "-", "repunched-date", "uncommon"},
		{quarter, 1983, "P", "design-type", "uncommon"},
		{cent, 1799, "-", "overdate", "very rare"}, // as every 1799
		{nickel, 1937, "D", "die-gouge", "rare"},
		{nickel, 1918, "D", "overdate", "very rare"},
		{nickel, 1943, "P", "overdate", "rare"},
		{nickel, 1950, "D", "low-mintage", "uncommon"},
		{nickel, 1944, "-", "counterfeit", "scarce"},
		{dime, 1916, "D", "low-mintage", "rare"},
		{dime, 1942, "-", "overdate", "rare"},
		{dime, 1982, "-", "missing-mint-mark", "scarce"},
		{quarter, 1932, "D", "low-mintage", "rare"},
		{quarter, 2004, "D", "die-gouge", "uncommon"},
		{quarter, 2019, "W", "low-mintage", "scarce"},
		{half, 1970, "D", "low-mintage", "scarce"},
		{half, 1982, "P", "missing-designer-initials", "uncommon"},
		{dollar, 1893, "S", "low-mintage", "very rare"},
		{dollar, 1896, "O", "counterfeit", "scarce"},
		{dollar, 2007, "P", "edge-error", "uncommon"},
		{cent, 1982, "-", "transitional-alloy", "normal"},
		{cent, 1994, "-", "doubled-die", "scarce"},
		{cent, 1989, "D", "transitional-alloy", "very rare"},
		{cent, 1959, "D", "mule", "very rare"},
		{cent, 1943, "S", "altered", "common"},
		{nickel, 1913, "-", "die-gouge", "rare"},
		{nickel, 1941, "S", "mint-mark-style", "scarce"},
		{nickel, 1947, "-", "counterfeit", "scarce"},
		{nickel, 1964, "D", "die-gouge", "uncommon"},
		{dime, 1923, "D", "counterfeit", "scarce"},
		{dime, 1945, "D", "repunched-mint-mark", "scarce"},
		{dime, 1969, "-", "design-type", "scarce"},
		{dime, 1950, "D", "doubled-die", "scarce"},
		{quarter, 1956, "D", "repunched-mint-mark", "scarce"},
		{quarter, 1970, "D", "wrong-planchet", "uncommon"},
		{quarter, 1977, "D", "transitional-alloy", "very rare"},
		{quarter, 1989, "P", "filled-die", "uncommon"},
		{quarter, 2005, "P", "die-break", "uncommon"},
		{half, 1968, "S", "mint-mark-style", "scarce"},
		{half, 1917, "D", "low-mintage", "scarce"},
		{half, 2019, "S", "proof-in-circulation", "scarce"},
		{dollar, 1880, "O", "mint-mark-style", "uncommon"},
		{dollar, 1883, "CC", "low-mintage", "common"},
		{dollar, 1976, "-", "missing-mint-mark", "very rare"},
		{cent, 1997, "-", "wavy-steps", "common"},
		{cent, 1919, "S", "metal-streaks", "common"},
		{cent, 1999, "D", "blank-planchet", "uncommon"},
		{nickel, 1943, "P", "split-planchet", "scarce"},
		{nickel, 1943, "P", "metal-streaks", "common"},
		{nickel, 1958, "D", "bad-annealing", "uncommon"},
		{nickel, 1926, "S", "weak-strike", "normal"},
		{quarter, 1989, "P", "bad-annealing", "uncommon"},
		{half, 1943, "S", "weak-strike", "normal"},
		{dollar, 1891, "O", "weak-strike", "normal"},
		{"CA/two-dollar", 2005, "", "bimetal-error", "scarce"},
		{"GB/two-pounds", 2005, "", "bimetal-error", "scarce"},
		{"GB/old-penny", 1936, "", "metal-streaks", "common"},
		{"EU/two-euro", 2005, "", "bimetal-error", "scarce"},
	} {
		country, denomination, abroad := strings.Cut(c.denomination, "/")
		if !abroad {
			country, denomination = "US", c.denomination
		}
		sheet := data.Looks().Sheet(Query{Country: country, Denomination: denomination, Year: c.year, Mint: c.mint})
		if !slices.ContainsFunc(sheet, func(l LookFor) bool { return l.Scope != OfAny && l.Kind == c.kind && l.Rarity == c.rarity }) {
			t.Errorf("%s %d %s: no %s that is %s", c.denomination, c.year, c.mint, c.kind, c.rarity)
		}
	}
	// And what must not be there, lest something ordinary pass for a find.
	for _, c := range []struct {
		denomination string
		year         int
		mint, kind   string
	}{
		{cent, 1955, "D", "doubled-die"},
		{cent, 1972, "S", "doubled-die"},
		{dime, 1982, "D", "missing-mint-mark"},
		{nickel, 1938, "S", "over-mint-mark"},
		{dollar, 1899, "O", "counterfeit"},
	} {
		for _, l := range data.Looks().Sheet(Query{Country: "US", Denomination: c.denomination, Year: c.year, Mint: c.mint}) {
			if l.Scope == OfDate && l.Kind == c.kind {
				t.Errorf("%s %d-%s: %q doesn't belong", c.denomination, c.year, c.mint, l.Name)
			}
		}
	}
}
