package verdict_test

import (
	"strings"
	"testing"

	"panside/internal/mass"
	"panside/internal/verdict"
)

// TestTheMetalAVerdictNames is what a find is called by and a sitting counts by.
func TestTheMetalAVerdictNames(t *testing.T) {
	for _, tc := range []struct {
		name, key, mint string
		year            int
		y               mass.Grams
		want            verdict.Metal // none where it leaves several
	}{
		{"sure", "US/cent", "D", 1982, 3.11, verdict.Metal{ID: "bronze", Name: "bronze"}},
		{"a longer name", "US/nickel", "P", 1943, 5.00, verdict.Metal{ID: "silver-350", Name: "35% silver"}},
		{"wrong for its year", "US/quarter", "", 1965, 6.25, verdict.Metal{ID: "silver-900", Name: "90% silver"}},
		{"the likeliest, with a rival", "US/nickel", "", 0, 5.00, verdict.Metal{ID: "cupronickel", Name: "copper-nickel"}},
		{"counted, and told by its colour", "US/dollar", "", 0, 8.10, verdict.Metal{}},
		{"several", "US/half", "", 0, 11.42, verdict.Metal{}},
		{"none that is known", "US/cent", "", 0, 1.43, verdict.Metal{}},
	} {
		q := on(0.01, tc.y, "")
		q.Country, q.Denomination, _ = strings.Cut(tc.key, "/")
		q.Year, q.Mint = tc.year, tc.mint
		v := judge(t, q)
		if got := v.Metal; got == nil && tc.want != (verdict.Metal{}) || got != nil && *got != tc.want {
			t.Errorf("%s: %q names %+v, want %+v", tc.name, v.Headline, got, tc.want)
		}
	}
}
