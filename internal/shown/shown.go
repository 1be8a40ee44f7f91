package shown

import (
	"panside/internal/mass"
	"panside/internal/moment"
)

// The times of the rule; the package documentation says why each is so long.
const (
	Confirm    = 50 * moment.Millisecond
	HoldMoving = 150 * moment.Millisecond
	HoldShown  = 300 * moment.Millisecond
)

// Vague is the uncertainty, as a part of the weight, above which an answer in motion counts
// as nothing.
const Vague = 0.07

// Subject is what an answer is about.
type Subject struct {
	Load  uint64 `json:"load"`            // number of the load on the pan
	Asked string `json:"asked,omitempty"` // names the question; any text
}

// Answer is a verdict as far as showing it depends on it.
type Answer struct {
	// Number is the asker's own of the answer, from 1; View names answers by it.
	Number int
	// Claim is what it comes down to: answers with the same claim say the same.
	// Never empty.
	Claim    string
	Open     bool // it can't tell, or leaves it between several
	Decisive bool
	Settled  bool // the load was at rest
	// Mean and U are the estimate and the uncertainty that it was judged by. Answers
	// with the same two are of one estimate, which can't confirm itself.
	Mean, U mass.Grams
}

// Glass is what stands on the glass and what waits to. The zero value is an
// empty pan before any coin. Its fields are for keeping it between two calls
// (it goes through JSON and back unchanged); View says what is to be shown.
type Glass struct {
	Laid    bool    `json:"laid,omitempty"` // a load is on the pan
	Of      Subject `json:"of"`
	Rested  bool    `json:"rested,omitempty"`  // the load has been at rest
	Refused bool    `json:"refused,omitempty"` // it can't be judged as asked
	Shown   int     `json:"shown,omitempty"`   // number of the answer that stands
	Claim   string  `json:"claim,omitempty"`   // and its claim, empty for nothing
	Best    int     `json:"best,omitempty"`    // becomes the last once the load goes
	Last    int     `json:"last,omitempty"`

	// Waiting: answers say something else than what stands, since Doubt; the newest
	// claim Next since Since, first of an estimate Mean, U. Times in nanoseconds.
	Waiting bool       `json:"waiting,omitempty"`
	Doubt   int64      `json:"doubt,omitempty"`
	Next    string     `json:"next,omitempty"`
	Since   int64      `json:"since,omitempty"`
	Mean    mass.Grams `json:"mean_g,omitempty"`
	U       mass.Grams `json:"u_g,omitempty"`
}

// View is what the screen shows. Answers are given by their numbers, 0 for
// none.
type View struct {
	// Of is what Now is about, nil when the pan is empty. Once something else lies
	// there, Now stands for nothing and After is the last.
	Of  *Subject `json:"of"`
	Now int      `json:"now"` // on the glass
	// Last is of the coin before, or of this one before it moved.
	Last int `json:"last"`
	// After is what Last becomes when the load goes, so that a screen needn't ask
	// anybody to take a coin off the glass.
	After int `json:"after"`
	// Refused: this load can't be judged as asked.
	Refused bool `json:"refused,omitempty"`
	// Waiting: an answer waits for confirmation, so an estimate that hasn't changed
	// is worth asking about again.
	Waiting bool `json:"waiting,omitempty"`
}

// View gives what is to be shown.
func (g *Glass) View() View {
	v := View{Now: g.Shown, Last: g.Last, After: g.Best, Refused: g.Refused, Waiting: g.Waiting}
	if v.After == 0 {
		v.After = g.Last
	}
	if g.Laid {
		of := g.Of
		v.Of = &of
	}
	return v
}

// Lay says what lies on the pan and is asked about it; the same again changes
// nothing.
func (g *Glass) Lay(s Subject) {
	if g.Laid && s == g.Of {
		return
	}
	if g.Laid && s.Load == g.Of.Load {
		g.Best = 0 // it answers a question that nobody asks any more
	}
	g.Clear()
	g.Laid, g.Of = true, s
}

// Clear says that there is no load to judge: the pan is empty, or the weight
// can't be trusted.
func (g *Glass) Clear() {
	g.retire()
	*g = Glass{Last: g.Last}
}

// retire makes the best answer the last.
func (g *Glass) retire() {
	if g.Best != 0 {
		g.Last, g.Best = g.Best, 0
	}
}

// Refuse says that the subject can't be judged as asked. What stood about it
// goes.
func (g *Glass) Refuse(of Subject) {
	if g.Laid && of == g.Of {
		g.Shown, g.Claim, g.Waiting, g.Refused = 0, "", false, true
	}
}

// Offer takes an answer about a subject, at a time on any clock that goes
// forward. If the clock jumps back, what waits begins to wait anew.
func (g *Glass) Offer(of Subject, a Answer, at moment.Duration) {
	if !g.Laid || of != g.Of {
		return
	}
	g.Refused = false
	if !a.Settled && (g.Rested || a.Open || a.U > Vague*a.Mean) {
		a.Number, a.Claim = 0, "" // counts as nothing
	}
	firstAtRest := a.Settled && (!g.Rested || g.Claim == "")
	g.Rested = g.Rested || a.Settled
	if firstAtRest || a.Claim == g.Claim || g.held(&a, int64(at)) {
		g.Shown, g.Claim, g.Waiting = a.Number, a.Claim, false
	}
	switch {
	case g.Claim == "":
		g.retire()
	// In motion nothing is shown after a rest, so what rested stays the best.
	case g.Shown == a.Number && (a.Settled || a.Decisive):
		g.Best = a.Number
	}
}

// held notes an answer that says something else than what stands, and reports
// whether it has held long enough to take its place. What others have put in
// doubt for long goes.
func (g *Glass) held(a *Answer, at int64) bool {
	if !g.Waiting {
		g.Doubt = at
	}
	if !g.Waiting || a.Claim != g.Next {
		g.Next, g.Since, g.Mean, g.U = a.Claim, at, a.Mean, a.U
	}
	g.Waiting = true
	g.Since, g.Doubt = min(g.Since, at), min(g.Doubt, at)
	held := at - g.Since
	if g.Claim == "" {
		another := a.Mean != g.Mean || a.U != g.U
		return held >= int64(HoldMoving) || held >= int64(Confirm) && another
	}
	if at-g.Doubt >= int64(HoldShown) {
		g.Shown, g.Claim = 0, ""
	}
	return held >= int64(HoldShown)
}
