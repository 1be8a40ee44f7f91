package coin_test

import (
	"slices"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
)

// TestWhatPeopleSayFindsTheCoin: the trade's words, in any case, one and many.
func TestWhatPeopleSayFindsTheCoin(t *testing.T) {
	b := data.Coins()
	for word, want := range map[string]string{
		"penny": "cent", "Pennies": "cent", "cents": "cent", "nickels": "nickel", "five-cent piece": "nickel", "Half Dollar": "half", "halves": "half", "DIME": "dime", "half dime": "half-dime",
	} {
		if d, ok := b.Called("US", word); !ok || d.ID != want {
			t.Errorf("%q: %q, want %q", word, d.ID, want)
		}
	}
	if d, ok := b.Called("GB", "penny"); !ok || d.ID != "penny" {
		t.Errorf("a British penny is %q", d.ID)
	}
	if d, ok := b.Called("US", "groat"); ok {
		t.Errorf("a groat is %q", d.ID)
	}
	for typed, want := range map[string]string{"": "US", "usa": "US", "uk": "GB", "ca": "CA", "ZZ": "ZZ"} {
		if got := coin.CountryID(typed); got != want {
			t.Errorf("%q is %q", typed, got)
		}
	}
}

// TestSearchKnowsTradeWords: where no name fits, what people call a coin does.
func TestSearchKnowsTradeWords(t *testing.T) {
	b := data.Coins()
	for text, want := range map[string]string{
		"penny 1943": "us-cent-steel", "steelie": "us-cent-steel", "steelies": "us-cent-steel", "war nickel": "us-nickel-wartime", "wheat penny 1915": "us-cent-wheat-bronze", "penny steel": "us-cent-steel",
	} {
		if found := b.Search(text); !slices.ContainsFunc(found, func(i coin.Issue) bool { return i.ID == want || i.Planchet == want }) {
			t.Errorf("%q finds %d coins, none of them %s", text, len(found), want)
		}
	}
	if found := b.Search("steelie 1990"); len(found) != 0 {
		t.Errorf("a steelie of 1990: %v", found)
	}
}
