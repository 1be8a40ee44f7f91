package verdict_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// find returns the first explanation of a kind.
func find(v verdict.Verdict, k verdict.Kind) (verdict.Explanation, bool) {
	for _, e := range v.Explanations {
		if e.Kind == k {
			return e, true
		}
	}
	return verdict.Explanation{}, false
}

// TestRareCoins seeds one of each kind that weight can find.
func TestRareCoins(t *testing.T) {
	for _, tc := range []struct {
		name         string
		denomination string
		year         int
		y            mass.Grams
		kind         verdict.Kind
		expected     float64
	}{
		{"cent on a clad dime’s planchet", "cent", 1970, 2.27, verdict.WrongPlanchet, 2.268},
		{"cent on a silver dime’s planchet", "cent", 1960, 2.49, verdict.WrongPlanchet, 2.5},
		{"quarter on a five-cent planchet", "quarter", 1990, 5.01, verdict.WrongPlanchet, 5},
		{"cent struck over a dime", "cent", 1970, 2.26, verdict.DoubleDenomination, 2.268},
		{"quarter from dime strip", "quarter", 1970, 4.16, verdict.WrongStock, 2.268 * (0.955 / 0.705) * (0.955 / 0.705)},
		{"quarter without a layer", "quarter", 1990, 4.73, verdict.MissingLayer, 5.67 * (1 - 0.3332/2)},
		{"dime without both layers", "dime", 1990, 1.51, verdict.MissingLayer, 2.268 * (1 - 0.3332)},
		{"bronze cent of 1943", "cent", 1943, 3.11, verdict.TransitionalAlloy, 3.11},
		{"steel cent of 1944", "cent", 1944, 2.72, verdict.TransitionalAlloy, 2.754},
		{"brass cent of 1983", "cent", 1983, 3.10, verdict.TransitionalAlloy, 3.11},
		{"silver quarter of 1965", "quarter", 1965, 6.25, verdict.TransitionalAlloy, 6.25},
		{"clad dime of 1964", "dime", 1964, 2.27, verdict.TransitionalAlloy, 2.268},
		{"plated heavy cent", "cent", 2000, 2.90, verdict.Altered, 0},
		{"nothing known", "dime", 2000, 9.90, verdict.Unknown, 0},
	} {
		q := on(0.01, tc.y, tc.denomination)
		q.Year = tc.year
		v := judge(t, q)
		e, ok := find(v, tc.kind)
		if v.Call != verdict.Look || !ok || e.LikelihoodRatio < verdict.LookRatio || e.Confirm == "" {
			t.Errorf("%s: %s, %+v", tc.name, v.Call, v.Explanations)
			continue
		}
		if tc.expected > 0 && math.Abs(float64(e.Expected)-tc.expected) > 0.01 {
			t.Errorf("%s: expected_g %v, want %v", tc.name, e.Expected, tc.expected)
		}
		if tc.expected == 0 && !math.IsNaN(float64(e.Expected)) {
			t.Errorf("%s: a mass of %v g from nowhere", tc.name, e.Expected)
		}
		if !slices.IsSortedFunc(v.Explanations, func(a, b verdict.Explanation) int {
			return int(math.Copysign(1, float64(b.LikelihoodRatio-a.LikelihoodRatio)))
		}) {
			t.Errorf("%s: not ranked by likelihood ratio: %+v", tc.name, v.Explanations)
		}
	}
}

// TestForeignCoins: a stray is named by country.
func TestForeignCoins(t *testing.T) {
	q := on(0.01, 2.35, "cent")
	q.Evidence.Magnetic, q.Evidence.Colour = verdict.Strong, coin.Red
	v := judge(t, q)
	if e, ok := find(v, verdict.ForeignCoin); !ok || !strings.Contains(e.Name, "Canada") {
		t.Errorf("a magnetic copper-coloured 2.35 g: %+v", v.Explanations)
	}
}

// TestMissingLayerOrStain: full weight with a copper colour is a stain, a sixth
// light is a layer.
func TestMissingLayerOrStain(t *testing.T) {
	q := on(0.01, 5.66, "quarter")
	q.Evidence.Colour = coin.Red
	v := judge(t, q)
	if _, ok := find(v, verdict.MissingLayer); ok || v.Call == verdict.Look {
		t.Errorf("full weight: %s %+v", v.Call, v.Explanations)
	}
	if e, ok := find(v, verdict.Damage); !ok || !strings.Contains(e.Confirm, "stain") || !strings.Contains(v.Headline, "stain") {
		t.Errorf("full weight isn’t told to be a stain: %q %+v", v.Headline, v.Explanations)
	}
	light := on(0.01, 5.67*5/6, "quarter")
	plain := judge(t, light)
	light.Evidence.Colour = coin.Red
	copper := judge(t, light)
	a, ok := find(plain, verdict.MissingLayer)
	b, ok2 := find(copper, verdict.MissingLayer)
	if !ok || !ok2 || b.LikelihoodRatio <= a.LikelihoodRatio || copper.Explanations[0].Kind != verdict.MissingLayer {
		t.Errorf("a sixth light: %+v; with copper colour: %+v", plain.Explanations, copper.Explanations)
	}
}

// TestDates: an issue the date doesn’t fit isn’t forgotten, because dates are
// misread, and the surer the date the stronger the find.
func TestDates(t *testing.T) {
	q := on(0.01, 3.11, "cent")
	q.Year = 1943
	ratio := func(s verdict.Care) float64 {
		q.Evidence.Date = s
		e, _ := find(judge(t, q), verdict.TransitionalAlloy)
		return float64(e.LikelihoodRatio)
	}
	if unsure, usual, sure := ratio(verdict.Guessed), ratio(""), ratio(verdict.ReadTwice); !(unsure < usual && usual < sure) {
		t.Errorf("likelihood ratios unsure %v, usual %v, sure %v", unsure, usual, sure)
	}
	q.Evidence.Date = ""
	v := judge(t, q)
	if v.NextTest == nil {
		t.Fatal("no test is proposed")
	}
	tests := append([]verdict.Test{*v.NextTest}, v.OtherTests...)
	for _, want := range []string{"date", "magnet"} {
		if !slices.ContainsFunc(tests, func(x verdict.Test) bool { return x.Test == want }) {
			t.Errorf("%s isn’t proposed for a 1943 cent of bronze weight: %+v", want, tests)
		}
	}
	for _, x := range tests {
		if x.Test == "magnet" && !strings.Contains(x.Caution, "pacemakers") {
			t.Errorf("a magnet without its caution: %+v", x)
		}
	}
}
