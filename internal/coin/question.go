package coin

import (
	"slices"
	"strconv"
)

// Question is the one thing to see that divides the coins of a date, where the
// weight can't: the size of the date, the shape of a mint mark. It is what a file has.
type Question struct {
	ID      string   `json:"id"` // "us-cent-1982-date": answers are kept under it
	Choices []Choice `json:"choices"`
	Cases   []Case   `json:"cases"`
	// Ruler is what a ruler can tell the choices by, nil where it can't.
	Ruler *Ruler `json:"ruler"`
}

// Ruler is a length on the coin that differs between a question's choices.
type Ruler struct {
	// Is says how it is measured: “line” from one point to another, “step” from the line through
	// two points to a third.
	Is    string `json:"is"`
	Where string `json:"where"` // which points these are
	// Ranges are where the length lies for each choice.
	Ranges []RulerRange `json:"ranges"`
	Grade  Grade        `json:"grade"`
}

// RulerRange is where the length of one choice lies, mm.
type RulerRange struct {
	ID   string  `json:"id"` // the choice's
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Choice is one answer.
type Choice struct {
	ID   string `json:"id"`   // "small"
	Name string `json:"name"` // "Small date"
	// Within is the same within a sentence: “small date”.
	Within string `json:"within"`
	See    string `json:"see"` // how it looks
	// Issues are those that show it. Where some choice has issues, one without
	// stands for all that no other choice has.
	Issues []string `json:"issues"`
	// Mints are the marks that go with it; nil for any.
	Mints []string `json:"mints"`
}

// Case is a group of coins that a question is asked of, and what the answers mean
// there.
type Case struct {
	ID            string   `json:"id"` // what its words are found by
	Denominations []string `json:"denominations"`
	Years         string   `json:"years"`   // as an issue's
	Undated       bool     `json:"undated"` // asked of coins without a date too
	// Alloys are families; the question is asked of coins of these only. Nil
	// for any.
	Alloys []string `json:"alloys"`
	// Rare is the choice worth a look, how rare it is there, and the look-for's
	// kind; empty where the answers tell the alloy.
	Rare    string `json:"rare"`
	Rarity  string `json:"rarity"`
	Kind    string `json:"kind"`
	Ask     string `json:"ask"`     // the question, as a sentence
	Decides string `json:"decides"` // what to check on the rare one
	// Unless says in a headline what the coin shows that isn't of the likely metal:
	// “the mark is above the dome”. Empty where nothing short does.
	Unless string `json:"unless"`

	spans []Span
}

// Questions are those of a country.
func (b *Book) Questions(country string) []Question { return b.questions[country] }

// Of reports whether the case is of a denomination's coins with this year and mark.
// open stands for what isn't read: it is the answer where the mark would decide.
func (c *Case) Of(denomination string, year int, mint, unmarked string, open bool) bool {
	if !slices.Contains(c.Denominations, denomination) {
		return false
	}
	if year == 0 {
		return c.Undated
	}
	for _, s := range c.spans {
		if s.Holds(year) && (s.Mints == nil || slices.Contains(s.Mints, mint) ||
			mint == unmarked && slices.Contains(s.Mints, NoMark) || mint == "" && open) {
			return true
		}
	}
	return false
}

func (l *loader) questions(of []Question) []Question {
	for _, q := range of {
		for i := range q.Cases {
			q.Cases[i].spans = l.spans("question "+q.ID, q.Cases[i].Years, 0)
		}
	}
	return of
}

// question holds a country's question to its rules: it has words and two choices
// at least, and every coin that it names is in the book.
func (c *checker) question(country string, q Question) {
	where := "question " + q.ID
	c.want(where, q.ID != "" && len(q.Choices) > 1 && len(q.Cases) > 0, "needs an id, two choices at least and a case")
	has := func(id string) bool {
		return slices.ContainsFunc(q.Choices, func(x Choice) bool { return x.ID == id })
	}
	claimed := false
	for _, x := range q.Choices {
		c.want(where, x.ID != "" && x.Name != "" && x.See != "", "a choice lacks id, name or see")
		claimed = claimed || len(x.Issues) > 0
		for _, id := range x.Issues {
			c.want(where, slices.ContainsFunc(c.b.issues, func(i Issue) bool { return i.ID == id && i.Country == country }), "names the unknown issue ", id)
		}
	}
	if r := q.Ruler; r != nil {
		c.want(where, (r.Is == "line" || r.Is == "step") && r.Where != "", "a ruler is laid as a line or a step, and lacks where")
		c.want(where, !r.Grade.Words().None(), "has a ruler of the unknown grade “", string(r.Grade), "”")
		c.want(where, len(r.Ranges) == len(q.Choices), "a ruler needs a range for each choice")
		for _, x := range r.Ranges {
			c.want(where, has(x.ID) && x.Low >= 0 && x.High > x.Low && x.High <= 5, "a ruler’s range is of a choice, from low to high, in mm")
		}
	}
	for _, k := range q.Cases {
		c.want(where, k.Ask != "", "a case lacks its sentence")
		c.want(where, k.Rare == "" && claimed || has(k.Rare) && k.Rarity != "" && k.Kind != "" && k.Decides != "",
			"a case needs a rare choice of the question’s with rarity, kind and decides, or choices with issues")
		for _, d := range k.Denominations {
			for _, s := range k.spans {
				c.ofKnownCoins(where, country, d, s, k.Alloys)
			}
		}
	}
}

// ofKnownCoins wants a coin of each year and mark of the span, and of one of the
// alloys.
func (c *checker) ofKnownCoins(where, country, denomination string, s Span, alloys []string) {
	marks := s.Mints
	if marks == nil {
		marks = []string{""}
	}
	for year := s.First; year <= s.Last; year++ {
		for _, m := range marks {
			found, _ := c.b.Find(country, denomination, year, m)
			ok := slices.ContainsFunc(found, func(i Issue) bool {
				return alloys == nil || slices.Contains(alloys, c.b.Alloy(c.b.Planchet(i.Planchet).Alloy).Family)
			})
			c.want(where, ok, "there is no ", denomination, " of ", strconv.Itoa(year), m, " in its alloys")
		}
	}
}
