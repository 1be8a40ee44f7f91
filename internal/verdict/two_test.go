package verdict_test

import (
	"slices"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// TestTwoAtOnceAreAskedForBeforeAnotherPlanchet: sums of 2.50 and 3.11 g (zinc
// and bronze cents), of two dimes, two five-cent pieces and two quarters.
func TestTwoAtOnceAreAskedForBeforeAnotherPlanchet(t *testing.T) {
	for _, tc := range []struct {
		denomination string
		grams        mass.Grams
	}{
		{"cent", 5.56}, {"cent", 5.6}, {"cent", 5.61}, {"cent", 5.0}, {"cent", 4.97}, {"cent", 6.2}, {"cent", 6.22},
		{"dime", 4.53}, {"nickel", 9.98}, {"quarter", 11.33},
	} {
		for _, step := range []mass.Grams{0.1, 0.01} {
			q := on(step, tc.grams, tc.denomination)
			v := judge(t, q)
			if v.Claim != (verdict.Claim{Call: verdict.Look, Kind: verdict.TwoCoins}) {
				t.Errorf("%s, %.2f g on %.2f: %v, %q", tc.denomination, float64(tc.grams), float64(step), v.Claim, v.Headline)
			}
			holdWords(t, q, v)
			if v.Hint != "" || v.CountAs != (verdict.CountAs{Again: true}) {
				t.Errorf("%s: %+v, %q", tc.denomination, v.CountAs, v.Spoken)
			}
			if len(v.Explanations) == 0 || v.Explanations[0].Kind != verdict.TwoCoins || v.Explanations[0].Expert || v.Explanations[0].Confirm == "" {
				t.Errorf("%s: %+v", tc.denomination, v.Explanations)
			}
		}
	}
}

// TestOneCoinIsNotTakenForTwo: regular coins, planchets that a searcher hopes
// for, and a coin that was looked at.
func TestOneCoinIsNotTakenForTwo(t *testing.T) {
	two := func(v verdict.Verdict) bool {
		return v.CountAs.Again || slices.ContainsFunc(v.Explanations, func(e verdict.Explanation) bool { return e.Kind == verdict.TwoCoins && e.LikelihoodRatio > 1 })
	}
	for _, tc := range []struct {
		denomination string
		grams        mass.Grams
	}{
		{"cent", 2.5}, {"cent", 3.11}, {"cent", 2.27}, {"cent", 4.67}, {"cent", 10.9}, {"cent", 7.5},
		{"dime", 2.27}, {"dime", 2.5}, {"dime", 3.11}, {"nickel", 5}, {"nickel", 3.11}, {"quarter", 5.67}, {"quarter", 6.25}, {"half", 12.5}, {"dollar", 26.73},
	} {
		if v := judge(t, on(0.01, tc.grams, tc.denomination)); two(v) {
			t.Errorf("%s of %.2f g: %q %+v", tc.denomination, float64(tc.grams), v.Headline, v.Explanations)
		}
	}
	q := on(0.01, 5.56, "cent")
	q.Evidence = verdict.Evidence{Edge: coin.EdgePlain}
	if v := judge(t, q); two(v) {
		t.Errorf("it was looked at: %q", v.Headline)
	}
}

// TestNoSingleCoinOfAnyKeyIsTakenForTwo weighs every regular issue's own mass.
func TestNoSingleCoinOfAnyKeyIsTakenForTwo(t *testing.T) {
	book := data.Coins()
	for _, d := range book.Denominations("US") {
		if !d.Current {
			continue
		}
		for _, i := range book.Issues("US", d.ID) {
			g := mass.Grams(book.Planchet(i.Planchet).Mass.Value)
			if v := judge(t, on(0.01, g, d.ID)); v.CountAs.Again {
				t.Errorf("%s, %s of %.2f g: %q", d.ID, i.Name, float64(g), v.Headline)
			}
		}
	}
}
