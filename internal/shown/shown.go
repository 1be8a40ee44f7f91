package shown

import (
	"time"

	"panside/internal/mass"
)

// The times of the rule; the package documentation says why each is so long.
const (
	Confirm    = 50 * time.Millisecond
	HoldMoving = 150 * time.Millisecond
	HoldShown  = 300 * time.Millisecond
)

// Subject is what an answer is about.
type Subject struct {
	Load  uint64 `json:"load"`            // number of the load on the pan
	Asked string `json:"asked,omitempty"` // names the question; any text
}

// Answer is a verdict as far as showing it depends on it.
type Answer struct {
	// Number is the asker's own of the answer, from 1; View names answers by it.
	Number int `json:"n,omitempty"`
	// Claim is what it comes down to: answers with the same claim say the same.
	Claim    string `json:"claim,omitempty"`
	Open     bool   `json:"open,omitempty"` // it can't tell
	Decisive bool   `json:"decisive,omitempty"`
	Settled  bool   `json:"settled,omitempty"` // the load was at rest
	// Mean and U are the estimate that was judged. Answers with the same two are
	// of one estimate, which can't confirm itself.
	Mean mass.Grams `json:"mean_g,omitempty"`
	U    mass.Grams `json:"u_g,omitempty"`
}

// nothing is the answer to show none.
func (a Answer) nothing() bool { return a.Number == 0 }

// same reports whether two answers say the same.
func (a Answer) same(b Answer) bool {
	return a.nothing() == b.nothing() && (a.nothing() || a.Claim == b.Claim)
}

// Glass is what stands on the glass and what waits to. The zero value is an
// empty pan before any coin. Its fields are for keeping it between two calls
// (it goes through JSON and back unchanged); View says what they mean.
type Glass struct {
	Laid    bool     `json:"laid,omitempty"` // a load is on the pan
	Of      Subject  `json:"of"`
	Rested  bool     `json:"rested,omitempty"` // the load has been at rest
	Shown   Answer   `json:"shown"`
	Next    *Waiting `json:"next,omitempty"`
	Best    Answer   `json:"best"`           // becomes the last once the load goes
	Last    int      `json:"last,omitempty"` // number of the last answer
	Refused bool     `json:"refused,omitempty"`
}

// Waiting is an answer that doesn't stand yet.
type Waiting struct {
	Answer Answer        `json:"answer"` // the first with its claim
	Since  time.Duration `json:"since"`
	// Doubt is since when the answers have been others than the one that stands.
	Doubt time.Duration `json:"doubt"`
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

// View gives what stands.
func (g *Glass) View() View {
	v := View{Now: g.Shown.Number, Last: g.Last, After: g.Last, Refused: g.Refused, Waiting: g.Next != nil}
	if g.Laid {
		of := g.Of
		v.Of = &of
	}
	if !g.Best.nothing() {
		v.After = g.Best.Number
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
		g.Best = Answer{} // it answers a question that nobody asks any more
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
	if !g.Best.nothing() {
		g.Last = g.Best.Number
	}
	g.Best = Answer{}
}

// Refuse says that the subject can't be judged as asked. What stood about it
// goes.
func (g *Glass) Refuse(of Subject) {
	if !g.Laid || of != g.Of {
		return
	}
	g.show(Answer{})
	g.Refused = true
}

// Offer takes an answer about a subject, at a time on any clock that goes
// forward. If the clock jumps back, what waits begins to wait anew.
func (g *Glass) Offer(of Subject, a Answer, at time.Duration) {
	if !g.Laid || of != g.Of {
		return
	}
	g.Refused = false
	settled := a.Settled
	if !settled && (g.Rested || a.Open) {
		a = Answer{Mean: a.Mean, U: a.U}
	}
	firstAtRest := settled && (!g.Rested || g.Shown.nothing())
	g.Rested = g.Rested || settled
	if firstAtRest || a.same(g.Shown) || g.held(a, at) {
		g.show(a)
	}
	switch {
	case g.Shown.nothing():
		g.retire()
	// In motion nothing is shown after a rest, so what rested stays the best.
	case g.Shown == a && (settled || a.Decisive):
		g.Best = a
	}
}

// held notes an answer that says something else than what stands, and reports
// whether it has held long enough to take its place. What others have put in
// doubt for long goes.
func (g *Glass) held(a Answer, at time.Duration) bool {
	switch {
	case g.Next == nil:
		g.Next = &Waiting{Answer: a, Since: at, Doubt: at}
	case !a.same(g.Next.Answer):
		g.Next.Answer, g.Next.Since = a, at
	}
	n := g.Next
	n.Since, n.Doubt = min(n.Since, at), min(n.Doubt, at)
	held := at - n.Since
	if g.Shown.nothing() {
		another := a.Mean != n.Answer.Mean || a.U != n.Answer.U
		return held >= HoldMoving || held >= Confirm && another
	}
	if held < HoldShown && at-n.Doubt >= HoldShown {
		g.Shown = Answer{}
	}
	return held >= HoldShown
}

// show puts an answer on the glass, or nothing.
func (g *Glass) show(a Answer) { g.Shown, g.Next = a, nil }
