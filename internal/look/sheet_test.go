package look_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	. "panside/internal/look" // the data imports it, so the tests stand outside
)

// anyQuery draws a coin that may or may not exist.
func anyQuery(t *rapid.T) Query {
	b := data.Looks()
	return Query{
		Country:      rapid.SampledFrom([]string{"US", "US", "US", "GB", ""}).Draw(t, "country"),
		Denomination: rapid.SampledFrom(append(b.DenominationIDs(), "penny")).Draw(t, "denomination"),
		Year:         rapid.SampledFrom([]int{0, rapid.IntRange(1856, 2026).Draw(t, "year")}).Draw(t, "year or none"),
		Mint:         rapid.SampledFrom([]string{"", "?", "-", "P", "D", "S", "O", "CC", "W"}).Draw(t, "mint"),
		Hint:         rapid.SampledFrom([]Hint{NoHint, Light, Heavy, Regular}).Draw(t, "hint"),
	}
}

func TestOrderRule(t *testing.T) {
	b := data.Looks()
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuery(t)
		sheet := b.Sheet(q)
		if len(sheet) < 20 {
			t.Fatalf("only %d entries", len(sheet))
		}
		// What explains the weight leads, and only when a weight needs explaining.
		lead := slices.IndexFunc(sheet, func(l LookFor) bool { return !l.ExplainsWeight })
		if lead > 0 != (q.Hint == Light || q.Hint == Heavy) || slices.ContainsFunc(sheet[lead:], func(l LookFor) bool { return l.ExplainsWeight }) {
			t.Fatalf("hint %q: %d lead", q.Hint, lead)
		}
		for _, part := range [][]LookFor{sheet[:lead], sheet[lead:]} {
			for i := 1; i < len(part); i++ {
				x, y := part[i-1], part[i]
				sx, sy := nearness(x), nearness(y)
				tx, ty := slices.Index(Tools, x.With), slices.Index(Tools, y.With)
				if sx > sy || sx == sy && (tx > ty || tx == ty && x.LookAlike && !y.LookAlike) {
					t.Fatalf("%s/%s %q stands before %s/%s %q", x.Scope, x.With, x.Name, y.Scope, y.With, y.Name)
				}
			}
		}
		for _, l := range sheet {
			if slices.Contains([]string{l.Kind, l.Name, l.Where, l.See, l.Mimics, l.Decides, l.Weight, l.Light, l.Sure}, "") {
				t.Fatalf("an empty word in %+v", l)
			}
			// A general entry with a name of its own may say what its kind rules out.
			if k := b.KindOf(l.Kind); slices.Contains(k.RuledOut, q.Hint) && l.Scope == OfAny && l.Name == k.Name {
				t.Fatalf("%s is ruled out by %s", l.Kind, q.Hint)
			}
		}
	})
}

// nearness orders finds of the date, what is normal for it, finds of the type and of any
// coin, and what is normal for the type.
func nearness(l LookFor) int {
	order := []string{"date", "date normal", "type", "any", "type normal"}
	of := string(l.Scope)
	if l.Rarity == "normal" {
		of += " normal"
	}
	return slices.Index(order, of)
}

// Saying more of the coin may only take facts of dates away.
func TestKnowingMoreNarrows(t *testing.T) {
	b := data.Looks()
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuery(t)
		q.Year = rapid.IntRange(1856, 2026).Draw(t, "a year")
		open := q
		open.Mint = ""
		wide := sees(b.Sheet(open))
		for _, l := range b.Sheet(q) {
			if !slices.Contains(wide, l.See) {
				t.Fatalf("%q is on the sheet of mint %q only", l.See, q.Mint)
			}
		}
	})
}

func sees(sheet []LookFor) []string {
	out := make([]string, len(sheet))
	for i, l := range sheet {
		out[i] = l.See
	}
	return out
}

func TestWeightChangesTheSheet(t *testing.T) {
	for _, c := range []struct {
		q           Query
		first       []string // kinds that must be among the leading entries
		gone, there string   // a kind that must be off, and one that must be on
	}{
		{Query{"US", "quarter", 1998, "D", Light}, []string{"missing-clad-layer", "wrong-planchet", "environmental-damage"}, "", "clipped-planchet"},
		{Query{"US", "quarter", 1998, "D", Heavy}, []string{"wrong-planchet", "altered", "counterfeit"}, "missing-clad-layer", "double-denomination"},
		{Query{"US", "quarter", 1998, "D", Regular}, nil, "missing-clad-layer", "environmental-damage"},
		{Query{"US", "cent", 1943, "-", Regular}, nil, "transitional-alloy", "design-type"},
		{Query{"US", "cent", 1943, "-", Heavy}, []string{"transitional-alloy"}, "", "design-type"},
	} {
		sheet := data.Looks().Sheet(c.q)
		var kinds []string
		for _, l := range sheet {
			kinds = append(kinds, l.Kind)
		}
		lead := kinds[:min(10, len(kinds))]
		for _, k := range c.first {
			if !slices.Contains(lead, k) {
				t.Errorf("%+v: %s isn't among the first: %v", c.q, k, lead)
			}
		}
		if c.gone != "" && slices.Contains(kinds, c.gone) {
			t.Errorf("%+v: %s should be off the sheet", c.q, c.gone)
		}
		if !slices.Contains(kinds, c.there) {
			t.Errorf("%+v: %s should be on the sheet", c.q, c.there)
		}
	}
}

// A record points at a look-for by its id, with country and denomination: no sheet has
// one twice, and no sheet lacks a drawing.
func TestEachIsFoundByItsID(t *testing.T) {
	b := data.Looks()
	rapid.Check(t, func(t *rapid.T) {
		seen := map[string]string{}
		for _, l := range b.Sheet(anyQuery(t)) {
			if l.ID == "" || len(l.Drawings) == 0 {
				t.Fatalf("%q has the id %q and the drawings %q", l.Name, l.ID, l.Drawings)
			}
			if first, twice := seen[l.ID]; twice {
				t.Fatalf("%q and %q are both %s", first, l.Name, l.ID)
			}
			seen[l.ID] = l.Name
		}
	})
}

// The styles of a date are shown by drawings of their own, the one to look for first.
func TestDatesAreDrawn(t *testing.T) {
	for _, c := range []struct {
		denomination string
		year         int
		mint, id     string
		first, other string
	}{
		{"cent", 1992, "D", "lettering-style-1992", "us-cent-am/close", "us-cent-am/wide"},
		{"cent", 1999, "-", "lettering-style-1999", "us-cent-am/wide", "us-cent-am/close"},
		{"cent", 1999, "S", "lettering-style-1999-s", "us-cent-am/close", "us-cent-am/wide"},
		{"cent", 1982, "D", "transitional-alloy-1982-d", "us-cent-1982-date/small", "us-cent-1982-date/large"},
		{"cent", 1982, "-", "date-style-1982", "us-cent-1982-date/small", "us-cent-1982-date/large"},
		{"cent", 1970, "S", "date-style-1970", "us-cent-1970-s-date/small", "us-cent-1970-s-date/large"},
		{"dime", 1979, "S", "mint-mark-style-1979", "us-1979-s-mark/clear", "us-1979-s-mark/filled"},
		{"dollar", 1981, "S", "mint-mark-style-1981", "us-1981-s-mark/flat", "us-1981-s-mark/rounded"},
	} {
		sheet := data.Looks().Sheet(Query{Country: "US", Denomination: c.denomination, Year: c.year, Mint: c.mint})
		i := slices.IndexFunc(sheet, func(l LookFor) bool { return l.ID == c.id })
		if i < 0 || !slices.Equal(sheet[i].Drawings, []string{c.first, c.other}) {
			t.Errorf("%s %d-%s: %s isn't shown by %s and %s", c.denomination, c.year, c.mint, c.id, c.first, c.other)
		}
	}
}

// The fields other programs read, in words that may not change.
func TestContractFields(t *testing.T) {
	raw, err := json.Marshal(data.Looks().Sheet(Query{Country: "US", Denomination: "cent", Year: 1955})[0])
	if err != nil {
		t.Fatal(err)
	}
	var m map[string]any
	if err := json.Unmarshal(raw, &m); err != nil {
		t.Fatal(err)
	}
	for _, f := range []string{"id", "kind", "name", "scope", "side", "where", "with", "see", "mimics", "decides", "weight", "rarity", "sure"} {
		if s, ok := m[f].(string); !ok || s == "" {
			t.Errorf("%s is %v", f, m[f])
		}
	}
}

func TestEveryUSCoinHasTheGeneralSet(t *testing.T) {
	b := data.Looks()
	want := []string{"doubled-die", "die-clash", "die-chip", "die-break", "cud", "filled-die", "lamination", "clipped-planchet", "off-centre",
		"broadstrike", "multiple-strike", "brockage", "rotated-dies", "edge-error", "wrong-planchet", "double-denomination",
		"strike-doubling", "worn-die-doubling", "damage", "environmental-damage", "altered", "counterfeit",
		"struck-through", "wrong-thickness", "blank-planchet", "planchet-crack", "gas-bubble", "misaligned-die", "partial-collar",
		"weak-strike", "die-cap", "indent", "counting-machine-damage", "dryer-coin", "road-damage"}
	for _, d := range []string{"cent", "nickel", "dime", "quarter", "half", "dollar"} {
		var kinds []string
		for _, l := range b.Sheet(Query{Country: "US", Denomination: d, Year: 1976, Mint: "D"}) {
			kinds = append(kinds, l.Kind)
		}
		for _, k := range want {
			if !slices.Contains(kinds, k) {
				t.Errorf("%s: no %s", d, k)
			}
		}
		if clad := d != "cent" && d != "nickel"; slices.Contains(kinds, "missing-clad-layer") != clad {
			t.Errorf("%s of 1976: missing-clad-layer must be there for clad coins, and only for them", d)
		}
	}
}

func TestUndatedSheetNamesTheYears(t *testing.T) {
	n := 0
	for _, l := range data.Looks().Sheet(Query{Country: "US", Denomination: "cent"}) {
		if l.Scope == OfDate {
			n++
			if !strings.HasPrefix(l.Name, "1") {
				t.Errorf("%q doesn't say its year", l.Name)
			}
		}
	}
	if n < 3 || n > 12 {
		t.Errorf("%d facts of dates without a date", n)
	}
}
