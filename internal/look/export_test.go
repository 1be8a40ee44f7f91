package look

import (
	"maps"
	"slices"
	"strings"
)

// What tests see of the package. They stand outside it, since the data they
// test it with imports it.

var (
	ParseSpans = parseSpans
	Tools      = tools
	Rarities   = rarities
)

const Open9999 = open

// Denominations are those with look-fors, by “US/cent”, all read.
func (b *Book) Denominations() map[string]*denomination {
	all := map[string]*denomination{}
	for id := range b.denominations {
		all[id], _ = b.denomination(id)
	}
	return all
}

// DenominationIDs are those of the United States, without the country.
func (b *Book) DenominationIDs() []string {
	var ids []string
	for id := range maps.Keys(b.denominations) {
		if of, ok := strings.CutPrefix(id, "US/"); ok {
			ids = append(ids, of)
		}
	}
	slices.Sort(ids)
	return ids
}

func (b *Book) KindOf(id string) *Kind { return b.kinds[id] }

// RarityIn is the fact's rarity, or its kind's.
func (f Fact) RarityIn(b *Book) string { return f.words.or(b.kinds[f.Kind].words).Rarity }

func (s span) Has(year int) bool { return s.has(year) }
