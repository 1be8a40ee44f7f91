package verdict

import (
	"math"
	"slices"

	"panside/internal/coin"
	"panside/internal/say"
	"panside/internal/stable"
)

// draft is an explanation on its way into a verdict.
type draft struct {
	kind        Kind
	alternative int // index in model.alternatives, −1 for the general kinds
	ratio       float64
	shown       float64 // ratio as far as it is worth telling
	ofKind      float64 // the ratio of its kind as a whole
	prior       float64 // of its kind, and fit within the kind, to rank equal ratios
	fit         float64
	expert      bool
}

// looks reports whether it makes the person look. Its kind as a whole must, for
// with many planchets to choose from one will fit by chance. Wear and damage
// don't: they are what it is compared with.
func (c draft) looks() bool {
	return c.kind != Wear && c.kind != Damage && c.ratio >= LookRatio && c.ofKind >= LookRatio
}

// highestRatio caps likelihood ratios; see Explanation.
const highestRatio = 1e12

// most of each kind and of all are listed; more would only repeat.
const (
	mostOfKind = 2
	mostOfAll  = 6
)

// drafts are the explanations by likelihood ratio against ordinary wear
// and damage, best first.
func (w *weighing) drafts(best int, hint Hint) []draft {
	ordinary := math.Max(w.plain, 1e-300)
	everyday := math.Max(w.everyday(), 1e-300)
	// What all of a kind make likely together, and the best fitting stray.
	var ofKind [kindCount]float64
	stray := 0.0
	for i := range w.alternatives {
		x := w.share[i] * w.other[i]
		ofKind[w.alternatives[i].number] += x
		if w.alternatives[i].kind == ForeignCoin {
			stray = math.Max(stray, x)
		}
	}
	out := make([]draft, 0, 16)
	add := func(kind Kind, alternative int, likelihood float64) {
		c := draft{kind: kind, alternative: alternative, ratio: math.Min(likelihood/ordinary, highestRatio), prior: w.odds.prior(kind)}
		c.ofKind, c.shown = c.ratio, twoDigits(c.ratio)
		if alternative >= 0 {
			all := ofKind[w.alternatives[alternative].number]
			c.ofKind, c.fit = all/ordinary, w.share[alternative]*w.other[alternative]
			c.expert = kind.Rare() && all >= ExpertRatio*everyday
		}
		// Those most likely on the pan come first, of which the best of each kind stay.
		out = stable.Insert(out, c, func(a, b draft) bool { return a.fit > b.fit })
	}
	var wear, damage, total float64
	for i := range w.own {
		x := w.plainWeight(i)
		total += x
		if f := &w.own[i]; f.fits {
			wear += x * f.wear
			damage += x * f.damage
		}
	}
	wear, damage = wear/total, damage/total
	if hint == Light && wear > 0.01*ordinary {
		add(Wear, -1, wear)
	}
	if w.stain(best, hint) || hint != Regular && damage > 0.01*ordinary {
		add(Damage, -1, damage)
	}
	for i := range w.alternatives {
		s := &w.alternatives[i]
		likelihood := w.other[i]
		if likelihood == 0 || s.kind == OtherCoin {
			continue
		}
		if s.kind == ForeignCoin {
			// There is a foreign coin for nearly every weight, so the ratio is
			// that of them all together; the best fitting ones lend the names.
			likelihood = ofKind[s.number]
			if w.share[i]*w.other[i] < strayListed*stray {
				continue
			}
		}
		if likelihood >= mentionRatio*ordinary {
			add(s.kind, i, likelihood)
		}
	}
	for _, c := range [...]struct {
		kind       Kind
		likelihood float64
	}{{Altered, w.altered}, {Counterfeit, w.counterfeit}, {Unknown, w.unknown}, {TwoCoins, w.pair}} {
		if c.likelihood >= mentionRatio*ordinary {
			add(c.kind, -1, c.likelihood)
		}
	}
	out = w.thin(out)
	most := mostOfAll
	if slices.ContainsFunc(out, func(c draft) bool { return c.kind == TwoCoins }) {
		most++ // it says nothing of one coin, and takes no place from what does
	}
	return out[:min(len(out), most)]
}

// stain reports whether the coin has the weight of a regular one and a colour that
// its metal hasn't.
func (w *weighing) stain(best int, hint Hint) bool {
	c := w.q.Evidence.Colour
	return hint == Regular && c != "" && c != w.blanks[w.issues[best].blank].Colour
}

// thin keeps the best of each kind, and one name for planchets of one metal and
// mass, and sorts them by ratio.
func (w *weighing) thin(sorted []draft) []draft {
	var count [kindCount]int
	out := make([]draft, 0, len(sorted))
	for _, c := range sorted {
		if slices.ContainsFunc(out, func(o draft) bool { return w.same(&o, &c) }) {
			continue
		}
		most := mostOfKind
		if c.kind == DoubleDenomination {
			most = 1 // it has the weights of the planchets listed already
		}
		if n := &count[c.kind.index()]; *n < most {
			*n++
			out = stable.Insert(out, c, draft.before)
		}
	}
	return out
}

// before reports whether it is told before another.
func (c draft) before(o draft) bool {
	switch {
	case c.shown != o.shown:
		return c.shown > o.shown
	case c.prior != o.prior:
		return c.prior > o.prior
	}
	return c.fit > o.fit
}

// same reports whether two drafts differ in the law of their planchet only.
func (w *weighing) same(a, b *draft) bool {
	if a.kind != b.kind || a.alternative < 0 || b.alternative < 0 {
		return false
	}
	s, t := &w.alternatives[a.alternative], &w.alternatives[b.alternative]
	return s.name == t.name || a.kind != ForeignCoin && w.blanks[s.blank].family == w.blanks[t.blank].family && math.Abs(s.mu-t.mu) < 0.006*s.mu
}

// explanation puts a draft into words.
func (w *weighing) explanation(c draft, best int, hint Hint) Explanation {
	p := &w.blanks[w.issues[best].blank]
	e := Explanation{Kind: c.kind, Expected: Absent, LikelihoodRatio: Figure(c.shown), Support: supportOf(c.shown), Steers: c.shown >= steerRatio, Expert: c.expert}
	name, confirm := say.Line{}, say.Line{}
	switch {
	case c.alternative >= 0:
		s := &w.alternatives[c.alternative]
		e.Expected, confirm = Figure(s.mu), s.confirm
		name = say.New("explained", say.Text("name", s.name))
		switch s.kind {
		case TransitionalAlloy:
			proven, _ := w.proven(s)
			confirm = then(proven, confirm)
		case SplitPlanchet:
			e.Expected = Absent // any weight
		}
	case c.kind == Wear:
		e.Expected = Figure(w.worn(best, wearNodes-1).Mean())
		name, confirm = say.New("much-worn", say.Noun("coin", p.Full())), say.New("confirm-worn")
	case c.kind == Damage && hint == Regular:
		e.Expected = Figure(p.mu)
		name, confirm = say.New("stained"), say.New("confirm-stained")
		if p.Layers[0].Part == coin.Plating {
			confirm = say.New("confirm-stained-plated")
		}
	case c.kind == Damage && hint == Heavy:
		name, confirm = say.New("dirty", say.Noun("coin", p.Full())), say.New("confirm-dirty")
	case c.kind == Damage:
		name, confirm = say.New("damaged", say.Noun("coin", p.Full())), say.New("confirm-damaged")
	case c.kind == TwoCoins:
		e.Expected = Figure(w.pairMass)
		name, confirm = say.New("two-coins"), say.New("confirm-two-coins")
	case c.kind == Altered:
		name, confirm = say.New("altered"), say.New("confirm-altered")
	case c.kind == Counterfeit:
		name, confirm = say.New("counterfeit"), say.New("confirm-counterfeit")
	default:
		name, confirm = say.New("no-match"), say.New("confirm-no-match")
	}
	e.Name, e.Confirm = w.write(name), w.write(confirm)
	return e
}

// everyday is the likelihood of all that a table sees every week: ordinary
// coins, others under the wrong key, foreign strays, altered and false pieces.
func (w *weighing) everyday() float64 {
	sum := w.plain + w.odds.altered*w.altered + w.odds.counterfeit*w.counterfeit + w.odds.unknown*w.unknown + w.odds.twoCoins*w.pair
	for i := range w.alternatives {
		if k := w.alternatives[i].kind; k == OtherCoin || k == ForeignCoin {
			sum += w.odds.prior(k) * w.share[i] * w.other[i]
		}
	}
	return sum
}

// likelyOther is the coin of another denomination that most likely lies under
// the wrong key, if that fits, and better than an ordinary coin or a foreign
// one; −1 if none.
func (w *weighing) likelyOther() int { return w.otherBeside(1) }

// otherBeside is the same, where it need be only so many times as likely as an
// ordinary coin.
func (w *weighing) otherBeside(times float64) int {
	if w.q.Evidence.Design == Yes {
		return -1 // the person has looked
	}
	best, top := -1, times*w.ordinary
	for i := range w.alternatives {
		if k := w.alternatives[i].kind; k == OtherCoin || k == ForeignCoin {
			if p := w.odds.prior(k) * w.share[i] * w.other[i]; p > top && w.suits(i) {
				best, top = i, p
			}
		}
	}
	if best >= 0 && w.alternatives[best].kind != OtherCoin {
		return -1
	}
	return best
}

// suits reports whether an alternative explains the weight better than nothing
// known would.
func (w *weighing) suits(i int) bool { return w.other[i] >= LookRatio*w.unknown }

// named is the alternative that a headline names: of those that make the
// person look, the one that most likely lies on the pan; −1 if none suits.
// What was struck for another country is named only where a date speaks for
// it: without one there are too many. A stray that can't bear the date that was
// read comes after everything that can.
func (w *weighing) named(found []draft) int {
	if i := w.likeliest(found, false); i >= 0 {
		return i
	}
	return w.likeliest(found, true)
}

func (w *weighing) likeliest(found []draft, anyDate bool) int {
	best, top := -1, 0.0
	for _, c := range found {
		if c.kind == SplitPlanchet && w.q.Evidence.Thickness == 0 {
			continue // it may have any weight, so weight alone doesn't name it
		}
		if !c.looks() || c.alternative < 0 || !w.suits(c.alternative) {
			continue
		}
		s := &w.alternatives[c.alternative]
		if s.forOthers && w.year == 0 || s.free && w.year != 0 && !anyDate && !s.years.has(w.year) {
			continue
		}
		if p := c.prior * c.fit; p > top {
			best, top = c.alternative, p
		}
	}
	return best
}

// besideFit is the least likelihood, beside that of the foreign coin named, at
// which a rare coin is named with it.
const besideFit = 0.25

// besides is the rare coin that fits about as well as the foreign one named, −1 if
// none does: a searcher wants to hear of both. Of planchets struck for other countries
// it is that of the foreign coin itself only.
func (w *weighing) besides(foreign int, found []draft) int {
	best, top := -1, 0.0
	for _, c := range found {
		if !c.looks() || !c.kind.Rare() || w.alternatives[c.alternative].forOthers && w.alternatives[c.alternative].blank != w.alternatives[foreign].blank || w.other[c.alternative] < besideFit*w.other[foreign] {
			continue
		}
		if p := c.prior * c.fit; p > top {
			best, top = c.alternative, p
		}
	}
	return best
}

// twoDigits rounds a likelihood ratio: no model is worth more.
func twoDigits(x float64) float64 {
	if !(x > 1e-12) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	if unit < 1 {
		per := math.Round(1 / unit)
		return math.Round(x*per) / per
	}
	return math.Round(x/unit) * unit
}
