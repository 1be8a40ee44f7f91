package bridge

import (
	"slices"
	"sync/atomic"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/verdict"
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

// callKeep answers "keep": what an entry of the list means, of all countries' wants and
// dates. None for what the book knows nothing of. Errors: fault.BadInput.
func callKeep(s *book.Shelf, in []byte) (any, error) {
	if err := knownFields(in, "", []string{"entry"}); err != nil {
		return nil, err
	}
	var j struct {
		Entry text `json:"entry"`
	}
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, say.New("question-not-an-object-worked-out"))
	}
	coins, err := s.Coins()
	if err != nil {
		return nil, err
	}
	var out struct {
		Wanted []verdict.Wanted `json:"wanted"`
	}
	out.Wanted = []verdict.Wanted{}
	for _, c := range coins.Countries() {
		kept, _ := want.Parse(coins, c.ID, []string{string(j.Entry)}, coins.Called)
		for _, k := range kept {
			// Countries share ids: who keeps silver keeps it from anywhere.
			if !slices.ContainsFunc(out.Wanted, func(w verdict.Wanted) bool { return w.ID == k.ID }) {
				out.Wanted = append(out.Wanted, verdict.Wanted{ID: k.ID, Name: k.Name})
			}
		}
	}
	return out, nil
}
