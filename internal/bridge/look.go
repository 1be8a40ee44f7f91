package bridge

import (
	"errors"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/look"
	"panside/internal/say"
)

// coinIn is a coin, as far as it is known. Hint is what a verdict said of the weight
// (light, heavy, regular), empty without one.
type coinIn struct {
	Country      string    `json:"country"`
	Denomination string    `json:"denomination"`
	Year         int       `json:"year"`
	Mint         string    `json:"mint"`
	Hint         look.Hint `json:"hint"`
}

// lookIn is what "look" takes: a coin, and what a verdict left of it. It is the
// verdict's field "inspect", unchanged.
type lookIn struct {
	coinIn
	Judged       bool               `json:"judged"`
	Alloys       []string           `json:"alloys"`
	Years        []string           `json:"years"`
	Explanations []look.Explanation `json:"explanations"`
}

// query is the coin, left what a verdict left of it.
func (l *lookIn) query() look.Query { return look.Query(l.coinIn) }

func (l *lookIn) left() look.Left {
	return look.Left{Judged: l.Judged, Alloys: l.Alloys, Years: l.Years, Explanations: l.Explanations}
}

// lookOut is its answer. Look is in the order to inspect in.
type lookOut struct {
	Look     []look.LookFor `json:"look"`
	Cautions []look.Caution `json:"cautions"`
}

// callLook answers "look": the inspection sheet of a coin.
// Errors: fault.BadInput, fault.NoSuchIssue.
func callLook(s *book.Shelf, in []byte) (any, error) {
	var l lookIn
	if err := json.Unmarshal(in, &l); err != nil {
		return nil, fault.Wrap(fault.BadInput, say.New("look-question-unreadable"), err)
	}
	l.Country = coin.CountryID(l.Country)
	q := l.query()
	if err := q.Check(); err != nil {
		return nil, err
	}
	coins, err := s.Judging(q.Country)
	if err != nil {
		return nil, err
	}
	q.Denomination = coins.DenominationID(q.Country, q.Denomination)
	book, err := s.LooksOf(q.Country, q.Denomination)
	if err != nil {
		return nil, err
	}
	if err := struck(coins, book, q); err != nil {
		return nil, err
	}
	sheet := book.After(q, l.left())
	return lookOut{Look: sheet, Cautions: book.Cautions(q, sheet)}, nil
}

// struck returns why there is no such coin, nil if there is. A mark, or the lack
// of one, that the catalogue doesn't have is still a coin when a look-for is
// about it.
func struck(coins *coin.Book, book *look.Book, q look.Query) error {
	_, err := coins.Find(q.Country, q.Denomination, q.Year, q.Mint)
	var no *fault.Field
	if errors.As(err, &no) && no.Name == "mint" && book.Names(q) {
		return nil
	}
	return err
}

// keyIn is what "key" takes: the coin and what the weighing said of it, the
// hint and the kinds of its likeliest explanations, all optional.
type keyIn struct {
	coinIn
	Explanations []string `json:"explanations"`
}

// keyOut is the whole key, for the phone to walk, with the answers that the
// scale has given already, by question.
type keyOut struct {
	look.Key
	Filled map[string]int `json:"filled"`
	Kinds  []look.Kind    `json:"kinds"`
}

// callKey answers "key": the identification key. The coin may be left out.
// Errors: fault.BadInput.
func callKey(s *book.Shelf, in []byte) (any, error) {
	var k keyIn
	if err := json.Unmarshal(in, &k); err != nil {
		return nil, fault.Wrap(fault.BadInput, say.New("key-question-unreadable"), err)
	}
	said := k.Explanations
	if k.Hint != "" {
		said = append(said, string(k.Hint))
	}
	book, err := s.LooksWithKey()
	if err != nil {
		return nil, err
	}
	key := book.Key()
	return keyOut{Key: key, Filled: key.Fill(said), Kinds: book.Kinds()}, nil
}
