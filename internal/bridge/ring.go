package bridge

import (
	"strings"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/verdict"
)

// ringIn is how a coin rang: partials in Hz, lowest first, and their relative standard
// uncertainty; with the ring of a coin of known planchet, if one was rung before.
type ringIn struct {
	Hz    []float64 `json:"hz"`
	U     float64   `json:"u"`
	Known *struct {
		Planchet string    `json:"planchet"`
		Hz       []float64 `json:"hz"`
		U        float64   `json:"u"`
	} `json:"known"`
}

// readRing reads a ring; nil for none. It comes as an object, or as the text of one, as a
// find keeps it.
func readRing(field string, raw json.RawMessage) (*verdict.Ring, error) {
	if len(raw) == 0 || string(raw) == "null" || string(raw) == `""` {
		return nil, nil
	}
	broken := bad(field, fault.BadInput, "The ring is not an object like {\"hz\":[8950,15500],\"u\":0.002}. Nothing was judged; leave it out, or ring the coin again.")
	if raw[0] == '"' {
		var inner string
		if err := json.Unmarshal(raw, &inner); err != nil {
			return nil, broken
		}
		raw = json.RawMessage(inner)
	}
	var in *ringIn
	if err := json.Strict(raw, &in); err != nil || in == nil {
		return nil, broken
	}
	r := verdict.Ring{Hz: in.Hz, U: in.U}
	if k := in.Known; k != nil {
		r.Known = &verdict.KnownRing{Planchet: k.Planchet, Hz: k.Hz, U: k.U}
	}
	return &r, nil
}

// callRing answers "ring": which metal of a denomination rings so, without a scale, and where
// its metals lie. Errors: fault.BadInput, fault.NoSuchIssue, each with its field.
func callRing(s *book.Shelf, in []byte) (any, error) {
	var j struct {
		Country      text            `json:"country"`
		Denomination text            `json:"denomination"`
		Ring         json.RawMessage `json:"ring"`
	}
	if err := knownFields(in, "", []string{"country", "denomination", "ring"}); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, "The question is not a plain JSON object. Nothing was judged; check quotes and commas.")
	}
	q := verdict.RingQuestion{Country: coin.CountryID(string(j.Country))}
	coins, err := s.Judging(q.Country)
	if err != nil {
		return nil, err
	}
	q.Denomination = coins.DenominationID(q.Country, strings.ToLower(string(j.Denomination)))
	if q.Denomination == "" {
		return nil, bad("denomination", fault.BadInput, "A denomination is missing. Nothing was judged; name it, like quarter.")
	}
	r, err := readRing("ring", j.Ring)
	if err != nil {
		return nil, err
	}
	if r != nil {
		q.Ring = *r
	}
	return verdict.Tell(coins, q)
}
