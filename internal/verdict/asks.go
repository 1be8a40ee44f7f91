package verdict

import (
	"slices"
	"strconv"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/say"
)

// Answer is what a person saw when a question of the coin book was asked.
type Answer struct {
	Question, Choice string
	// Ruled is what a ruler found instead of an eye; Choice then follows from it.
	Ruled *Ruled

	odds Figure // of the ruler
}

// Asked is the one thing left to see between ordinary and rare, to be asked with
// two drawings and two buttons.
type Asked struct {
	ID       string   `json:"id"`
	Sentence string   `json:"sentence"`
	Choices  []Choice `json:"choices"`
	// Ruler is what a ruler can answer it by, nil where none can.
	Ruler *Ruling `json:"ruler,omitempty"`
	// Odds are those of the likeliest choice against all others by the ruler, which is an
	// answer from 99 on; missing where none was laid on.
	Odds *Figure `json:"odds,omitempty"`
}

// Ruling says how a ruler is laid on to answer a question.
type Ruling struct {
	Is    string     `json:"is"`    // line, step
	Where string     `json:"where"` // its points, in words
	Grade coin.Grade `json:"grade"` // of the book's lengths
}

// Choice is one answer to it.
type Choice struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	See  string `json:"see"` // how it looks

	within string // its name within a sentence
}

// Answered is a question with the answer that was given.
type Answered struct {
	Asked
	Choice string `json:"choice"`
	// Name is what such a coin is called: “1982-D, bronze, small date”.
	Name string `json:"name"`
	// Rarity and Kind, a look-for's, are there where the answer names a variety;
	// so is Decides, what to check on it.
	Rarity  string `json:"rarity,omitempty"`
	Kind    string `json:"kind,omitempty"`
	Decides string `json:"decides,omitempty"`
}

// everydayRarities don't make a person look, though the variety has a name.
var everydayRarities = []string{"normal", "common"}

// answerMistook is the probability of taking one choice of a question for another
// where the answers tell the alloy: nobody asked for it mistakes a mark above the
// dome. Assumed.
const answerMistook = 1e-4

// unanswerable refuses an answer that no coin with the date and mark as read can
// give. Errors: fault.BadInput in the field of the evidence.
func (m *model) unanswerable(q *Question, mint string) error {
	for _, given := range q.Answers {
		k, n := m.asked(given)
		var why say.Line
		switch {
		case k != nil && given.Ruled != nil && given.Choice == "":
			continue // the ruler left it open
		case k == nil:
			why = say.New("not-asked", say.Noun("coin", m.coin))
		case n < 0:
			why = say.New("no-such-answer")
		case !m.marked(&k.Choices[n], q.Year, mint) || !m.shows(k, n, q.Year, mint):
			why = say.New("answer-fits-none", say.Text("answer", k.Choices[n].Name), say.Noun("coin", m.coin))
		default:
			continue
		}
		return fault.InField("evidence."+given.Question, fault.BadInput, why)
	}
	return nil
}

// asked is the question that an answer is to, and the place of its choice, −1 if the
// question hasn't got it; nil if there is no such question.
func (m *model) asked(a Answer) (*coin.Question, int) {
	for i := range m.questions {
		k := &m.questions[i]
		if k.ID != a.Question {
			continue
		}
		for n := range k.Choices {
			if k.Choices[n].ID == a.Choice {
				return k, n
			}
		}
		return k, -1
	}
	return nil, -1
}

// marked reports whether the mark as read goes with the choice.
func (m *model) marked(c *coin.Choice, year int, mint string) bool {
	return mint == "" || c.Mints == nil || slices.Contains(c.Mints, mint) ||
		mint == m.unmarked && !m.printed(year, mint) && slices.Contains(c.Mints, coin.NoMark)
}

// shows reports whether coins of the denomination, date and mark can show the choice.
func (m *model) shows(k *coin.Question, choice, year int, mint string) bool {
	if !tellsAlloy(k) {
		for i := range k.Cases {
			if k.Cases[i].Of(m.denomination.ID, year, mint, m.unmarked, true) {
				return true
			}
		}
		return false
	}
	for i := range m.issues {
		own := &m.issues[i]
		struck := yearsOf(&own.Issue, mint, m.unmarked)
		if year == 0 && struck.empty() || year != 0 && !struck.has(year) {
			continue
		}
		if at := showing(k, own.ID); at == choice || at < 0 && k.Choices[choice].Issues == nil {
			return true
		}
	}
	return false
}

// tellsAlloy reports whether the question's answers are evidence of the alloy.
func tellsAlloy(k *coin.Question) bool { return k.Cases[0].Rare == "" }

// showing is the choice that an issue's coins show, −1 for any of those that no
// issue is named for.
func showing(k *coin.Question, issue string) int {
	for n := range k.Choices {
		if slices.Contains(k.Choices[n].Issues, issue) {
			return n
		}
	}
	return -1
}

// hear is how the answers speak for an issue, beside what isn't one, which may show
// any choice alike: P(answer | issue) times the number of choices. It is 1 where the
// answer says nothing of the issue.
func (w *weighing) hear(issue string) float64 {
	p := 1.0
	for _, given := range w.q.Answers {
		k, n := w.asked(given)
		if !tellsAlloy(k) {
			continue
		}
		switch at := showing(k, issue); {
		case at == n:
			p *= float64(len(k.Choices)) * (1 - answerMistook)
		case at >= 0 || k.Choices[n].Issues != nil:
			p *= answerMistook
		}
	}
	return p
}

// asks sorts the questions that concern the coin into the open one and those
// answered, and notes the rare variety that an answer makes of it.
func (w *weighing) asks(v *Verdict, p *posterior) {
	v.Answered = []Answered{}
	for _, given := range w.q.Answers {
		k, n := w.asked(given)
		a := w.answered(v, p, k, n)
		if given.Ruled != nil {
			a.Odds = &given.odds
		}
		v.Answered = append(v.Answered, a)
	}
	if w.variety != nil {
		v.Call = Look
		return
	}
	for i := range w.questions {
		k := &w.questions[i]
		if c := w.caseOf(k); c != nil && w.open(v, p, k, c) {
			asked := askedOf(k, c.Ask)
			for _, left := range w.q.open {
				if left.Question == k.ID {
					asked.Odds = &left.odds
				}
			}
			v.Question = &asked
			w.unless, w.seenOn = c.Unless, w.shownBy(k)
			return
		}
	}
}

// caseOf is the question's case for the coin as read, nil if it has none.
func (w *weighing) caseOf(k *coin.Question) *coin.Case {
	for i := range k.Cases {
		if c := &k.Cases[i]; c.Of(w.denomination.ID, w.year, w.mint, w.unmarked, false) {
			return c
		}
	}
	return nil
}

// open reports whether the weight leaves the question as the thing to see.
func (w *weighing) open(v *Verdict, p *posterior, k *coin.Question, c *coin.Case) bool {
	for i := range v.Answered {
		if v.Answered[i].ID == k.ID {
			return false
		}
	}
	switch {
	case v.Call != Ordinary && v.Call != Either:
		return false
	case !tellsAlloy(k):
		return v.Call == Ordinary && w.ofAlloys(p, c)
	}
	var named, rest float64
	for i := range w.own {
		f := w.blanks[w.issues[i].blank].family
		if x := w.own[i].weight * w.own[i].ordinary; !w.own[i].fits || p.chance[f] < shown {
			continue
		} else if showing(k, w.issues[i].ID) >= 0 {
			named += x
		} else {
			rest += x
		}
	}
	return named >= shown*rest && rest >= shown*named && named > 0 && rest > 0
}

// shownBy is the family of the question's issues, −1 if it names none.
func (w *weighing) shownBy(k *coin.Question) int {
	for i := range w.own {
		if showing(k, w.issues[i].ID) >= 0 {
			return w.blanks[w.issues[i].blank].family
		}
	}
	return -1
}

// ofAlloys reports whether the likeliest metal is one that the case is about.
func (w *weighing) ofAlloys(p *posterior, c *coin.Case) bool {
	return len(p.order) > 0 && (c.Alloys == nil || slices.Contains(c.Alloys, w.families[p.order[0]].id))
}

// answered puts an answer into words.
func (w *weighing) answered(v *Verdict, p *posterior, k *coin.Question, n int) Answered {
	choice, seen := k.Choices[n].ID, k.Choices[n].Within
	if tellsAlloy(k) && k.Choices[n].Issues == nil {
		seen = "" // the metal says it all
	}
	a := Answered{Asked: askedOf(k, k.Cases[0].Ask), Choice: choice, Name: w.called(p, seen)}
	c := w.caseOf(k)
	if c == nil {
		return a // the mark, which isn't read, decides what it means
	}
	a.Sentence = c.Ask
	if c.Rare == "" || v.Call != Ordinary && v.Call != Either || !w.ofAlloys(p, c) {
		return a
	}
	w.remark = seen
	if c.Rare == choice {
		a.Rarity, a.Kind, a.Decides = c.Rarity, c.Kind, c.Decides
		if !slices.Contains(everydayRarities, c.Rarity) {
			w.variety = &a
		}
	}
	return a
}

func askedOf(k *coin.Question, sentence string) Asked {
	a := Asked{ID: k.ID, Sentence: sentence, Choices: choicesOf(k)}
	if r := k.Ruler; r != nil {
		a.Ruler = &Ruling{r.Is, r.Where, r.Grade}
	}
	return a
}

func choicesOf(k *coin.Question) []Choice {
	out := make([]Choice, len(k.Choices))
	for i, c := range k.Choices {
		out[i] = Choice{c.ID, c.Name, c.See, c.Within}
	}
	return out
}

// called is a coin's name with what was seen on it: “1982-D, bronze, small date”. The
// metal is named where the date leaves it open.
func (w *weighing) called(p *posterior, seen string) string {
	var parts []string
	if w.year != 0 {
		parts = append(parts, w.dated())
	}
	if len(p.order) > 0 && w.singled() {
		parts = append(parts, w.metal(p.order[0]).forms.One)
	}
	if seen != "" {
		parts = append(parts, seen)
	}
	return w.write(say.New("called", say.List("parts", say.Comma, texts(parts)...)))
}

// dated is the date as read, with a mark that is on the coin: “1982-D”.
func (w *weighing) dated() string {
	date := strconv.Itoa(w.year)
	if w.mint != "" && w.mint != coin.NoMark && w.printed(w.year, w.mint) {
		date += "-" + w.mint
	}
	return date
}

// singled reports whether date and mark as read leave more than one metal, so that
// the weight has singled this one out.
func (w *weighing) singled() bool {
	first := -1
	for i := range w.own {
		f := w.blanks[w.issues[i].blank].family
		switch {
		case !w.own[i].fits:
		case first < 0:
			first = f
		case f != first:
			return true
		}
	}
	return false
}

// varietyWords are the lines of a coin that an answer makes rare.
func (w *weighing) varietyWords(x *wording, v *Verdict) {
	a := w.variety
	v.Claim.Kind = Kind(a.Kind)
	x.headline = then(say.New("variety", say.Text("name", a.Name), say.Of("rarity", rarityOf(a.Rarity))), say.New("decides", say.Text("decides", a.Decides)))
	x.spoken = say.New("variety-spoken", say.Text("name", a.Name), say.Of("rarity", rarityOf(a.Rarity)))
}

// rarityOf is how rare a variety is, in words.
func rarityOf(id string) say.Line {
	switch id {
	case "normal":
		return say.New("normal")
	case "common":
		return say.New("common")
	case "uncommon":
		return say.New("uncommon")
	case "scarce":
		return say.New("scarce")
	case "rare":
		return say.New("rare")
	}
	return say.New("very-rare")
}

// askAloud puts an open question behind the spoken line and sets the coin aside for
// it, where the weight has singled the coin out of its date's. Where every coin of
// the date would have to be looked at, hands-free goes on.
func (w *weighing) askAloud(x *wording, v *Verdict) {
	if v.Question == nil || w.year == 0 || v.Call == Either || !w.singled() {
		return
	}
	names := make([]string, len(v.Question.Choices))
	for i, c := range v.Question.Choices {
		names[i] = c.within
	}
	x.spoken = then(x.spoken, say.New("which", say.List("choices", say.Or, texts(names)...)))
	v.CountAs.SetAside = true
}
