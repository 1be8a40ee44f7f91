package bridge

import (
	"errors"
	"math"

	"panside/internal/book"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/moment"
	"panside/internal/say"
	"panside/internal/shown"
	"panside/internal/verdict"
)

// shownIn is what "shown" takes: what lies on the pan, and perhaps a question
// about it. The asker keeps the state of the last answer and gives it back, so
// it doesn't matter who answers next: this core, one started anew, or the
// laptop's.
type shownIn struct {
	State *shown.Glass   `json:"state"` // of the answer before, null for an empty glass
	On    *shown.Subject `json:"on"`    // null for no load to judge
	// Question is as "judge" takes it; left out to say only what lies there.
	Question json.RawMessage `json:"question"`
	N        int             `json:"n"`       // the asker's number of the question, from 1
	AtMS     float64         `json:"at_ms"`   // when the estimate came, on any steady clock
	Settled  bool            `json:"settled"` // the load is at rest
}

// shownOut says what stands on the glass. The verdict is the answer to the
// question, or the refusal says why there is none; View names by n which one is
// to be shown.
type shownOut struct {
	State   *shown.Glass `json:"state"`
	View    shown.View   `json:"view"`
	Verdict *judgeOut    `json:"verdict,omitempty"`
	Refusal *problem     `json:"refusal,omitempty"`
}

// callShown answers "shown". A question that can't be judged is no error: it is
// refused, and the glass knows. Errors: fault.BadInput.
func callShown(s *book.Shelf, in []byte) (any, error) {
	j := shownIn{State: &shown.Glass{}}
	err := json.Unmarshal(in, &j)
	asks := j.On != nil && len(j.Question) > 0
	if err != nil || asks && (j.N < 1 || math.Abs(j.AtMS) > 1e12) {
		return nil, bad("", fault.BadInput, say.New("core-page-of-another-version"))
	}
	if j.State == nil {
		j.State = &shown.Glass{}
	}
	out := shownOut{State: j.State}
	if j.On == nil {
		j.State.Clear()
	} else {
		j.State.Lay(*j.On)
	}
	if asks {
		v, q, _, err := judge(s, j.Question)
		var lacking *book.Lacking
		if errors.As(err, &lacking) {
			return nil, err // it is asked once more when the book is there
		}
		if err != nil {
			p := problemOf(s.Tongue(), err)
			out.Refusal = &p
			j.State.Refuse(*j.On)
		} else {
			out.Verdict = &v
			a := Answered(&v.Verdict, &q)
			a.Number, a.Settled = j.N, j.Settled
			j.State.Offer(*j.On, a, moment.Duration(j.AtMS*float64(moment.Millisecond)))
		}
	}
	out.View = j.State.View()
	return out, nil
}

// Answered is a verdict as far as showing it depends on it, for whoever drives a
// Glass of package shown. Its number, and whether the load was at rest, is for
// the caller to add.
func Answered(v *verdict.Verdict, q *verdict.Question) shown.Answer {
	open := v.Call == verdict.CannotTell || v.Call == verdict.Either
	return shown.Answer{Claim: v.Claim.String(), Open: open, Decisive: v.Decisive, Mean: q.Mean, U: q.NamedBy()}
}
