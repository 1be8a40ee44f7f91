package verdict_test

import (
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// TestHowASittingCounts holds what is counted, and what is set aside, to
// common practice at the table.
func TestHowASittingCounts(t *testing.T) {
	for _, tc := range []struct {
		name, key string
		year      int
		y         mass.Grams
		step      mass.Grams
		call      verdict.Call
		want      verdict.CountAs
	}{
		{"struck until lately", "US/cent", 0, 3.11, 0.01, verdict.Ordinary, verdict.CountAs{Name: "Bronze"}},
		{"struck now", "US/quarter", 0, 5.67, 0.01, verdict.Ordinary, verdict.CountAs{Name: "Clad", Current: true}},
		{"three alloys", "CA/nickel", 0, 4.54, 0.001, verdict.Either, verdict.CountAs{Name: "Copper-nickel, nickel or steel", SetAside: true}},
		{"a likely one, a rival of the same weight", "US/nickel", 0, 5.00, 0.01, verdict.Either, verdict.CountAs{Name: "Copper-nickel", Noted: true, Current: true}},
		{"likely by its year, which was read", "US/nickel", 1943, 5.00, 0.01, verdict.Ordinary, verdict.CountAs{Name: "35% silver"}},
		{"real doubt", "US/half", 0, 11.42, 0.01, verdict.Either, verdict.CountAs{Name: "Clad, 40% or 90% silver", SetAside: true}},
		{"a doubt with a decimal point in its name", "US/dime", 0, 2.54, 0.01, verdict.Either, verdict.CountAs{Name: "Silver dime, 90% or 99.9%", SetAside: true}},
		{"to look at", "US/cent", 0, 2.27, 0.01, verdict.Look, verdict.CountAs{SetAside: true}},
		{"too coarse a scale", "US/dime", 0, 2.4, 0.1, verdict.CannotTell, verdict.CountAs{}},
	} {
		q := on(tc.step, tc.y, "")
		q.Country, q.Denomination, _ = strings.Cut(tc.key, "/")
		q.Year = tc.year
		v := judge(t, q)
		if v.Call != tc.call || v.CountAs != tc.want {
			t.Errorf("%s: %s, %q: %+v, want %s, %+v", tc.name, v.Call, v.Headline, v.CountAs, tc.call, tc.want)
		}
	}
}

// TestAnAlloyOfFewYearsIsLaidAside asks without a year, then with it.
func TestAnAlloyOfFewYearsIsLaidAside(t *testing.T) {
	q := on(0.001, 2.69, "cent")
	q.Evidence.Magnetic = verdict.Attracted
	v := judge(t, q)
	if v.Call != verdict.Ordinary || v.CountAs != (verdict.CountAs{Name: "Zinc-coated steel", SetAside: true}) {
		t.Errorf("%s, %q: %+v", v.Call, v.Headline, v.CountAs)
	}
	q.Year = 1943
	if v := judge(t, q); v.Call != verdict.Ordinary || v.CountAs != (verdict.CountAs{Name: "Zinc-coated steel"}) {
		t.Errorf("with its year: %s, %q: %+v", v.Call, v.Headline, v.CountAs)
	}
}

// TestTalliesAgreeWithTheVerdict goes through every weight of every key: what
// is to be looked at is set aside or weighed again, and what is counted has a
// name.
func TestTalliesAgreeWithTheVerdict(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range data.Coins().Denominations("US") {
		for g := mass.Grams(1); g < 14; g += 0.07 {
			v := judge(t, on(0.01, g, d.ID))
			y := v.CountAs
			named := v.Call == verdict.Ordinary || v.Call == verdict.Either
			switch {
			case named != (y.Name != ""), v.Call == verdict.Look && y.SetAside == y.Again, y.Noted && (v.Call != verdict.Either || y.SetAside),
				v.Call == verdict.Either && y.Noted == y.SetAside, strings.ContainsAny(y.Name, ":’"):
				t.Errorf("%s of %.2f g: %s, %q: %+v", d.ID, float64(g), v.Call, v.Headline, y)
			}
			seen[string(v.Call)] = true
		}
	}
	if len(seen) < 3 {
		t.Errorf("saw %v only", seen)
	}
}
