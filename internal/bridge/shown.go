package bridge

import (
	"encoding/json"
	"math"
	"time"

	"panside/internal/fault"
	"panside/internal/shown"
	"panside/internal/verdict"
)

// shownIn is what "shown" takes: what lies on the pan, and perhaps a question
// about it. The asker keeps the state of the last answer and gives it back, so
// it doesn't matter who answers next: this core, one started anew, or the
// laptop's.
type shownIn struct {
	// State is that of the answer before. None, or one of another version, is an
	// empty glass.
	State json.RawMessage `json:"state"`
	On    *shown.Subject  `json:"on"` // null for no load to judge
	Ask   *shownAsk       `json:"ask"`
}

// shownAsk is a question about the load.
type shownAsk struct {
	N        int             `json:"n"`        // the asker's number of it, from 1
	AtMS     float64         `json:"at_ms"`    // when the estimate came, on any steady clock
	Settled  bool            `json:"settled"`  // the load is at rest
	Question json.RawMessage `json:"question"` // as "judge" takes it
}

// shownOut says what stands on the glass. The verdict is the answer to the
// question, or the refusal says why there is none; View names by n which one is
// to be shown.
type shownOut struct {
	State   shown.Glass `json:"state"`
	View    shown.View  `json:"view"`
	Verdict *judgeOut   `json:"verdict,omitempty"`
	Refusal *problem    `json:"refusal,omitempty"`
}

// callShown answers "shown". A question that can't be judged is no error: it is
// refused, and the glass knows. Errors: fault.BadInput, with its field.
func callShown(in []byte) (any, error) {
	var j shownIn
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, "What lies on the pan is not said plainly. Nothing was changed; load the page again.")
	}
	var out shownOut
	g := &out.State
	if json.Unmarshal(j.State, g) != nil {
		*g = shown.Glass{}
	}
	if j.On == nil {
		g.Clear()
	} else {
		g.Lay(*j.On)
	}
	if j.On != nil && j.Ask != nil {
		if !(math.Abs(j.Ask.AtMS) < 1e12) || j.Ask.N < 1 {
			return nil, bad("ask", fault.BadInput, "The question needs a number and a time. Nothing was changed; load the page again.")
		}
		v, q, _, err := judge(j.Ask.Question)
		if err != nil {
			p := problemOf(err)
			out.Refusal = &p
			g.Refuse(*j.On)
		} else {
			out.Verdict = &v
			a := Answered(v.Verdict, q, j.Ask.Settled)
			a.Number = j.Ask.N
			g.Offer(*j.On, a, time.Duration(j.Ask.AtMS*float64(time.Millisecond)))
		}
	}
	out.View = g.View()
	return out, nil
}

// Answered is a verdict as far as showing it depends on it, for whoever drives a
// Glass of package shown; its number is the caller's.
func Answered(v verdict.Verdict, q verdict.Question, settled bool) shown.Answer {
	return shown.Answer{
		Claim: v.Claim.String(), Open: v.Call == verdict.CannotTell, Decisive: v.Decisive,
		Settled: settled, Mean: q.Mean, U: q.U,
	}
}
