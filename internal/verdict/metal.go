package verdict

import (
	"math"
	"slices"
	"strings"

	"panside/internal/coin"
	"panside/internal/say"
)

// Metal is the one that a verdict names, in one or two words.
type Metal struct {
	ID   string `json:"id"`   // of the alloy, or family of alloys; the same in every language
	Name string `json:"name"` // “bronze”, “90% silver”
}

// metal is what an alloy is called.
type metal struct {
	forms say.Forms // “bronze”; “silver” where its fineness is open
	parts string    // what it is made of: “95% copper”; may be empty
	// fine is its fineness in percent, for silver that is called by it; 0 for others.
	fine float64
}

// name is the whole: “bronze, 95% copper”.
func (m *model) metalName(x metal) string {
	if x.parts == "" {
		return x.forms.One
	}
	return m.write(say.New("metal-parts", say.Noun("metal", x.forms), say.Text("parts", x.parts)))
}

// metalOf reads an alloy's name, which is what it is called and, after a comma, what it
// is made of. Silver is called by its fineness.
func metalOf(a *coin.Alloy) metal {
	called, parts, _ := strings.Cut(a.Name, ", ")
	m := metal{forms: say.Forms{One: called, Article: a.Article}, parts: parts}
	if a.Share("Au") == 0 {
		m.fine = math.Round(1e4*a.Share("Ag")) / 100
	}
	return m
}

// settledMetal is the metal that the verdict's claim settles on, nil where it
// leaves several open or names none. What is counted as its likeliest alloy is of
// that one, where the alloy is as likely as that.
func (w *weighing) settledMetal(v *Verdict, p *posterior) *Metal {
	id := v.Claim.Alloy
	if v.CountAs.Noted && p.chance[p.order[0]] >= mostly {
		id = w.families[p.order[0]].id
	}
	if id == "" || strings.Contains(id, "+") {
		return nil
	}
	for f := range w.families {
		if w.families[f].id == id {
			return &Metal{id, w.metal(f).forms.One}
		}
	}
	return nil
}

// how is how a family's metal goes with the coin's name: “bronze cent”, but “gold dollar”
// for a gold dollar of gold, “nickel of copper-nickel”, and ring and core apart.
func (m *model) how(f int) string {
	switch d := &m.denomination; {
	case m.ringed(f):
		return "ring"
	case slices.Contains(d.InName, m.families[f].id):
		return "in-name"
	case slices.Contains(d.AtEnd, m.families[f].id):
		return "at-end"
	}
	return "plain"
}

// ringed reports whether a family is of coins of ring and core.
func (m *model) ringed(f int) bool {
	for i := range m.blanks {
		if b := &m.blanks[i]; b.family == f {
			return b.Layers[0].Part == coin.Ring
		}
	}
	return false
}

// aMade is a coin of the denomination with its metal and article: “a bronze cent”.
func (m *model) aMade(f int, of metal) say.Line {
	return say.New("a-made", say.Text("how", m.how(f)), say.Noun("metal", of.forms), say.Noun("coin", m.coin))
}

// coinOf is the coin by its metal, with what that is made of and without: “bronze cent,
// 95% copper”.
func (m *model) coinOf(f int, of metal) (full, short say.Line) {
	short = say.New("coin", say.Text("how", m.how(f)), say.Noun("metal", of.forms), say.Noun("coin", m.coin))
	if of.parts == "" {
		return short, short
	}
	return say.New("coin-parts", say.Text("how", m.how(f)), say.Noun("metal", of.forms), say.Noun("coin", m.coin), say.Text("parts", of.parts)), short
}

// finenesses lists those of silver: “90% or 40%”.
func finenesses(of []metal) say.Line {
	items := make([]say.Arg, len(of))
	for i := range of {
		items[i] = say.Of("", say.New("percent", say.Decimal("x", of[i].fine, -1)))
	}
	return say.New("finenesses", say.List("list", say.Or, items...))
}

// allFine reports whether all are silver, called by their fineness.
func allFine(of []metal) bool {
	return len(of) > 0 && !slices.ContainsFunc(of, func(m metal) bool { return m.fine == 0 })
}

// listed joins metals, silver named once: “clad, 40% or 90% silver”.
func listed(of []metal) say.Line {
	at := len(of)
	for at > 0 && of[at-1].fine > 0 {
		at--
	}
	if len(of)-at < 2 {
		items := make([]say.Arg, len(of))
		for i := range of {
			items[i] = say.Noun("", of[i].forms)
		}
		return say.New("metals", say.List("list", say.Or, items...))
	}
	var items []say.Arg
	for i := range at {
		items = append(items, say.Noun("", of[i].forms))
	}
	items = append(items, say.Of("", say.New("silvers", say.Of("finenesses", finenesses(of[at:])))))
	return say.New("metals", say.List("list", say.Comma, items...))
}
