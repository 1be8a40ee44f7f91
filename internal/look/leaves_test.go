package look_test

import (
	"slices"
	"testing"

	"panside/internal/book/data"
	. "panside/internal/look" // the data imports it, so the tests stand outside
)

// TestFactsNameMetalsAndPlanchetsOfTheBook: a misspelt one would rule its fact out of every
// sheet that follows a verdict.
func TestFactsNameMetalsAndPlanchetsOfTheBook(t *testing.T) {
	book := data.Coins()
	var families []string
	for _, i := range book.All() {
		families = append(families, book.Alloy(book.Planchet(i.Planchet).Alloy).Family)
	}
	alloys, planchets := 0, 0
	for id, d := range data.Looks().Denominations() {
		for _, f := range slices.Concat(d.Types, d.Dates) {
			for _, a := range f.Alloys {
				if alloys++; !slices.Contains(families, a) {
					t.Errorf("%s %s: no coin is of %q", id, f.ID, a)
				}
			}
			for _, p := range f.Planchets {
				if planchets++; book.Planchet(p).ID == "" {
					t.Errorf("%s %s: no planchet %q", id, f.ID, p)
				}
			}
		}
	}
	if alloys < 10 || planchets < 10 {
		t.Errorf("%d metals and %d planchets named", alloys, planchets)
	}
}

// TestQuestionsNameKindsOfTheBook: a question's rare choice is a find of a kind that the
// sheets, the key and the records know, and its rarity one of theirs.
func TestQuestionsNameKindsOfTheBook(t *testing.T) {
	for _, c := range data.Coins().Countries() {
		for _, q := range data.Coins().Questions(c.ID) {
			for _, k := range q.Cases {
				if k.Rare != "" && (!slices.Contains(FixedKinds, k.Kind) || !slices.Contains(Rarities, k.Rarity)) {
					t.Errorf("%s: kind %q, rarity %q", q.ID, k.Kind, k.Rarity)
				}
			}
		}
	}
}

// TestAQuestionAndItsLookForAgree on how rare the variety is, where a look-for of that very
// date tells the same.
func TestAQuestionAndItsLookForAgree(t *testing.T) {
	for _, c := range []struct {
		year               int
		mint, kind, rarity string
	}{
		{1982, "D", "transitional-alloy", "very rare"}, {1960, "-", "date-style", "uncommon"}, {1970, "S", "date-style", "scarce"},
		{1979, "S", "mint-mark-style", "scarce"}, {1981, "S", "mint-mark-style", "scarce"}, {1992, "D", "lettering-style", "very rare"},
		{1998, "-", "lettering-style", "uncommon"}, {1999, "-", "lettering-style", "rare"}, {2000, "-", "lettering-style", "uncommon"}, {1999, "S", "lettering-style", "rare"},
	} {
		told := slices.ContainsFunc(data.Looks().Sheet(Query{Country: "US", Denomination: "cent", Year: c.year, Mint: c.mint}), func(l LookFor) bool {
			return l.Scope == OfDate && l.Kind == c.kind && l.Rarity == c.rarity
		})
		asked := false
		for _, q := range data.Coins().Questions("US") {
			for _, k := range q.Cases {
				asked = asked || k.Of("cent", c.year, c.mint, "P", false) && k.Kind == c.kind && k.Rarity == c.rarity
			}
		}
		if !told || !asked {
			t.Errorf("%d-%s %s: the sheet says %s is %v, the question %v", c.year, c.mint, c.kind, c.rarity, told, asked)
		}
	}
}
