package bridge

import (
	"panside/internal/book"
	"panside/internal/coin"
)

// bookOut is the answer of "book": what the phone's keys offer.
type bookOut struct {
	Countries []countryOut `json:"countries"`
}

type countryOut struct {
	ID            string            `json:"id"`
	Name          string            `json:"name"`
	Denominations []denominationOut `json:"denominations"`
	// Wants are what its hunters keep although it is regular; countries may share one.
	Wants []wantOut `json:"wants"`
}

type wantOut struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Note  string `json:"note"`  // which coins they are
	Start bool   `json:"start"` // kept by who hasn't chosen yet
}

type denominationOut struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Plural  string `json:"plural"`
	Short   string `json:"short"`
	Current bool   `json:"current"`
	// Diameter and Edge are those of the newest issue that circulates, for the
	// outline on the key; left out where they aren't known.
	Diameter float64   `json:"diameter_mm,omitempty"`
	Edge     coin.Edge `json:"edge,omitempty"`
	// Dates are in order. Marks holds what a coin of those years may show,
	// "-" for no mark; null where the catalogue doesn't know.
	Dates []spanOut `json:"dates"`
}

// spanOut is a run of years. Open reports whether coins were still struck in Last.
type spanOut struct {
	First int      `json:"first"`
	Last  int      `json:"last"`
	Open  bool     `json:"open,omitempty"`
	Marks []string `json:"marks"`
	// Lost is set if coins without the mark they should carry are known.
	Lost bool `json:"lost,omitempty"`
}

// callBook answers "book": countries, denominations, and the years and mint
// marks of each. It takes nothing.
func callBook(s *book.Shelf, _ []byte) (any, error) {
	b, err := s.Coins()
	if err != nil {
		return nil, err
	}
	var out bookOut
	for _, c := range b.Countries() {
		country := countryOut{ID: c.ID, Name: c.Name, Wants: []wantOut{}}
		for _, d := range b.Denominations(c.ID) {
			newest := newestPlanchet(b, c.ID, d.ID)
			country.Denominations = append(country.Denominations, denominationOut{
				Diameter: newest.Diameter.Value, Edge: newest.Edge,
				ID: d.ID, Name: d.Name, Plural: d.Plural, Short: d.Short, Current: d.Current,
				Dates: spansOut(b.Dates(c.ID, d.ID)),
			})
		}
		for _, w := range b.Wants(c.ID) {
			country.Wants = append(country.Wants, wantOut{w.ID, w.Name, w.Note, w.Start})
		}
		out.Countries = append(out.Countries, country)
	}
	return out, nil
}

func spansOut(spans []coin.Span) []spanOut {
	var out []spanOut
	for _, s := range spans {
		out = append(out, spanOut{First: s.First, Last: s.Last, Open: s.Open, Marks: s.Mints, Lost: s.MarkLost})
	}
	return out
}

// newestPlanchet is that of the denomination's latest circulating issue.
func newestPlanchet(b *coin.Book, country, denomination string) coin.Planchet {
	var newest coin.Issue
	for _, i := range b.Issues(country, denomination) {
		if i.Circulating && (newest.ID == "" || i.Last() >= newest.Last()) {
			newest = i
		}
	}
	return b.Planchet(newest.Planchet)
}
