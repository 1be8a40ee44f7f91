package verdict

import (
	"panside/internal/say"
)

// Said are the lines that headline and spoken line are written from, for whoever writes
// them in another language.
type Said struct {
	Headline say.Line `json:"headline"`
	Spoken   say.Line `json:"spoken"`
}

// wording is what a verdict is to say, built up before anything is written.
type wording struct {
	headline, spoken say.Line
	// called is what a doubt is called: “half dollar, clad or 40% silver”. None where
	// there is no doubt.
	called say.Line
	// doubt is the headline without what may be left off for what follows, next the test
	// that follows; bare names the coin without any doubt.
	doubt, next, bare say.Line
	// counted is the metal that the coin is counted as.
	counted say.Line
}

// write writes a line in the book's language.
func (m *model) write(l say.Line) string { return m.tongue.Write(l) }

// then puts a sentence behind another.
func then(first, next say.Line) say.Line {
	switch {
	case first.None():
		return next
	case next.None():
		return first
	}
	return say.New("then", say.Of("first", first), say.Of("next", next))
}

// joined puts a sentence behind another where both are written already.
func (m *model) joined(first, next string) string {
	switch {
	case first == "":
		return next
	case next == "":
		return first
	}
	return m.write(say.New("then", say.Text("first", first), say.Text("next", next)))
}

// apart writes the first sentence of several, which is read at a glance, and the rest.
func (m *model) apart(l say.Line) (first, rest string) {
	more := say.Line{}
	for !l.None() && l.Code == "then" {
		more = then(l.Within("next"), more)
		l = l.Within("first")
	}
	return m.write(l), m.write(more)
}

// capital is a line with a capital, for a list or a button.
func (m *model) capital(l say.Line) string { return m.write(say.New("named", say.Of("what", l))) }

// texts are the items of a list.
func texts(words []string) []say.Arg {
	items := make([]say.Arg, len(words))
	for i, s := range words {
		items[i] = say.Text("", s)
	}
	return items
}
