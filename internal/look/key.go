package look

import "strconv"

// Key is the identification key: questions that lead from what the eye sees to
// a kind, a look-alike, or an honest end.
type Key struct {
	Start     string     `json:"start"` // id of the first question
	Questions []Question `json:"questions"`
	Ends      []End      `json:"ends"`
}

// Question is one step of the key.
type Question struct {
	ID      string   `json:"id"`
	Ask     string   `json:"ask"`
	Help    string   `json:"help,omitempty"` // how to find out
	Drawing string   `json:"drawing"`        // name of the step's drawing
	Answers []Answer `json:"answers"`
}

// Answer leads on: to a question, to a kind, or to an end; exactly one of them.
type Answer struct {
	Say  string `json:"say"`
	To   string `json:"to,omitempty"`
	Kind string `json:"kind,omitempty"`
	End  string `json:"end,omitempty"`
	// When lists what the scale must have said for this answer to be filled in
	// by itself: a hint or the kind of an explanation. One match is enough.
	When []string `json:"when,omitempty"`
}

// End is where the key can't tell and says whom to ask and with what.
type End struct {
	ID         string   `json:"id"`
	Text       string   `json:"text"`
	Photograph []string `json:"photograph"` // the pictures an expert will ask for
	Drawing    string   `json:"drawing"`
}

// Explanations are the verdict's words that an answer's When may use beside
// the hints.
var Explanations = []string{
	"wear", "damage", "wrong-planchet", "transitional-alloy", "wrong-stock", "missing-layer",
	"foreign-coin", "double-denomination", "counterfeit", "altered", "unknown",
	"two-coins", "split-planchet",
}

// Key returns the identification key.
func (b *Book) Key() Key {
	k, err := b.key()
	if err != nil {
		panic(unreadable(err)) // as in denomination
	}
	return k
}

// Fill gives, by question, the number of the answer that the weighing has
// already given. said holds the hint and the kinds of the verdict's likeliest
// explanations; with none of them it is empty.
func (k Key) Fill(said []string) map[string]int {
	filled := map[string]int{}
	for _, q := range k.Questions {
		for i, a := range q.Answers {
			if meets(a.When, said) {
				filled[q.ID] = i
				break
			}
		}
	}
	return filled
}

func meets(when, said []string) bool {
	for _, w := range when {
		for _, s := range said {
			if w == s {
				return true
			}
		}
	}
	return false
}

// check proves that the key can be walked: every question and end is reached,
// every kind is reached, no answer leads nowhere, and no walk goes round.
func (k Key) check(kinds map[string]*Kind, bad func(where, what string)) {
	questions, ends := map[string]*Question{}, map[string]bool{}
	for i := range k.Questions {
		q := &k.Questions[i]
		if questions[q.ID] != nil {
			bad("key", "two questions are called "+q.ID)
		}
		questions[q.ID] = q
	}
	for _, e := range k.Ends {
		if ends[e.ID] || e.Text == "" || len(e.Photograph) == 0 || e.Drawing == "" {
			bad("key end "+e.ID, "must be there once, with text, drawing and what to photograph")
		}
		ends[e.ID] = true
	}
	w := walk{questions: questions, state: map[string]int{}, kinds: map[string]bool{}, ends: map[string]bool{}, bad: bad}
	w.visit(k.Start)
	for id := range questions {
		if w.state[id] == 0 {
			bad("key question "+id, "is never reached")
		}
	}
	for id := range ends {
		if !w.ends[id] {
			bad("key end "+id, "is never reached")
		}
	}
	for id := range w.ends {
		if !ends[id] {
			bad("key", "an answer leads to the end “"+id+"”, which isn’t there")
		}
	}
	for id := range kinds {
		if !w.kinds[id] {
			bad("key", "the kind "+id+" is never reached")
		}
	}
	for id := range w.kinds {
		if kinds[id] == nil {
			bad("key", "an answer leads to the kind “"+id+"”, which isn’t there")
		}
	}
}

// walk is one depth-first visit of the key.
type walk struct {
	questions   map[string]*Question
	state       map[string]int // 1 on the way, 2 done
	kinds, ends map[string]bool
	bad         func(where, what string)
}

func (w *walk) visit(id string) {
	q := w.questions[id]
	switch {
	case q == nil:
		w.bad("key", "an answer leads to the question “"+id+"”, which isn’t there")
		return
	case w.state[id] == 1:
		w.bad("key question "+id, "leads back to itself")
		return
	case w.state[id] == 2:
		return
	}
	w.state[id] = 1
	if q.Ask == "" || q.Drawing == "" || len(q.Answers) < 2 {
		w.bad("key question "+id, "needs a question, a drawing and two answers at least")
	}
	for i, a := range q.Answers {
		w.answer("key question "+id+" answer "+strconv.Itoa(i+1), a)
	}
	w.state[id] = 2
}

func (w *walk) answer(at string, a Answer) {
	leads := 0
	if a.To != "" {
		leads++
		w.visit(a.To)
	}
	if a.Kind != "" {
		leads++
		w.kinds[a.Kind] = true
	}
	if a.End != "" {
		leads++
		w.ends[a.End] = true
	}
	if leads != 1 || a.Say == "" {
		w.bad(at, "needs words, and exactly one of to, kind and end")
	}
	for _, s := range a.When {
		if !meets([]string{s}, Explanations) && !meets([]string{s}, []string{string(Light), string(Heavy), string(Regular)}) {
			w.bad(at, "no weighing says “"+s+"”")
		}
	}
}
