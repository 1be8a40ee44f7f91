package verdict_test

import (
	"strings"
	"testing"

	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// searched are coins that turn up, or are hoped for, each with what somebody who
// knows them would say: call, alloy, kind of explanation and planchet.
var searched = []struct {
	key, mint string
	year      int
	y         mass.Grams
	evidence  verdict.Evidence
	claim     string
}{
	{key: "US/cent", year: 1943, y: 3.11, claim: "look/bronze/transitional-alloy/"},
	{key: "US/cent", year: 1943, y: 2.72, evidence: verdict.Evidence{Colour: coin.Red}, claim: "ordinary/steel-zinc/damage/"},
	{key: "US/cent", year: 1943, y: 3.11, evidence: verdict.Evidence{Magnetic: verdict.NotAttracted, Colour: coin.Red, Date: verdict.ReadTwice, Design: verdict.Yes}, claim: "look/bronze/transitional-alloy/"},
	{key: "US/cent", year: 1990, y: 2.46, evidence: verdict.Evidence{Colour: coin.Grey}, claim: "ordinary/zinc/damage/"},
	{key: "US/cent", year: 1998, y: 2.27, evidence: verdict.Evidence{Design: verdict.Yes, Colour: coin.White}, claim: "look/clad/wrong-planchet/us-dime-clad"},
	{key: "US/quarter", year: 1965, y: 6.24, evidence: verdict.Evidence{Stripe: verdict.No, Date: verdict.ReadTwice}, claim: "look/silver-900/transitional-alloy/"},
	{key: "US/quarter", y: 8.10, claim: "look/manganese-brass-clad/other-coin/us-dollar-brass"},
	{key: "US/cent", year: 1944, y: 2.70, claim: "look/steel-zinc/transitional-alloy/"},
	{key: "US/cent", y: 2.70, claim: "either/bronze+steel-zinc//"},
	{key: "US/cent", y: 2.27, claim: "look/zinc/foreign-coin/ca-cent-zinc"},
	{key: "US/cent", year: 1965, y: 2.27, claim: "look/clad/other-coin/us-dime-clad"},
	{key: "US/cent", year: 1998, y: 2.35, evidence: magnetic, claim: "look/steel-copper-94/foreign-coin/ca-cent-steel"},
	{key: "US/cent", year: 1982, y: 3.10, claim: "ordinary/bronze//"},
	{key: "US/cent", year: 1982, y: 2.52, claim: "ordinary/zinc//"},
	{key: "US/cent", year: 1857, y: 4.66, claim: "ordinary/cupronickel//"},
	{key: "US/cent", y: 1.43, claim: "look//unknown/"},
	{key: "US/nickel", y: 4.66, claim: "either/cupronickel//"},
	{key: "US/nickel", y: 5.00, claim: "either/cupronickel//"},
	{key: "US/nickel", year: 1942, y: 5.00, claim: "either/cupronickel+silver-350//"},
	{key: "US/nickel", year: 1945, mint: "P", y: 5.00, evidence: magnetic, claim: "ordinary/silver-350//"},
	{key: "US/nickel", y: 3.95, claim: "look/steel-945/foreign-coin/ca-nickel-steel"},
	{key: "US/dime", y: 2.27, claim: "ordinary/clad//"},
	{key: "US/dime", y: 2.07, claim: "look/nickel/foreign-coin/ca-dime-nickel"},
	{key: "US/dime", y: 2.54, claim: "either/silver-900+silver-999//"},
	{key: "US/dime", y: 1.89, claim: "look/clad/missing-layer/us-dime-clad"},
	{key: "US/quarter", year: 1965, y: 6.25, claim: "look/silver-900/transitional-alloy/"},
	{key: "US/quarter", year: 1964, y: 5.67, claim: "look/clad/transitional-alloy/"},
	{key: "US/quarter", y: 4.73, claim: "look/clad/missing-layer/us-quarter-clad"},
	{key: "US/quarter", y: 4.40, claim: "look/steel-94/foreign-coin/ca-quarter-steel"},
	{key: "US/quarter", y: 7.50, claim: "look//unknown/"},
	{key: "US/quarter", year: 1873, y: 6.25, claim: "ordinary/silver-900//"},
	{key: "US/half", y: 13.27, claim: "look/silver-900//"},
	{key: "US/half", y: 11.34, claim: "either/clad//"},
	{key: "US/half", year: 1967, y: 11.50, claim: "ordinary/silver-400//"},
	{key: "US/half", year: 1970, y: 12.50, claim: "look/silver-900/transitional-alloy/"},
	{key: "US/half", year: 1976, mint: "S", y: 11.50, claim: "either/clad+silver-400//"},
	{key: "US/dollar", y: 8.10, claim: "either/clad+manganese-brass-clad//"},
	{key: "US/dollar", year: 2000, y: 5.67, claim: "look/clad/other-coin/us-quarter-clad"},
	{key: "US/dollar", year: 2000, y: 5.67, evidence: verdict.Evidence{Design: verdict.Yes, Date: verdict.ReadTwice}, claim: "look/clad/wrong-planchet/us-quarter-clad"},
	{key: "US/dollar", year: 2007, y: 8.10, evidence: verdict.Evidence{Edge: coin.EdgePlain}, claim: "ordinary/manganese-brass-clad//"},
	{key: "US/dollar", year: 1972, mint: "D", y: 24.59, claim: "look/silver-400/transitional-alloy/"},
	{key: "US/dollar", year: 1879, mint: "CC", y: 24.00, claim: "ordinary/silver-900//"},
	{key: "US/dollar", year: 1799, y: 26.90, claim: "ordinary/silver-900//"},
	{key: "US/dollar", y: 26.73, claim: "ordinary/silver-900//"},
	{key: "US/half-dime", year: 1837, y: 1.34, claim: "ordinary/silver-900//"},
	{key: "GB/sixpence", year: 1946, y: 2.83, claim: "ordinary/silver-500//"},
	{key: "GB/sixpence", year: 1947, y: 2.83, claim: "ordinary/cupronickel//"},
	{key: "GB/penny", year: 1992, y: 3.56, claim: "either/bronze+steel-copper//"},
	{key: "GB/two-pounds", y: 12.00, claim: "ordinary/two-pounds//"},
	{key: "CA/nickel", year: 1952, y: 4.54, claim: "ordinary/steel//"},
	{key: "CA/dime", y: 2.33, claim: "either/silver-500+silver-800+silver-925//"},
}

var magnetic = verdict.Evidence{Magnetic: verdict.Attracted}

// TestAsASearcherWouldJudge holds what is said of them; the words are in
// testdata/words.golden.
func TestAsASearcherWouldJudge(t *testing.T) {
	for _, tc := range searched {
		country, denomination, _ := strings.Cut(tc.key, "/")
		q := on(0.01, tc.y, denomination)
		q.Country, q.Year, q.Mint, q.Evidence = country, tc.year, tc.mint, tc.evidence
		v := judge(t, q)
		if v.Claim.String() != tc.claim || v.Claim.Call != v.Call {
			t.Errorf("%s %d%s of %v g, %+v: %v, “%s”, want %s", tc.key, tc.year, tc.mint, tc.y, tc.evidence, v.Claim, v.Headline, tc.claim)
		}
		if l := len([]rune(v.Headline)); l > 170 {
			t.Errorf("%s of %v g: a headline of %d letters: %s", tc.key, tc.y, l, v.Headline)
		}
		holdWords(t, q, v)
	}
}

// TestYearsAreToldInOrder: the date test comes first where a date would tell, and
// says which years speak for what, and that 1942 doesn't; its words are golden.
func TestYearsAreToldInOrder(t *testing.T) {
	for _, q := range []verdict.Question{on(0.01, 5.00, "nickel"), on(0.01, 2.33, "dime"), on(0.01, 2.70, "cent"), on(0.01, 8.10, "dollar")} {
		v := judge(t, q)
		if v.NextTest == nil || v.NextTest.Test != "date" {
			t.Errorf("%s of %v g: %+v, want the date", q.Denomination, q.Mean, v.NextTest)
		}
		holdWords(t, q, v)
	}
}

// TestStruckForOthersComesFromTheBook: a planchet of a coin struck for another country is
// listed with what is known of it, in the years of the striking only.
func TestStruckForOthersComesFromTheBook(t *testing.T) {
	for year, want := range map[int]bool{1944: true, 1950: false} {
		q := on(0.01, 2.75, "cent")
		q.Year = year
		listed := false
		for _, e := range judge(t, q).Explanations {
			if strings.Contains(e.Name, "Belgian 2 francs") {
				listed = true
				if e.Kind != verdict.WrongPlanchet || !strings.Contains(e.Name, "from memory") || float64(e.Expected) != 2.75 {
					t.Errorf("%+v", e)
				}
			}
		}
		if listed != want {
			t.Errorf("%d: listed %v", year, listed)
		}
	}
}
