package bridge

import (
	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/look"
	"panside/internal/say"
)

// datedIn is what "dated" takes: a denomination, and a kind of the key.
type datedIn struct {
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Kind         string `json:"kind"`
}

// datedOut is its answer.
type datedOut struct {
	Dates []look.Dated `json:"dates"`
}

// callDated answers "dated": the dates on which a kind is known. None for a
// denomination or a kind of which no dates are known.
// Errors: fault.BadInput, fault.NoSuchIssue.
func callDated(s *book.Shelf, in []byte) (any, error) {
	var d datedIn
	if err := json.Unmarshal(in, &d); err != nil {
		return nil, fault.Wrap(fault.BadInput, say.New("dated-question-unreadable"), err)
	}
	d.Country = coin.CountryID(d.Country)
	if err := (look.Query{Country: d.Country, Denomination: d.Denomination}).Check(); err != nil {
		return nil, err
	}
	book, err := s.LooksOf(d.Country, d.Denomination)
	if err != nil {
		return nil, err
	}
	return datedOut{book.Dated(d.Country, d.Denomination, d.Kind)}, nil
}
