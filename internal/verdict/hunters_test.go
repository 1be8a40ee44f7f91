package verdict_test

import (
	"strings"
	"testing"

	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// TestAsASearcherWouldJudge holds calls and headlines of coins that turn up, or
// are hoped for, to what somebody who knows them would say.
func TestAsASearcherWouldJudge(t *testing.T) {
	magnetic := verdict.Evidence{Magnetic: verdict.Attracted}
	for _, tc := range []struct {
		key, mint string
		year      int
		y         mass.Grams
		evidence  verdict.Evidence
		call      verdict.Call
		says      string
	}{
		{key: "US/cent", year: 1943, y: 3.11, call: verdict.Look, says: "that of a bronze cent, not of its year"},
		{key: "US/cent", year: 1943, y: 2.72, evidence: verdict.Evidence{Colour: coin.Red}, call: verdict.Ordinary, says: "a stain or a coating"},
		{key: "US/cent", year: 1943, y: 3.11, evidence: verdict.Evidence{Magnetic: verdict.NotAttracted, Colour: coin.Red, Date: verdict.ReadTwice, Design: verdict.Yes}, call: verdict.Look, says: "that of a bronze cent, not of its year. Ask an expert"},
		{key: "US/cent", year: 1990, y: 2.46, evidence: verdict.Evidence{Colour: coin.Grey}, call: verdict.Ordinary, says: "can’t tell a stain from missing plating"},
		{key: "US/cent", year: 1998, y: 2.27, evidence: verdict.Evidence{Design: verdict.Yes, Colour: coin.White}, call: verdict.Look, says: "light for a cent, but right for a clad dime"},
		{key: "US/quarter", year: 1965, y: 6.24, evidence: verdict.Evidence{Stripe: verdict.No, Date: verdict.ReadTwice}, call: verdict.Look, says: "that of a 90 % silver quarter, not of its year. Ask an expert"},
		{key: "US/quarter", y: 8.10, call: verdict.Look, says: "dollar weighs. Is it a quarter?"},
		{key: "US/cent", year: 1944, y: 2.70, call: verdict.Look, says: "that of a zinc-coated steel cent, not of its year"},
		{key: "US/cent", y: 2.70, call: verdict.Either, says: "Zinc-coated steel or bronze"},
		{key: "US/cent", y: 2.27, call: verdict.Look, says: "(Canada: Copper-plated zinc cent) or a clad dime’s planchet"},
		{key: "US/cent", year: 1965, y: 2.27, call: verdict.Look, says: "what a clad dime weighs. Is it a cent?"},
		{key: "US/cent", year: 1998, y: 2.35, evidence: magnetic, call: verdict.Look, says: "Canada: Copper-plated steel cent"},
		{key: "US/cent", year: 1982, y: 3.10, call: verdict.Ordinary, says: "Bronze cent"},
		{key: "US/cent", year: 1982, y: 2.52, call: verdict.Ordinary, says: "Copper-plated zinc cent"},
		{key: "US/cent", year: 1857, y: 4.66, call: verdict.Ordinary, says: "Copper-nickel cent"},
		{key: "US/cent", y: 1.43, call: verdict.Look, says: "fits no regular cent: too light"},
		{key: "US/nickel", y: 4.66, call: verdict.Either, says: "Copper-nickel five-cent piece, unless of 1942–1945 (35 % silver: large mint mark above the dome, duller grey)."},
		{key: "US/nickel", y: 5.00, call: verdict.Either, says: "unless of 1942–1945"},
		{key: "US/nickel", year: 1942, y: 5.00, call: verdict.Either, says: "Look for the mint mark, its letter and its place. 35 % silver: large mint mark above the dome"},
		{key: "US/nickel", year: 1945, mint: "P", y: 5.00, evidence: magnetic, call: verdict.Ordinary, says: "the magnet says otherwise"},
		{key: "US/nickel", y: 3.95, call: verdict.Look, says: "Canada: Plated steel five cents"},
		{key: "US/dime", y: 2.27, call: verdict.Ordinary, says: "Clad dime"},
		{key: "US/dime", y: 2.07, call: verdict.Look, says: "Canada: Nickel ten cents"},
		{key: "US/dime", y: 2.54, call: verdict.Either, says: "Silver dime, 90 % or 99.9 %: weight can’t tell which"},
		{key: "US/dime", y: 1.89, call: verdict.Look, says: "a dime without one clad layer"},
		{key: "US/quarter", year: 1965, y: 6.25, call: verdict.Look, says: "that of a 90 % silver quarter, not of its year"},
		{key: "US/quarter", year: 1964, y: 5.67, call: verdict.Look, says: "that of a clad quarter, not of its year"},
		{key: "US/quarter", y: 4.73, call: verdict.Look, says: "a quarter without one clad layer"},
		{key: "US/quarter", y: 4.40, call: verdict.Look, says: "Canada: Plated steel twenty-five cents"},
		{key: "US/quarter", y: 7.50, call: verdict.Look, says: "fits no regular quarter: too heavy"},
		{key: "US/quarter", year: 1873, y: 6.25, call: verdict.Ordinary, says: "90 % silver quarter"},
		{key: "US/half", y: 13.27, call: verdict.Look, says: "that of a half dollar of 1794–1853. Read the date"},
		{key: "US/half", y: 11.34, call: verdict.Either, says: "unless of 1965–1970, 1976 (40 % silver)"},
		{key: "US/half", year: 1967, y: 11.50, call: verdict.Ordinary, says: "40 % silver half dollar"},
		{key: "US/half", year: 1970, y: 12.50, call: verdict.Look, says: "that of a 90 % silver half dollar, not of its year"},
		{key: "US/half", year: 1976, mint: "S", y: 11.50, call: verdict.Either, says: "Look along the edge"},
		{key: "US/dollar", y: 8.10, call: verdict.Either, says: "Manganese brass or clad"},
		{key: "US/dollar", year: 2000, y: 5.67, call: verdict.Look, says: "what a clad quarter weighs. Is it a dollar?"},
		{key: "US/dollar", year: 2000, y: 5.67, evidence: verdict.Evidence{Design: verdict.Yes, Date: verdict.ReadTwice}, call: verdict.Look, says: "right for a clad quarter"},
		{key: "US/dollar", year: 2007, y: 8.10, evidence: verdict.Evidence{Edge: coin.EdgePlain}, call: verdict.Ordinary, says: "its edge should be another"},
		{key: "US/dollar", year: 1972, mint: "D", y: 24.59, call: verdict.Look, says: "40 % silver dollar, not of its date and mint mark"},
		{key: "US/dollar", year: 1879, mint: "CC", y: 24.00, call: verdict.Ordinary, says: "Is it worn flat?"},
		{key: "US/dollar", year: 1799, y: 26.90, call: verdict.Ordinary, says: "89.24 % silver dollar"},
		{key: "US/dollar", y: 26.73, call: verdict.Ordinary, says: "90 % silver dollar"},
		{key: "US/half-dime", year: 1837, y: 1.34, call: verdict.Ordinary, says: "Silver half dime, 89.24 % or 90 %"},
		{key: "GB/sixpence", year: 1946, y: 2.83, call: verdict.Ordinary, says: "50 % silver sixpence"},
		{key: "GB/sixpence", year: 1947, y: 2.83, call: verdict.Ordinary, says: "Copper-nickel sixpence"},
		{key: "GB/penny", year: 1992, y: 3.56, call: verdict.Either, says: "weak magnet"},
		{key: "GB/two-pounds", y: 12.00, call: verdict.Ordinary, says: "Two-pound piece, nickel-brass ring"},
		{key: "CA/nickel", year: 1952, y: 4.54, call: verdict.Ordinary, says: "teel five-cent piece"},
		{key: "CA/dime", y: 2.33, call: verdict.Either, says: "Silver ten-cent piece, 80 %, 50 % or 92.5 %"},
	} {
		country, denomination, _ := strings.Cut(tc.key, "/")
		q := on(0.01, tc.y, denomination)
		q.Country, q.Year, q.Mint, q.Evidence = country, tc.year, tc.mint, tc.evidence
		v := judge(t, q)
		if v.Call != tc.call || !strings.Contains(v.Headline, tc.says) {
			t.Errorf("%s %d%s of %v g, %+v: %s, “%s”, want %s and “%s”", tc.key, tc.year, tc.mint, tc.y, tc.evidence, v.Call, v.Headline, tc.call, tc.says)
		}
		if l := len([]rune(v.Headline)); l > 170 {
			t.Errorf("%s of %v g: a headline of %d letters: %s", tc.key, tc.y, l, v.Headline)
		}
	}
}

// TestYearsAreToldInOrder: the date test says which years speak for what, and
// that 1942 doesn't.
func TestYearsAreToldInOrder(t *testing.T) {
	for _, tc := range []struct {
		q    verdict.Question
		says string
	}{
		{on(0.01, 5.00, "nickel"), "To 1941: copper-nickel; 1942: either; 1943–1945: 35 % silver; from 1946 on: copper-nickel."},
		{on(0.01, 2.33, "dime"), "To 1964: 90 % silver; from 1965 on: clad."},
		{on(0.01, 2.70, "cent"), "1943: zinc-coated steel; 1944–1982: bronze; 1983–2008: copper-plated zinc; 2009: either; from 2010 on: copper-plated zinc."},
		{on(0.01, 8.10, "dollar"), "To 1999: clad; from 2000 on: manganese brass."},
	} {
		v := judge(t, tc.q)
		if v.NextTest == nil || v.NextTest.Test != "date" || !strings.Contains(v.NextTest.Sentence, tc.says) {
			t.Errorf("%s of %v g: %+v, want “%s”", tc.q.Denomination, tc.q.Mean, v.NextTest, tc.says)
		}
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
