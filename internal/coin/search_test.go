package coin_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	"panside/internal/coin"
)

func TestSearch(t *testing.T) {
	b := data.Coins()
	for text, want := range map[string]string{
		"Two Cent 1870":        "us-two-cent",
		"two-cent 1870":        "us-two-cent",
		"us steel cent":        "us-cent-steel-early us-cent-steel",
		"40 % silver quarter":  "us-quarter-400",
		"collector anthony":    "us-dollar-anthony-proof",
		"canada 5¢ tombac":     "ca-nickel-tombac",
		"us-cent-zinc 2020":    "us-cent-zinc us-cent-zinc-proof",
		"us-cent-zinc 1970":    "",
		"twelve-sided bronze":  "ca-cent-bronze",
		"no_such_coin":         "",
		"gold eagle 1907 half": "us-half-eagle-1873",
	} {
		if got := ids(b.Search(text)); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	if len(b.Search(" ")) != len(b.All()) {
		t.Error("an empty search leaves coins out")
	}
}

// TestSearchNarrows: one word more never finds more.
func TestSearchNarrows(t *testing.T) {
	b := data.Coins()
	word := rapid.SampledFrom([]string{"silver", "cent", "us", "1943", "1976", "clad", "proof", "gb", "br", "½", "x", ""})
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(word, 1, 4).Draw(t, "words")
		fewer := b.Search(strings.Join(text, " "))
		more := b.Search(strings.Join(text[1:], " "))
		for _, i := range fewer {
			if !slices.ContainsFunc(more, func(j coin.Issue) bool { return j.ID == i.ID }) {
				t.Fatalf("%s is found only with the word %q", i.ID, text[0])
			}
		}
	})
}

// TestDatesAreWhatFindAccepts: every year and mark on the keys is a coin, and
// no other year of the range is.
func TestDatesAreWhatFindAccepts(t *testing.T) {
	b := data.Coins()
	for _, c := range b.Countries() {
		for _, d := range b.Denominations(c.ID) {
			dates := b.Dates(c.ID, d.ID)
			offered := map[int]bool{}
			for n, s := range dates {
				if n > 0 && (s.First <= dates[n-1].Last || dates[n-1].Open) {
					t.Errorf("%s %s: %+v after %+v", c.ID, d.ID, s, dates[n-1])
				}
				for y := s.First; y <= s.Last; y++ {
					offered[y] = true
					for _, m := range append([]string{""}, s.Mints...) {
						if _, err := b.Find(c.ID, d.ID, y, m); err != nil {
							t.Errorf("%s %s %d %q is offered: %v", c.ID, d.ID, y, m, err)
						}
					}
				}
			}
			for y := dates[0].First; y < dates[len(dates)-1].Last; y++ {
				if _, err := b.Find(c.ID, d.ID, y, ""); (err == nil) != offered[y] {
					t.Errorf("%s %s %d: offered %v, found %v", c.ID, d.ID, y, offered[y], err)
				}
			}
		}
	}
}
