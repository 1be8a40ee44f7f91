package bridge

import (
	"encoding/json"
	"math"
	"strconv"

	"panside/internal/bulk"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// rollIn is what "roll" takes: a weighed pile or roll, in grams. With other,
// count is needed, and the answer is about the mix; without, about the count.
type rollIn struct {
	Issue      text `json:"issue"` // id in the coin book: what the pile is thought to hold
	Other      text `json:"other"` // id of the issue looked for among them
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
	Of          string    `json:"of"` // "count" or "other"
	From        int       `json:"from"`
	Probability []float64 `json:"probability"` // of from, from+1, …
	Best        int       `json:"best"`
	Low         int       `json:"low"` // 95 %
	High        int       `json:"high"`
	Firm        bool      `json:"firm"` // best alone has 95 %
	Any         *float64  `json:"any,omitempty"`
	OneSeen     *float64  `json:"one_seen,omitempty"` // power for a single other coin
	Least       *int      `json:"least,omitempty"`    // other coins needed to be noticed in 80 of 100 piles; 0: never
	Sentence    string    `json:"sentence"`
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
func callRoll(in []byte) (any, error) {
	if err := knownFields(in, "", rollFields); err != nil {
		return nil, err
	}
	var j rollIn
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, "The question is not a plain JSON object. Nothing was computed; check quotes and commas.")
	}
	usual, err := kindOf("issue", j.Issue)
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
		return countOut(a), nil
	}
	other, err := kindOf("other", j.Other)
	if err != nil {
		return nil, err
	}
	n, err := strconv.Atoi(string(j.Count))
	if err != nil {
		return nil, bad("count", fault.BadNumber, "How many coins there are must be a whole number. Nothing was computed; count them, or ask for the count first.")
	}
	var expected float64
	if err := number("expected_share", j.Expected, &expected); err != nil {
		return nil, err
	}
	m, err := bulk.Share(p, n, usual, other, expected)
	if err != nil {
		return nil, err
	}
	return mixOut(m, n), nil
}

func kindOf(field string, id text) (bulk.Kind, error) {
	book := coin.Default()
	for _, i := range book.All() {
		if i.ID == string(id) {
			piece := verdict.PieceOf(book, i, 0)
			shared := math.Hypot(sharedWear*float64(piece.Wear), sharedMade*float64(piece.SD))
			return bulk.Kind{Mean: piece.Mean, SD: piece.SD, Wear: piece.Wear, Shared: mass.Grams(shared)}, nil
		}
	}
	return bulk.Kind{}, bad(field, fault.NoSuchIssue, "The coin book has no issue “"+quoteable(string(id))+"”. Nothing was computed; search the coin book for its id.")
}

func readPile(j *rollIn) (bulk.Pile, error) {
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
			return bulk.Pile{}, bad("resolution_g", fault.BadInput, "The scale's step must be more than zero. Nothing was computed.")
		}
		u = float64(mass.UnprovenScale(mass.Grams(d), load).U())
	}
	return bulk.Pile{Total: load, U: mass.Grams(u), Wrapper: mass.Grams(wrapper), UWrapper: mass.Grams(uWrapper)}, nil
}

func countOut(a bulk.Answer) rollOut {
	out := answerOut("count", a)
	switch {
	case a.Firm:
		out.Sentence = strconv.Itoa(a.Best) + " coins."
	case a.Low == a.High-1:
		out.Sentence = strconv.Itoa(a.Low) + " or " + strconv.Itoa(a.High) + " coins: the weight can't say which. Count them."
	default:
		out.Sentence = "Between " + strconv.Itoa(a.Low) + " and " + strconv.Itoa(a.High) + " coins, most likely " + strconv.Itoa(a.Best) + "."
	}
	return out
}

func mixOut(m bulk.Mix, n int) rollOut {
	out := answerOut("other", m.Other)
	out.Any, out.OneSeen, out.Least = &m.Any, &m.OneSeen, &m.Least
	a := m.Other
	switch {
	case a.High == 0:
		out.Sentence = "None of the other kind, as far as the weight can tell."
	case a.Low == a.High:
		out.Sentence = strconv.Itoa(a.Low) + " of the other kind."
	case a.Low == 0 && a.High == n:
		out.Sentence = "This weight can't tell: anything from none to all may be of the other kind."
	default:
		out.Sentence = "Between " + strconv.Itoa(a.Low) + " and " + strconv.Itoa(a.High) + " of the other kind."
	}
	percent := strconv.Itoa(int(math.Round(100*m.OneSeen))) + " %"
	out.Sentence += " A single one would be noticed in " + percent + " of such piles (pure ones raise a false alarm in 5 %)"
	switch {
	case m.Least == 0:
		out.Sentence += ", and even a pile of nothing else might not be."
	case m.Least > 1:
		out.Sentence += "; it takes " + strconv.Itoa(m.Least) + " to be noticed in 80 %."
	default:
		out.Sentence += "."
	}
	return out
}

func answerOut(of string, a bulk.Answer) rollOut {
	return rollOut{Of: of, From: a.From, Probability: a.Probability, Best: a.Best, Low: a.Low, High: a.High, Firm: a.Firm}
}
