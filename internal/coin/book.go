package coin

import (
	"slices"
	"strings"
	"sync"

	"panside/internal/say"
	"panside/internal/stable"
)

// Book is a catalogue of some countries or of all. It is read-only once loaded, so many goroutines
// may use it; callers must not write into the slices it hands out.
type Book struct {
	countries      []Country
	denominations  []Denomination
	issues         []Issue
	abroad         []Country // that strangers are of
	strangers      []Issue
	foreignStrikes []ForeignStrike
	questions      map[string][]Question // by country
	wants          map[string][]Want     // by country
	offYears       []OffYear
	planchets      map[string]Planchet
	alloys         map[string]Alloy
	wearRates      map[string]Figure // by wear class
	sources        map[string]Source

	tongue         *say.Tongue
	byDenomination map[string][]Issue // by key
	described      func() [][]string  // words of each issue, gathered at the first search
}

// Speaks has a book whose words are of one language say its sentences in that too; call
// it before the book is shared.
func (b *Book) Speaks(t *say.Tongue) { b.tongue = t }

// Tongue is what sentences about its coins are written in: English unless Speaks was
// called.
func (b *Book) Tongue() *say.Tongue {
	if b.tongue == nil {
		return say.English
	}
	return b.tongue
}

// index sorts each denomination's issues by their first year, circulating ones
// first where it is the same.
func (b *Book) index() {
	b.described = sync.OnceValue(b.describeAll)
	b.byDenomination = map[string][]Issue{}
	for _, i := range b.issues {
		if len(i.Spans) == 0 {
			continue // check reports it
		}
		k := key(i.Country, i.Denomination)
		b.byDenomination[k] = append(b.byDenomination[k], i)
	}
	for _, issues := range b.byDenomination {
		stable.Sort(issues, func(x, y Issue) int {
			if d := x.First() - y.First(); d != 0 {
				return d
			}
			if x.Circulating != y.Circulating {
				if x.Circulating {
					return -1
				}
				return 1
			}
			return 0
		})
	}
}

func key(country, denomination string) string { return country + "/" + denomination }

// those are what of a list is wanted; nil for none.
func those[T any](list []T, wanted func(*T) bool) (of []T) {
	for i := range list {
		if wanted(&list[i]) {
			of = append(of, list[i])
		}
	}
	return of
}

// Countries lists all, in the order of the keys on the phone.
func (b *Book) Countries() []Country { return b.countries }

// Denominations lists those of a country by face value.
func (b *Book) Denominations(country string) []Denomination {
	return those(b.denominations, func(d *Denomination) bool { return d.Country == country })
}

// Denomination is one of a country's, or false.
func (b *Book) Denomination(country, id string) (Denomination, bool) {
	for _, d := range b.denominations {
		if d.Country == country && d.ID == id {
			return d, true
		}
	}
	return Denomination{}, false
}

// Issues lists all of a denomination by first year; none for an unknown one.
func (b *Book) Issues(country, denomination string) []Issue {
	return b.byDenomination[key(country, denomination)]
}

// Country is one of the catalogue's, or false.
func (b *Book) Country(id string) (Country, bool) { return b.country(id) }

// All lists every issue, country by country, in the order of the data.
func (b *Book) All() []Issue { return b.issues }

// ForeignStrikes lists the coins that a country's mint struck for others.
func (b *Book) ForeignStrikes(country string) []ForeignStrike {
	return those(b.foreignStrikes, func(g *ForeignStrike) bool { return g.Country == country })
}

// OffYears lists a country's coins known on planchets of other years.
func (b *Book) OffYears(country string) []OffYear {
	return those(b.offYears, func(o *OffYear) bool { return o.Country == country })
}

// Planchet by id; the zero value for an unknown one.
func (b *Book) Planchet(id string) Planchet { return b.planchets[id] }

// Alloy by id; the zero value for an unknown one.
func (b *Book) Alloy(id string) Alloy { return b.alloys[id] }

// WearRate is the mean relative loss of mass a year of use; not Known for a class
// without one.
func (b *Book) WearRate(c WearClass) Figure { return b.wearRates[string(c)] }

// Source by id; the zero value for an unknown one.
func (b *Book) Source(id string) Source { return b.sources[id] }

// merge adds the marks of more to marks, the unmarked coin first, then by
// letter, without repeats.
func merge(marks, more []string) []string {
	for _, m := range more {
		if !slices.Contains(marks, m) {
			marks = append(marks, m)
		}
	}
	stable.Sort(marks, strings.Compare) // "-" sorts before letters
	return marks
}
