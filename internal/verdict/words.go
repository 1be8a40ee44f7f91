package verdict

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// words writes the headline for the glass and the line for the ear.
func (w *weighing) words(v *Verdict, best int, p *posterior, found []candidate) {
	weight := decimal(w.y, w.digits()) + " g"
	switch v.Call {
	case Ordinary:
		fam := &w.families[p.order[0]]
		v.Headline, v.Spoken = w.coinOf(fam.name)
		switch {
		case w.stain(best, v.Hint):
			v.Headline = v.Headline[:len(v.Headline)-1] + "; full weight, so the colour is a stain."
		case v.Tolerance.State == Below && v.Tolerance.WornOK:
			v.Headline = v.Headline[:len(v.Headline)-1] + "; light by wear."
		case v.Hint == Light:
			v.Headline = v.Headline[:len(v.Headline)-1] + "; light: " + weight + "."
			v.Spoken = v.Spoken[:len(v.Spoken)-1] + ", light."
		case v.Hint == Heavy:
			v.Headline = v.Headline[:len(v.Headline)-1] + "; heavy: " + weight + "."
			v.Spoken = v.Spoken[:len(v.Spoken)-1] + ", heavy."
		}
	case Look:
		v.Headline = w.find(weight, best, found)
		v.Spoken = "Look: " + lower(v.Headline)
	case Either, CannotTell:
		of := w.choices(p)
		switch {
		case of == "":
			v.Headline = "This weight can’t tell what it is."
		case v.Call == Either && w.exception(p) != "":
			v.Headline, v.Spoken = w.coinOf(w.families[p.order[0]].name)
			v.Headline = v.Headline[:len(v.Headline)-1] + w.exception(p) + "."
			v.Spoken = v.Spoken[:len(v.Spoken)-1] + w.exception(p) + "."
			return
		case v.Call == Either:
			v.Headline = capital(of) + ": weight can’t tell."
		default:
			v.Headline = "This scale can’t tell: " + of + "."
		}
		v.Spoken = "Can’t tell."
		if v.Call == Either {
			v.Spoken = capital(of) + "."
		}
		if v.NextTest != nil {
			v.Headline += " " + how[v.NextTest.Test][0]
			v.Spoken += " " + how[v.NextTest.Test][0]
		}
	}
}

// coinOf names a coin by its metal: “Bronze cent, 95 % copper.”
func (w *weighing) coinOf(alloy string) (headline, spoken string) {
	metal, rest := metalOf(alloy)
	spoken = capital(metal) + " " + w.noun + "."
	headline = spoken
	if rest != "" {
		headline = spoken[:len(spoken)-1] + ", " + rest + "."
	}
	return headline, spoken
}

// metalOf splits an alloy's name into what it is called and what it is made of.
func metalOf(alloy string) (metal, rest string) {
	metal, rest, _ = strings.Cut(alloy, ", ")
	if rest == "" {
		if m, r, ok := strings.Cut(alloy, " with "); ok {
			metal, rest = m, "with "+r
		}
	}
	return metal, rest
}

// exception names the one rival of a likely alloy by its years, where a date
// would tell: “, unless of 1942–1945 (35 % silver)”. Empty where it can't.
func (w *weighing) exception(p *posterior) string {
	if w.year != 0 || len(p.rivals) != 1 || p.chance[p.order[0]] < 0.9 {
		return ""
	}
	rival := &w.families[p.rivals[0]]
	if len(rival.years) == 0 || len(rival.years) > 3 {
		return ""
	}
	metal, _ := metalOf(rival.name)
	return ", unless of " + strings.Join(rival.years, ", ") + " (" + metal + ")"
}

// choices names the alloys that remain: “silver or clad”.
func (w *weighing) choices(p *posterior) string {
	var names []string
	for i, f := range p.order {
		if i > 0 && p.chance[f] < 0.01 || i == 3 {
			break
		}
		metal, _ := metalOf(w.families[f].name)
		names = append(names, metal)
	}
	if len(names) > 1 {
		n := len(names) - 1
		return strings.Join(names[:n], ", ") + " or " + names[n]
	}
	return strings.Join(names, "")
}

// find is the headline of a coin that deserves a look.
func (w *weighing) find(weight string, best int, found []candidate) string {
	if i := w.likelyOther(); i >= 0 {
		return weight + " is what " + w.strange[i].word + " weighs. Is it a " + w.noun + "?"
	}
	for _, c := range found {
		if !c.looks() {
			continue
		}
		if c.strange < 0 {
			break
		}
		switch word := w.strange[c.strange].word; c.kind {
		case WrongPlanchet, DoubleDenomination:
			return weight + " is no " + w.noun + "’s weight but that of " + word + "."
		case TransitionalAlloy:
			return weight + " is that of " + word + ", not of its year. Read the date again."
		default:
			return weight + " fits " + word + "."
		}
	}
	side := "light"
	if w.y > w.blanks[w.issues[best].blank].mu {
		side = "heavy"
	}
	return weight + " fits no regular " + w.noun + ": too " + side + "."
}

// digits is how many decimals of a gram the scale's step is worth.
func (w *weighing) digits() int {
	d := float64(w.q.Resolution)
	if d <= 0 {
		return 2
	}
	return min(max(int(math.Ceil(-math.Log10(d)-1e-9)), 0), 4)
}

func decimal(x float64, digits int) string { return strconv.FormatFloat(x, 'f', digits, 64) }

// capital and lower change the first letter.
func capital(s string) string { return first(s, unicode.ToUpper) }
func lower(s string) string   { return first(s, unicode.ToLower) }

func first(s string, f func(rune) rune) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(f(r)) + s[n:]
}
