package bridge

import (
	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/want"
)

// mostKept is the longest list of wants; longer ones are no hunter's.
const mostKept = 500

// readKeep reads what the hunter wants: a list, or one text with commas.
func readKeep(s *book.Shelf, coins *coin.Book, country string, raw json.RawMessage) ([]coin.Want, error) {
	if len(raw) == 0 || string(raw) == "null" {
		return want.Start(coins, country), nil
	}
	words := make([]text, 1)
	into := any(&words[0])
	if raw[0] == '[' {
		into = &words
	}
	if err := json.Unmarshal(raw, into); err != nil || len(words) > mostKept {
		return nil, bad("keep", fault.BadInput, "What you keep must be a list of at most 500 words, like [\"silver\",\"wheat ears\",\"1909-S\"]. Nothing was judged; an empty list keeps nothing.")
	}
	entries := make([]string, 0, len(words))
	for _, w := range words {
		if w == notPlain {
			return nil, bad("keep", fault.BadInput, "What you keep must be words, like silver, wheat ears or 1909-S. Nothing was judged; take out what is no word.")
		}
		entries = append(entries, string(w))
	}
	called := func(b *coin.Book) want.Denominations {
		return func(country, word string) (coin.Denomination, bool) { return denominationCalled(b, country, word) }
	}
	kept, unknown := want.Parse(coins, country, entries, called(coins))
	if unknown == "" {
		return kept, nil
	}
	// It may be another country's, whose coins this judgement doesn't take.
	all, err := s.Coins()
	if err != nil {
		return nil, err
	}
	if kept, unknown = want.Parse(all, country, entries, called(all)); unknown != "" {
		return nil, bad("keep", fault.BadInput, "“"+quoteable(unknown)+"” is nothing that the coin book knows. Nothing was judged; write what you keep like silver, wheat ears, 1909-S, cent 1909-1958 or S.")
	}
	return kept, nil
}

// denominationCalled finds a country's denomination by what people call it, in lower
// case.
func denominationCalled(b *coin.Book, country, word string) (coin.Denomination, bool) {
	if everyday, ok := everydayNames[country+"/"+word]; ok {
		word = everyday
	}
	for _, d := range b.Denominations(country) {
		if word == d.ID || word == d.Name || word == d.Plural {
			return d, true
		}
	}
	return coin.Denomination{}, false
}

// everydayNames are what people call some denominations.
var everydayNames = map[string]string{
	"US/penny": "cent", "US/pennies": "cent", "US/quarter dollar": "quarter", "US/five-cent": "nickel", "US/five cents": "nickel", "US/half-dollar": "half", "US/half dollar": "half", "US/halves": "half", "US/five cent piece": "nickel", "US/five-cent pieces": "nickel",
	"CA/penny": "cent", "CA/pennies": "cent", "CA/cents": "cent", "CA/nickels": "nickel", "CA/dimes": "dime", "CA/quarters": "quarter", "CA/halves": "half", "CA/half-dollar": "half", "CA/half dollar": "half",
}
