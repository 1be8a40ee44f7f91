package verdict

import (
	"math"
	"panside/internal/stable"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// words writes the headline for the glass and the line for the ear.
func (w *weighing) words(v *Verdict, best int, p *posterior, found []draft) {
	weight := decimal(w.y, w.digits()) + " g"
	// more puts a remark behind the last word.
	more := func(line *string, remark string) { *line = (*line)[:len(*line)-1] + remark + "." }
	open := "" // what a doubt is called
	v.Claim.Call = v.Call
	if len(p.order) > 0 {
		v.Claim.Alloy = w.families[p.order[0]].id
	}
	switch v.Call {
	case Ordinary:
		name, _ := w.metal(p.order[0])
		v.Headline, v.Spoken = w.coinOf(name)
		switch {
		case w.contradiction(best) != "":
			v.Headline = v.Spoken
			more(&v.Headline, "; "+w.contradiction(best))
			more(&v.Spoken, ", but look again")
		case w.stain(best, v.Hint):
			v.Claim.Kind = Damage
			v.Headline = v.Spoken
			if slices.ContainsFunc(found, func(c draft) bool { return c.kind == MissingLayer }) {
				more(&v.Headline, "; weight can’t tell a stain from missing plating")
				break
			}
			more(&v.Headline, "; full weight, so the color is a stain or a coating")
		case v.Tolerance.WornOK && v.Tolerance.State == Below && w.flat(best):
			v.Headline = v.Headline[:len(v.Headline)-1] + "; light: " + weight + ". Is it worn flat?"
			more(&v.Spoken, ", light")
		case v.Tolerance.State == Below && v.Tolerance.WornOK:
			more(&v.Headline, "; light from wear")
		case v.Hint == Light || v.Hint == Heavy:
			more(&v.Headline, "; "+string(v.Hint)+": "+weight)
			more(&v.Spoken, ", "+string(v.Hint))
		case w.remark != "":
			more(&v.Headline, "; "+w.remark)
		}
	case Look:
		if w.variety != nil {
			w.varietyWords(v)
			break
		}
		if v.CountAs.Again = w.two(found); v.CountAs.Again {
			v.Claim = Claim{Call: Look, Kind: TwoCoins}
			v.Headline, v.Spoken = w.twoAtOnce(weight), "Two coins at once? Weigh each alone."
			break
		}
		v.Headline = w.find(&v.Claim, weight, best, p, found)
		v.Spoken = "Look: " + lower(v.Headline)
	default:
		open = w.undecided(v, p)
	}
	v.CountAs = w.countAs(v, p, open)
	v.Metal = w.settledMetal(v, p)
}

// twoAtOnce is the headline of two coins on the pan, with the coin of another
// denomination that weighs as much.
func (w *weighing) twoAtOnce(weight string) string {
	line := weight + " fits two " + w.denomination.Plural
	if i := w.likelyOther(); i >= 0 {
		return line + " or " + w.alternatives[i].word + ". Weigh each alone."
	}
	return line + " at once. Weigh each alone."
}

// untold follows the metals that weight can’t tell apart.
const untold = "? Weight can’t tell."

// room is how many characters a headline has on a phone before it takes a third line.
const room = 70

// undecided writes the lines of an answer that leaves more than one metal, and
// gives what such a coin is called: “Half dollar, clad or 40% silver”.
func (w *weighing) undecided(v *Verdict, p *posterior) (called string) {
	if v.Call == Either {
		if but := w.exception(p); but != "" {
			name, _ := w.metal(p.order[0])
			_, short := w.coinOf(name)
			if v.Question != nil && w.unless != "" {
				but = " – unless " + w.unless
			}
			v.Spoken = short[:len(short)-1] + but + "."
			v.Headline = v.Spoken
			return ""
		}
	}
	v.Claim.Alloy = w.familyIDs(remaining(p))
	names := w.choices(p)
	metal, rest := fineness(names)
	of := metalList(names)
	switch {
	case of == "":
		v.Headline, v.Spoken = "This weight can’t tell what it is.", "Can’t tell."
	case v.Call == Either && metal != "":
		called = capital(metal) + " " + w.noun + ", " + rest
		v.Headline, v.Spoken = called+untold, called+"?"
	case v.Call == Either && len(names) == 1:
		called = capital(of)
		v.Headline, v.Spoken = called+", most likely.", called+", most likely."
	case v.Call == Either:
		called = capital(of)
		v.Headline, v.Spoken = called+untold, called+"?"
	default:
		v.Headline, v.Spoken = "This scale can’t tell: "+of+".", "Can’t tell."
	}
	if v.Call == Either && w.byEye(p) {
		v.Headline = capital(w.noun) + ", told by its color. " + w.coloursOf(p)
		v.Spoken = w.coloursOf(p)
		return called
	}
	if v.Question != nil {
		return called // which stands below and asks for what to see
	}
	if v.NextTest != nil {
		if utf8.RuneCountInString(v.Headline+" "+v.NextTest.brief) > room {
			v.Headline = strings.TrimSuffix(v.Headline, untold[1:])
		}
		v.Headline += " " + v.NextTest.brief
		v.Spoken += " " + v.NextTest.brief
	}
	return called
}

// contradiction names a test whose answer a coin of the issue would seldom give;
// empty if there is none. The weight carries the verdict all the same.
func (w *weighing) contradiction(best int) string {
	const seldom = 0.06
	t, e := &w.blanks[w.issues[best].blank].clean, &w.q.Evidence
	for _, c := range [...]struct {
		only   Evidence
		remark string
	}{
		{Evidence{Magnetic: e.Magnetic}, "but the magnet disagrees: try it again"},
		{Evidence{Edge: e.Edge}, "but the edge is wrong for it: look again"},
		{Evidence{Stripe: e.Stripe}, "but the line on its edge disagrees: look again"},
	} {
		if t.likelihood(&c.only) < seldom {
			return c.remark
		}
	}
	const farOff = 3.5 // standard deviations of calipers at the table: 0.4 mm
	if e.Diameter != 0 && t.diameter.mean != 0 && math.Abs(e.Diameter-t.diameter.mean) > farOff*t.diameter.sd {
		return "but its diameter should be another: measure again"
	}
	return ""
}

// flat reports whether the issue would have to be worn nearly smooth to weigh so
// little.
func (w *weighing) flat(best int) bool {
	e := w.worn(best, wearNodes-1)
	return e.Mu-w.y > heavyWear*-e.Tau
}

// coinOf names a coin by its metal: “Bronze cent, 95 % copper.”
func (w *weighing) coinOf(alloy string) (headline, spoken string) {
	metal, rest := metalOf(alloy)
	if strings.HasSuffix(metal, " ring") { // of two metals
		spoken = capital(w.noun) + "."
		return capital(w.noun) + ", " + alloy + ".", spoken
	}
	if w.alike(metal) {
		spoken = capital(w.noun) + ", " + metal + "."
		return spoken, spoken
	}
	spoken = capital(w.made(metal)) + "."
	headline = spoken
	if rest != "" {
		headline = spoken[:len(spoken)-1] + ", " + rest + "."
	}
	return headline, spoken
}

// made is a coin of a metal: “bronze cent”, and “gold dollar” for a gold dollar of
// gold.
func (m *model) made(metal string) string {
	switch {
	case strings.HasPrefix(m.noun, metal+" "):
		return m.noun
	case m.alike(metal):
		return m.noun + " of " + metal
	}
	return metal + " " + m.noun
}

// alike reports whether the metal's name ends with the coin's, as copper-nickel does
// with the nickel's.
func (m *model) alike(metal string) bool { return strings.HasSuffix(metal, m.noun) }

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

// exception names the one rival of a likely alloy: by its years, where a date
// would tell, “, unless of 1942–1945 (35 % silver: large mint mark …)”, or as the
// other coin that it would be. Empty where neither says enough.
func (w *weighing) exception(p *posterior) string {
	if len(p.rivals) != 1 || p.chance[p.order[0]] < mostly || !w.families[p.order[0]].regular {
		return ""
	}
	f := p.rivals[0]
	rival := &w.families[f]
	if !rival.regular {
		best, top := -1, 0.0
		for i := range w.alternatives {
			s := &w.alternatives[i]
			if x := w.odds.prior(s.kind) * w.share[i] * w.other[i]; w.blanks[s.blank].family == f && x > top {
				best, top = i, x
			}
		}
		if best < 0 || w.alternatives[best].kind.Rare() {
			return ""
		}
		return ", unless it is " + w.alternatives[best].word
	}
	if w.year != 0 || len(rival.years) == 0 || len(rival.years) > 3 {
		return ""
	}
	metal, _ := metalOf(rival.name)
	return ", unless of " + strings.Join(rival.years, ", ") + " (" + metal + w.signs(f) + ")"
}

// signs is what the eye tells a family by, “: large mint mark above the dome”,
// if all its issues that fit show it; empty if not.
func (w *weighing) signs(f int) string {
	sign := ""
	for i := range w.own {
		k := &w.issues[i]
		if w.blanks[k.blank].family != f || !w.own[i].fits {
			continue
		}
		if k.Sign == "" || sign != "" && k.Sign != sign {
			return ""
		}
		sign = k.Sign
	}
	if sign == "" {
		return ""
	}
	return ": " + sign
}

// mostChoices is how many alloys a sentence names.
const mostChoices = 3

// remaining are the families that a sentence names, likeliest first.
func remaining(p *posterior) []int {
	n := 0
	for n < len(p.order) && n < mostChoices && (n == 0 || p.chance[p.order[n]] >= negligible) {
		n++
	}
	return p.order[:n]
}

// choices names the alloys that remain, likeliest first.
func (w *weighing) choices(p *posterior) []string {
	var names []string
	for _, f := range remaining(p) {
		names = append(names, w.shortMetal(f))
	}
	return names
}

// familyIDs joins the ids of families for a claim.
func (w *weighing) familyIDs(families []int) string {
	ids := make([]string, 0, mostChoices)
	for _, f := range families {
		ids = append(ids, w.families[f].id)
	}
	stable.Words(ids)
	return strings.Join(ids, "+")
}

// shortMetal is what a family's metal is called, without what it is made of.
func (w *weighing) shortMetal(f int) string {
	name, _ := w.metal(f)
	metal, _ := metalOf(name)
	return metal
}

// find is the headline of a coin that deserves a look, and notes in the claim
// what it gives as explanation. A coin seldom met has no kind, since nothing is
// wrong with it.
func (w *weighing) find(c *Claim, weight string, best int, p *posterior, found []draft) string {
	if i := w.likelyOther(); i >= 0 {
		w.claim(c, i)
		return weight + ": the weight of " + w.alternatives[i].word + ". Is this really " + a(w.noun) + "?"
	}
	if years := w.seldomMet(p); years != "" {
		return weight + " matches " + a(w.noun) + " of " + years + ". Read the date."
	}
	if line := w.anotherYear(weight, p, found); line != "" {
		c.Kind = TransitionalAlloy
		return line
	}
	side := w.side(best)
	if i := w.named(found); i >= 0 {
		s := &w.alternatives[i]
		w.claim(c, i)
		switch {
		case s.kind == TransitionalAlloy:
			c.Planchet = "" // the alloy says it all, as in another year's
			_, short := w.proven(s)
			return w.wrongYear(weight, w.shortMetal(w.blanks[s.blank].family), short, found)
		case (s.kind == WrongPlanchet || s.kind == DoubleDenomination) && side != "":
			return weight + " is " + side + " for " + a(w.noun) + ", but right for " + s.word + "."
		case s.kind == WrongPlanchet || s.kind == DoubleDenomination:
			return weight + " is right for " + s.word + " too. Look at its color and edge."
		}
		line := weight + " fits " + s.word
		if s.kind == ForeignCoin {
			if o := w.besides(i, found); o >= 0 && w.alternatives[o].blank == s.blank {
				line += " or its planchet"
			} else if o >= 0 {
				line = weight + " fits a foreign coin " + s.name[strings.LastIndexByte(s.name, '('):] + " or " + w.alternatives[o].word
				if k := w.alternatives[o].kind; k == WrongPlanchet || k == DoubleDenomination {
					line += "’s planchet"
				}
			}
		}
		return line + "."
	}
	if i := w.otherBeside(wellBeside); i >= 0 {
		w.claim(c, i)
		return weight + ": the weight of " + w.alternatives[i].word + ". Is this really " + a(w.noun) + "?"
	}
	if w.stain(best, w.beside(best)) {
		c.Kind = Altered
		b := &w.blanks[w.issues[best].blank]
		return weight + " is right for " + a(w.made(shortName(b))) + ", but its color isn’t: coated, stained or another metal? Look at its edge."
	}
	c.Kind, c.Alloy = Unknown, ""
	if side != "" {
		side = ": too " + side
	}
	return weight + " fits no regular " + w.noun + side + "."
}

// wellBeside is how likely, beside an ordinary coin, one of another denomination is
// that is asked for before it is said that nothing fits.
const wellBeside = 0.2

// claim notes an alternative as what the headline gives.
func (w *weighing) claim(c *Claim, i int) {
	b := &w.blanks[w.alternatives[i].blank]
	c.Kind, c.Alloy, c.Planchet = w.alternatives[i].kind, w.families[b.family].id, b.ID
}

// anotherYear is the headline of a metal that is the likeliest and that the
// date and mark as read rule out; empty if it isn’t so.
func (w *weighing) anotherYear(weight string, p *posterior, found []draft) string {
	const likely = 0.3
	if len(p.order) == 0 || !w.families[p.order[0]].regular || p.chance[p.order[0]] < likely || !w.misfits(p.order[0]) {
		return ""
	}
	name, _ := w.metal(p.order[0])
	metal, _ := metalOf(name)
	known := ""
	if i := w.leftOver(p.order[0]); i >= 0 {
		_, known = w.proven(&w.alternatives[i])
	}
	return w.wrongYear(weight, metal, known, found)
}

// wrongYear is the headline of a metal that the date as read has no coins of, with
// what is known of exceptions. It asks to read the date again, or, where all else has
// been ruled out, an expert.
func (w *weighing) wrongYear(weight, metal, known string, found []draft) string {
	line := weight + " matches " + a(w.made(metal)) + ", wrong for " + w.dated()
	if known != "" {
		line += "; " + known
	}
	switch {
	case slices.ContainsFunc(found, func(c draft) bool { return c.expert }):
		return line + ". Ask an expert."
	case w.mint != "":
		return line + ". Recheck date and mark."
	}
	return line + ". Recheck the date."
}

// seldomMet is the years of regular issues that are rarely met any more, that
// the weight is usual for and whose metal is the likeliest; empty if there are
// none. Such a coin makes the person look because so few are left, not because
// something is wrong with it.
func (w *weighing) seldomMet(p *posterior) string {
	const few = 0.05 // of the denomination's coins
	if len(p.order) == 0 || p.chance[p.order[0]] < 0.5 || w.year != 0 || w.seen {
		return ""
	}
	first, last, share := 0, 0, 0.0
	for i := range w.own {
		k := &w.issues[i]
		if !w.own[i].fits || !k.Circulating || w.blanks[k.blank].family != p.order[0] || w.beside(i) != Regular {
			continue
		}
		if first == 0 || k.First() < first {
			first = k.First()
		}
		last = max(last, k.Last())
		share += w.own[i].weight / w.ownTotal
	}
	switch {
	case first == 0 || share > few:
		return ""
	case first == last:
		return strconv.Itoa(first)
	}
	return strconv.Itoa(first) + "–" + strconv.Itoa(last)
}

// side is “light” or “heavy” for a weight below or above those of all regular
// coins that are likely to turn up; empty between them.
func (w *weighing) side(best int) string {
	const likely = 0.01
	light, heavy := true, true
	for i := range w.own {
		if f := &w.own[i]; i == best || f.fits && f.weight >= likely*w.ownTotal {
			mu := w.blanks[w.issues[i].blank].mu
			light, heavy = light && w.y < mu, heavy && w.y > mu
		}
	}
	switch {
	case light:
		return "light"
	case heavy:
		return "heavy"
	}
	return ""
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
