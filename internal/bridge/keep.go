package bridge

import (
	"slices"
	"sync/atomic"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/want"
)

// mostKept is the longest list of wants; longer ones are no hunter's.
const mostKept = 500

// keptList is a list as it was read. A phone gives the same one with each estimate,
// many times a second.
type keptList struct {
	coins         *coin.Book
	country, list string
	kept          []coin.Want
}

// lastKept is the one read last, whoever asked.
var lastKept atomic.Pointer[keptList]

// readKeep reads what the hunter wants: a list, or one text with commas.
func readKeep(s *book.Shelf, coins *coin.Book, country string, raw json.RawMessage) ([]coin.Want, error) {
	if len(raw) == 0 || string(raw) == "null" {
		return want.Start(coins, country), nil
	}
	if last := lastKept.Load(); last != nil && last.coins == coins && last.country == country && last.list == string(raw) {
		return last.kept, nil
	}
	list := keptList{coins: coins, country: country, list: string(raw)}
	var words []text
	if raw[0] != '[' {
		raw = json.RawMessage("[" + string(raw) + "]")
	}
	err := json.Unmarshal(raw, &words)
	entries := make([]string, len(words))
	for i, w := range words {
		entries[i] = string(w)
	}
	if err != nil || len(words) > mostKept || slices.Contains(entries, string(notPlain)) {
		return nil, bad("keep", fault.BadInput, say.New("keep-not-a-list"))
	}
	kept, unknown := want.Parse(coins, country, entries, coins.Called)
	if unknown != "" {
		// It may be another country's, whose coins this judgement doesn't take.
		if coins, err = s.Coins(); err != nil {
			return nil, err
		}
		kept, unknown = want.Parse(coins, country, entries, coins.Called)
	}
	if unknown != "" {
		return nil, bad("keep", fault.BadInput, say.New("keep-unknown", say.Text("given", quoteable(unknown))))
	}
	list.kept = kept
	lastKept.Store(&list)
	return kept, nil
}
