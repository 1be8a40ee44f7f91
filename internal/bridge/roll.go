package bridge

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"panside/internal/book"
	"panside/internal/bulk"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/verdict"
)

// rollIn is what "roll" takes: a weighed pile or roll, in grams. With other,
// count is needed, and the answer is about the mix; without, about the count.
type rollIn struct {
	Issue      text `json:"issue"` // what the pile is thought to hold: an id of the coin book, or as "dime 1998"
	Other      text `json:"other"` // the issue looked for among them
	Count      text `json:"count"`
	Total      text `json:"total_g"`
	Resolution text `json:"resolution_g"` // default: the last digit of total_g
	U          text `json:"u_g"`          // default from the resolution
	Wrapper    text `json:"wrapper_g"`
	UWrapper   text `json:"u_wrapper_g"`
	Expected   text `json:"expected_share"` // of the other kind; 0 or none: every number as likely
}

var rollFields = []string{"issue", "other", "count", "total_g", "resolution_g", "u_g", "wrapper_g", "u_wrapper_g", "expected_share"}

// rollOut is the distribution asked for and how much it is worth.
type rollOut struct {
	Of string `json:"of"` // "count" or "other"
	bulk.Answer
	*bulk.Mix          // nil, and left out, for the count
	Any       *float64 `json:"any,omitempty"` // that one at least is among them; only with expected_share
	Sentence  string   `json:"sentence"`
}

// sharedWear is how far a lot's mean wear may differ from the model's, as a
// share of the mean loss; sharedMade how far a mint's mean may lie from the
// standard, as a share of the single coins' spread. Both assumed: coins of one
// roll were handled alike and struck alike, so their errors don't average out.
const (
	sharedWear = 0.5
	sharedMade = 0.25
)

// callRoll answers "roll". Errors: fault.BadInput, fault.BadNumber and
// fault.NoSuchIssue, with their field or a sentence that names the value.
func callRoll(s *book.Shelf, in []byte) (any, error) {
	if err := knownFields(in, "", rollFields); err != nil {
		return nil, err
	}
	var j rollIn
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, say.New("question-not-an-object-computed"))
	}
	coins, err := s.Coins()
	if err != nil {
		return nil, err
	}
	usual, err := kindOf(coins, "issue", j.Issue)
	if err != nil {
		return nil, err
	}
	p, err := readPile(&j)
	if err != nil {
		return nil, err
	}
	if j.Other == "" {
		a, err := bulk.Count(p, usual)
		if err != nil {
			return nil, err
		}
		return countOut(s.Tongue(), a), nil
	}
	other, err := kindOf(coins, "other", j.Other)
	if err != nil {
		return nil, err
	}
	n, err := strconv.Atoi(string(j.Count))
	if err != nil {
		return nil, bad("count", fault.BadNumber, say.New("roll-count-not-whole"))
	}
	var expected float64
	if err := number("expected_share", j.Expected, &expected); err != nil {
		return nil, err
	}
	m, err := bulk.Share(p, n, usual, other, expected)
	if err != nil {
		return nil, err
	}
	return mixOut(s.Tongue(), m, n, expected > 0), nil
}

func kindOf(book *coin.Book, field string, name text) (bulk.Kind, error) {
	issue, err := issueOf(book, field, string(name))
	if err != nil {
		return bulk.Kind{}, err
	}
	piece := verdict.PieceOf(book, issue, 0)
	shared := math.Hypot(sharedWear*float64(piece.Wear), sharedMade*float64(piece.SD))
	return bulk.Kind{Mean: piece.Mean, SD: piece.SD, Wear: piece.Wear, Shared: mass.Grams(shared)}, nil
}

// issueOf finds an issue by its id, or by denomination and year with the
// country in front if it isn't the United States: "dime 1998", "CA cent 1990".
func issueOf(book *coin.Book, field, name string) (coin.Issue, error) {
	for _, i := range book.All() {
		if i.ID == name {
			return i, nil
		}
	}
	words := strings.Fields(name)
	year := 0
	if n := len(words); n > 1 {
		year, _ = strconv.Atoi(words[n-1]) // 0 if it is none
	}
	if year == 0 {
		return coin.Issue{}, bad(field, fault.NoSuchIssue, say.New("roll-issue", say.Text("given", quoteable(name))))
	}
	country, called := "US", words[:len(words)-1]
	if _, ok := book.Country(coin.CountryID(called[0])); ok && len(called) > 1 {
		country, called = coin.CountryID(called[0]), called[1:]
	}
	found, err := book.Find(country, book.DenominationID(country, strings.Join(called, " ")), year, "")
	if err != nil {
		return coin.Issue{}, inField(field, err)
	}
	found = slices.DeleteFunc(slices.Clone(found), func(i coin.Issue) bool { return !i.Circulating })
	switch len(found) {
	case 1:
	case 0:
		return coin.Issue{}, bad(field, fault.NoSuchIssue, say.New("roll-none-circulating"))
	default:
		var ids []say.Arg
		for _, i := range found {
			ids = append(ids, say.Text("", i.ID+" ("+i.Name+")"))
		}
		return coin.Issue{}, bad(field, fault.NoSuchIssue, say.New("roll-several-issues", say.Count("count", len(found)), say.List("ids", say.Comma, ids...)))
	}
	return found[0], nil
}

func readPile(j *rollIn) (bulk.Pile, error) {
	if j.Total == "" {
		return bulk.Pile{}, bad("total_g", fault.BadInput, say.New("roll-no-total"))
	}
	total, err := mass.ParseDecimal(string(j.Total))
	if err != nil {
		return bulk.Pile{}, inField("total_g", err)
	}
	if j.Resolution == "" {
		j.Resolution = text(total.Step().String())
	}
	var d, u, wrapper, uWrapper float64
	for _, f := range []struct {
		name string
		text text
		into *float64
	}{{"resolution_g", j.Resolution, &d}, {"u_g", j.U, &u}, {"wrapper_g", j.Wrapper, &wrapper}, {"u_wrapper_g", j.UWrapper, &uWrapper}} {
		if err := number(f.name, f.text, f.into); err != nil {
			return bulk.Pile{}, err
		}
	}
	load := mass.Grams(total.Float64())
	if j.U == "" {
		if !(d > 0) {
			return bulk.Pile{}, bad("resolution_g", fault.BadInput, say.New("question-step-not-positive"))
		}
		u = float64(mass.UnprovenScale(mass.Grams(d), load).U())
	}
	return bulk.Pile{Total: load, U: mass.Grams(u), Wrapper: mass.Grams(wrapper), UWrapper: mass.Grams(uWrapper)}, nil
}

func countOut(t *say.Tongue, a bulk.Answer) rollOut {
	out := rollOut{Of: "count", Answer: a}
	switch {
	case a.Firm:
		out.Sentence = t.Write(say.New("roll-count", say.Count("n", a.Best)))
	case a.Low == a.High-1:
		out.Sentence = t.Write(say.New("roll-one-of-two", say.Count("low", a.Low), say.Count("high", a.High)))
	default:
		out.Sentence = t.Write(say.New("roll-between", say.Count("low", a.Low), say.Count("high", a.High), say.Count("best", a.Best)))
	}
	return out
}

func mixOut(t *say.Tongue, m bulk.Mix, n int, weighed bool) rollOut {
	out := rollOut{Of: "other", Answer: m.Other, Mix: &m}
	if weighed {
		out.Any = &m.Any
	}
	a := m.Other
	others := say.Line{}
	switch {
	case a.High == 0:
		others = say.New("roll-none-other")
	case a.Low == a.High:
		others = say.New("roll-others", say.Count("n", a.Low))
	case a.Low == 0 && a.High == n:
		others = say.New("roll-untold")
	default:
		others = say.New("roll-others-between", say.Count("low", a.Low), say.Count("high", a.High))
	}
	seen := say.Line{}
	switch {
	case m.Least == 0:
		seen = say.New("roll-never-seen")
	case m.Least > 1:
		seen = say.New("roll-takes", say.Count("n", m.Least))
	}
	line := say.New("roll-mix", say.Of("others", others), say.Of("pure", percent(m.Pure)), say.Of("one", percent(m.OneSeen)))
	if !seen.None() {
		line = say.New("roll-mix-seen", say.Of("others", others), say.Of("pure", percent(m.Pure)), say.Of("one", percent(m.OneSeen)), say.Of("seen", seen))
	}
	out.Sentence = t.Write(line)
	return out
}

// percent never claims certainty.
func percent(p float64) say.Line {
	switch {
	case p < 0.005:
		return say.New("under-1-percent")
	case p > 0.995:
		return say.New("over-99-percent")
	}
	return say.New("percent", say.Count("x", int(math.Round(100*p))))
}
