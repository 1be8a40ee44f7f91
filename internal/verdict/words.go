package verdict

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"panside/internal/say"
	"panside/internal/stable"
)

// words says the headline for the glass and the line for the ear.
func (w *weighing) words(v *Verdict, best int, p *posterior, found []draft) (x wording) {
	v.Claim.Call = v.Call
	if len(p.order) > 0 {
		v.Claim.Alloy = w.families[p.order[0]].id
	}
	switch v.Call {
	case Ordinary:
		w.ordinaryWords(&x, v, best, p, found)
	case Look:
		if w.variety != nil {
			w.varietyWords(&x, v)
			break
		}
		if v.CountAs.Again = w.two(found); v.CountAs.Again {
			v.Claim = Claim{Call: Look, Kind: TwoCoins}
			x.headline, x.spoken = w.twoAtOnce(), say.New("two-spoken")
			break
		}
		x.headline = w.find(&v.Claim, best, p, found)
		x.spoken = say.New("look", say.Of("headline", x.headline))
	default:
		w.undecided(&x, v, p)
	}
	w.countAs(&x, v, p)
	v.Metal = w.settledMetal(v, p)
	return x
}

// ordinaryWords are those of a regular coin.
func (w *weighing) ordinaryWords(x *wording, v *Verdict, best int, p *posterior, found []draft) {
	full, short := w.coinOf(p.order[0], w.metal(p.order[0]))
	x.headline = say.New("ordinary", say.Of("coin", full))
	x.spoken = say.New("ordinary", say.Of("coin", short))
	switch {
	case w.contradiction(best) != "":
		x.headline = say.New("ordinary-but", say.Of("coin", short), say.Text("test", w.contradiction(best)))
		x.spoken = say.New("ordinary-again", say.Of("coin", short))
	case w.stain(best, v.Hint):
		v.Claim.Kind = Damage
		if slices.ContainsFunc(found, func(c draft) bool { return c.kind == MissingLayer }) {
			x.headline = say.New("ordinary-or-unplated", say.Of("coin", short))
			break
		}
		x.headline = say.New("ordinary-stained", say.Of("coin", short))
	case v.Tolerance.WornOK && v.Tolerance.State == Below && w.flat(best):
		x.headline = then(say.New("ordinary-flat", say.Of("coin", full), say.Decimal("weight", w.y, w.digits())), say.New("worn-flat"))
		x.spoken = say.New("ordinary-side", say.Of("coin", short), say.Text("side", string(Light)))
	case v.Tolerance.State == Below && v.Tolerance.WornOK:
		x.headline = say.New("ordinary-worn", say.Of("coin", full))
	case v.Hint == Light || v.Hint == Heavy:
		x.headline = say.New("ordinary-side-weight", say.Of("coin", full), say.Text("side", string(v.Hint)), say.Decimal("weight", w.y, w.digits()))
		x.spoken = say.New("ordinary-side", say.Of("coin", short), say.Text("side", string(v.Hint)))
	case w.remark != "":
		x.headline = say.New("ordinary-seen", say.Of("coin", full), say.Text("seen", w.remark))
	}
}

// twoAtOnce is the headline of two coins on the pan, with the coin of another
// denomination that weighs as much.
func (w *weighing) twoAtOnce() say.Line {
	if i := w.likelyOther(); i >= 0 {
		return then(say.New("two-or", say.Decimal("weight", w.y, w.digits()), say.Noun("own", w.coin), say.Of("other", w.alternatives[i].word)), say.New("weigh-each"))
	}
	return then(say.New("two", say.Decimal("weight", w.y, w.digits()), say.Noun("own", w.coin)), say.New("weigh-each"))
}

// room is how many characters a headline has on a phone before it takes a third line.
const room = 70

// undecided says an answer that leaves more than one metal.
func (w *weighing) undecided(x *wording, v *Verdict, p *posterior) {
	if v.Call == Either && w.exception(x, v, p) {
		return
	}
	v.Claim.Alloy = w.familyIDs(remaining(p))
	metals := w.choices(p)
	sure := false // that the doubt has one metal only
	switch {
	case len(metals) == 0:
		x.headline, x.spoken = say.New("unknown-weight"), say.New("cannot-tell-spoken")
	case v.Call != Either:
		x.headline, x.spoken = say.New("cannot-tell", say.Of("metals", listed(metals))), say.New("cannot-tell-spoken")
	case allFine(metals):
		x.called = say.New("coin-finenesses", say.Noun("coin", w.coin), say.Of("finenesses", finenesses(metals)))
		x.bare = say.New("bare", say.Of("what", x.called))
	default:
		x.called = listed(metals)
		sure = len(metals) == 1
		x.bare = say.New("bare", say.Of("what", x.called))
	}
	switch {
	case x.called.None():
	case sure:
		x.headline = say.New("likely", say.Of("what", x.called))
		x.spoken = x.headline
	default:
		x.headline = say.New("doubt-untold", say.Of("what", x.called))
		x.spoken = say.New("doubt", say.Of("what", x.called))
		x.doubt = x.spoken
	}
	if v.Call == Either && w.byEye(p) {
		x.spoken = w.coloursOf(p)
		x.headline = then(say.New("by-color", say.Noun("coin", w.coin)), x.spoken)
		x.doubt = say.Line{}
		return
	}
	if v.Question != nil || v.NextTest == nil {
		return // the question stands below and asks for what to see
	}
	x.next = v.NextTest.brief
	if !x.doubt.None() && utf8.RuneCountInString(w.write(then(x.headline, x.next))) > room {
		x.headline = x.doubt
	}
	x.headline = then(x.headline, x.next)
	x.spoken = then(x.spoken, x.next)
}

// metalsOfCoin is the coin by several metals: “clad or 40% silver half dollar”.
func (w *weighing) metalsOfCoin(metals []metal) say.Line {
	return say.New("metals-coin", say.Of("metals", listed(metals)), say.Noun("coin", w.coin))
}

// contradiction is a test whose answer a coin of the issue would seldom give; empty if
// there is none. The weight carries the verdict all the same.
func (w *weighing) contradiction(best int) string {
	const seldom = 0.06
	t, e := &w.blanks[w.issues[best].blank].clean, &w.q.Evidence
	for _, c := range [...]struct {
		only Evidence
		test string
	}{
		{Evidence{Magnetic: e.Magnetic}, testMagnet},
		{Evidence{Edge: e.Edge}, testEdge},
		{Evidence{Stripe: e.Stripe}, testStripe},
	} {
		if t.likelihood(&c.only) < seldom {
			return c.test
		}
	}
	const farOff = 3.5 // standard deviations of calipers at the table: 0.4 mm
	if e.Diameter != 0 && t.diameter.mean != 0 && math.Abs(e.Diameter-t.diameter.mean) > farOff*t.diameter.sd {
		return testDiameter
	}
	return ""
}

// flat reports whether the issue would have to be worn nearly smooth to weigh so
// little.
func (w *weighing) flat(best int) bool {
	e := w.worn(best, wearNodes-1)
	return e.Mu-w.y > heavyWear*-e.Tau
}

// exception says the one rival of a likely alloy: by what the coin shows, by its years,
// where a date would tell, or as the other coin that it would be. False where none of
// these says enough.
func (w *weighing) exception(x *wording, v *Verdict, p *posterior) bool {
	if len(p.rivals) != 1 || p.chance[p.order[0]] < mostly || !w.families[p.order[0]].regular {
		return false
	}
	f := p.rivals[0]
	rival := &w.families[f]
	_, short := w.coinOf(p.order[0], w.metal(p.order[0]))
	line := say.Line{}
	switch {
	case !rival.regular:
		best, top := -1, 0.0
		for i := range w.alternatives {
			s := &w.alternatives[i]
			if x := w.odds.prior(s.kind) * w.share[i] * w.other[i]; w.blanks[s.blank].family == f && x > top {
				best, top = i, x
			}
		}
		if best < 0 || w.alternatives[best].kind.Rare() {
			return false
		}
		line = say.New("unless-other", say.Of("coin", short), say.Of("other", w.alternatives[best].word))
	case w.year != 0 || len(rival.years) == 0 || len(rival.years) > 3:
		return false
	case w.signs(f) != "":
		line = say.New("unless-years-sign", say.Of("coin", short), say.List("years", say.Comma, texts(rival.years)...), say.Noun("metal", rival.metal.forms), say.Text("sign", w.signs(f)))
	default:
		line = say.New("unless-years", say.Of("coin", short), say.List("years", say.Comma, texts(rival.years)...), say.Noun("metal", rival.metal.forms))
	}
	if v.Question != nil && w.unless != "" {
		line = say.New("unless-seen", say.Of("coin", short), say.Text("sign", w.unless))
	}
	x.headline, x.spoken = line, line
	x.bare = say.New("bare", say.Of("what", short))
	return true
}

// signs is what the eye tells a family by, “large mint mark above the dome”,
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
	return sign
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

// choices are the metals that remain, likeliest first.
func (w *weighing) choices(p *posterior) []metal {
	var names []metal
	for _, f := range remaining(p) {
		names = append(names, w.metal(f))
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

// find is the headline of a coin that deserves a look, and notes in the claim
// what it gives as explanation. A coin seldom met has no kind, since nothing is
// wrong with it.
func (w *weighing) find(c *Claim, best int, p *posterior, found []draft) say.Line {
	if i := w.likelyOther(); i >= 0 {
		w.claim(c, i)
		return w.really(i)
	}
	if years := w.seldomMet(p); years != "" {
		return then(say.New("seldom-met", say.Decimal("weight", w.y, w.digits()), say.Noun("own", w.coin), say.Text("years", years)), say.New("test-date"))
	}
	if line := w.anotherYear(p, found); !line.None() {
		c.Kind = TransitionalAlloy
		return line
	}
	if i := w.named(found); i >= 0 {
		w.claim(c, i)
		return w.findNamed(c, i, w.side(best), found)
	}
	if i := w.otherBeside(wellBeside); i >= 0 {
		w.claim(c, i)
		return w.really(i)
	}
	if w.stain(best, w.beside(best)) {
		c.Kind = Altered
		b := &w.blanks[w.issues[best].blank]
		return then(say.New("right-but-color", say.Decimal("weight", w.y, w.digits()), say.Of("coin", w.aMade(b.family, metalOf(&b.alloy)))), say.New("look-edge"))
	}
	c.Kind, c.Alloy = Unknown, ""
	if side := w.side(best); side != "" {
		return say.New("fits-none-side", say.Decimal("weight", w.y, w.digits()), say.Noun("own", w.coin), say.Text("side", side))
	}
	return say.New("fits-none", say.Decimal("weight", w.y, w.digits()), say.Noun("own", w.coin))
}

// really asks whether the coin isn't another one.
func (w *weighing) really(i int) say.Line {
	return then(say.New("really", say.Decimal("weight", w.y, w.digits()), say.Of("other", w.alternatives[i].word)), say.New("really-own", say.Noun("own", w.coin)))
}

// findNamed is the headline of an alternative that explains the weight.
func (w *weighing) findNamed(c *Claim, i int, side string, found []draft) say.Line {
	s := &w.alternatives[i]
	planchet := func(k Kind) bool { return k == WrongPlanchet || k == DoubleDenomination }
	switch {
	case s.kind == TransitionalAlloy:
		c.Planchet = "" // the alloy says it all, as in another year's
		_, known := w.proven(s)
		f := w.blanks[s.blank].family
		return w.wrongYear(f, w.metal(f), known, found)
	case planchet(s.kind) && side != "":
		return say.New("planchet-side", say.Decimal("weight", w.y, w.digits()), say.Text("side", side), say.Noun("own", w.coin), say.Of("other", s.word))
	case planchet(s.kind):
		return then(say.New("planchet-too", say.Decimal("weight", w.y, w.digits()), say.Of("other", s.word)), say.New("look-color-edge"))
	}
	o := -1
	if s.kind == ForeignCoin {
		o = w.besides(i, found)
	}
	switch {
	case o < 0:
		return say.New("fits", say.Decimal("weight", w.y, w.digits()), say.Of("other", s.word))
	case w.alternatives[o].blank == s.blank:
		return say.New("fits-or-planchet", say.Decimal("weight", w.y, w.digits()), say.Of("other", s.word))
	case planchet(w.alternatives[o].kind):
		return say.New("fits-foreign-or-planchet", say.Decimal("weight", w.y, w.digits()), say.Text("country", s.country), say.Of("other", w.alternatives[o].word))
	}
	return say.New("fits-foreign-or", say.Decimal("weight", w.y, w.digits()), say.Text("country", s.country), say.Of("other", w.alternatives[o].word))
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
func (w *weighing) anotherYear(p *posterior, found []draft) say.Line {
	const likely = 0.3
	if len(p.order) == 0 || !w.families[p.order[0]].regular || p.chance[p.order[0]] < likely || !w.misfits(p.order[0]) {
		return say.Line{}
	}
	known := say.Line{}
	if i := w.leftOver(p.order[0]); i >= 0 {
		_, known = w.proven(&w.alternatives[i])
	}
	return w.wrongYear(p.order[0], w.metal(p.order[0]), known, found)
}

// wrongYear is the headline of a metal that the date as read has no coins of, with
// what is known of exceptions. It asks to read the date again, or, where all else has
// been ruled out, an expert.
func (w *weighing) wrongYear(f int, of metal, known say.Line, found []draft) say.Line {
	line := say.New("wrong-year", say.Decimal("weight", w.y, w.digits()), say.Of("coin", w.aMade(f, of)), say.Text("date", w.dated()))
	if !known.None() {
		line = say.New("wrong-year-known", say.Decimal("weight", w.y, w.digits()), say.Of("coin", w.aMade(f, of)), say.Text("date", w.dated()), say.Of("known", known))
	}
	switch {
	case slices.ContainsFunc(found, func(c draft) bool { return c.expert }):
		return then(line, say.New("ask-expert"))
	case w.mint != "":
		return then(line, say.New("recheck-date-mark"))
	}
	return then(line, say.New("recheck-date"))
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
