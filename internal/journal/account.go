package journal

import (
	"maps"
	"strings"

	"panside/internal/stable"
)

// Account is what a hunt, or all hunts of one source, took and gave.
type Account struct {
	Hunts    int              `json:"hunts"`
	Searched int64            `json:"searched"`  // coins
	Active   int64            `json:"active_ms"` // without pauses
	Finds    int              `json:"finds"`     // not deleted
	Kinds    map[string]int   `json:"kinds"`     // finds by kind, "" for none given
	Counted  map[string]int64 `json:"counted"`   // coins judged hands-free by call
	Metals   []MetalCount     `json:"metals"`    // and by metal, the most first
	// Paid and Returned are face value, Still what was paid and not given back:
	// finds kept and coins not yet returned. Exact, each currency by itself.
	Paid     []Face `json:"paid"`
	Returned []Face `json:"returned"`
	Still    []Face `json:"still"`
	// PerThousand is finds per 1,000 coins searched, 0 if none was.
	PerThousand float64 `json:"finds_per_thousand"`

	paid, returned, still purse
}

func newAccount() Account {
	return Account{Kinds: map[string]int{}, Counted: map[string]int64{}, Metals: []MetalCount{}, paid: purse{}, returned: purse{}, still: purse{}}
}

// accountOf is one hunt's, finds by kind given.
func accountOf(h Hunt, kinds map[string]int) Account {
	a := newAccount()
	a.Hunts, a.Searched, a.Active = 1, h.Searched, h.Active
	for k, n := range kinds {
		a.Kinds[k] = n
		a.Finds += n
	}
	maps.Copy(a.Counted, h.Counted)
	a.Metals = join(a.Metals, h.Metals)
	a.paid.add(h.Paid, 1)
	a.returned.add(h.Returned, 1)
	a.still.add(h.Paid, 1)
	a.still.add(h.Returned, -1)
	return a.summed()
}

// join adds another account.
func (a Account) join(o Account) Account {
	a.Hunts += o.Hunts
	a.Searched += o.Searched
	a.Active += o.Active
	a.Finds += o.Finds
	for k, n := range o.Kinds {
		a.Kinds[k] += n
	}
	for c, n := range o.Counted {
		a.Counted[c] += n
	}
	a.Metals = join(a.Metals, o.Metals)
	a.paid.join(o.paid)
	a.returned.join(o.returned)
	a.still.join(o.still)
	return a.summed()
}

func (a Account) summed() Account {
	a.Paid, a.Returned, a.Still = a.paid.list(), a.returned.list(), a.still.list()
	a.PerThousand = 0
	if a.Searched > 0 {
		a.PerThousand = 1000 * float64(a.Finds) / float64(a.Searched)
	}
	return a
}

// HuntAccount is a hunt with its account.
type HuntAccount struct {
	Hunt
	Account Account `json:"account"`
}

// SourceAccount is all hunts of one source at one place.
type SourceAccount struct {
	Source  string  `json:"source"`
	Place   string  `json:"place"`
	Account Account `json:"account"`
}

// BySource joins the hunts' accounts by source and place, deleted hunts left
// out, so that it shows which sources pay.
func BySource(hunts []HuntAccount) []SourceAccount {
	type key struct{ source, place string }
	sums := map[key]Account{}
	for _, h := range hunts {
		if h.Deleted {
			continue
		}
		k := key{h.Source, strings.TrimSpace(h.Place)}
		if _, ok := sums[k]; !ok {
			sums[k] = newAccount()
		}
		sums[k] = sums[k].join(h.Account)
	}
	all := make([]SourceAccount, 0, len(sums))
	for k, a := range sums {
		all = append(all, SourceAccount{k.source, k.place, a})
	}
	stable.Sort(all, func(a, b SourceAccount) int {
		if c := strings.Compare(a.Source, b.Source); c != 0 {
			return c
		}
		return strings.Compare(a.Place, b.Place)
	})
	return all
}
