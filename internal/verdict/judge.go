package verdict

import (
	"math"
	"slices"
	"strings"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/internal/stable"
	"panside/internal/stats"
)

// Judge answers a question from a coin book. The same question always gets
// the same answer.
//
// Errors are *fault.Field: fault.BadInput, and the book's fault.NoSuchIssue.
func Judge(book *coin.Book, q Question) (Verdict, error) {
	if err := q.check(); err != nil {
		return Verdict{}, err
	}
	m, err := modelOf(book, q.Country, q.Denomination, q.Origin)
	if err != nil {
		return Verdict{}, err
	}
	if q.Confidence == 0 {
		q.Confidence = Confidence
	}
	mint := strings.ToUpper(strings.TrimSpace(q.Mint))
	if mint == "?" {
		mint = ""
	}
	q.Answers = slices.Clone(q.Answers)
	if err := m.hearRuler(&q); err != nil {
		return Verdict{}, err
	}
	if err := m.unanswerable(&q, mint); err != nil {
		return Verdict{}, err
	}
	q.Answers, q.open = told(q.Answers)
	if r := q.Evidence.Ring; r != nil {
		of, err := r.against(book, float64(q.Mean), "evidence.ring")
		if err != nil {
			return Verdict{}, err
		}
		q.Evidence.Ring = of
	}
	w, p := m.answer(&q, mint)
	best := w.bestIssue()
	if best < 0 {
		if _, err := book.Find(q.Country, q.Denomination, q.Year, q.Mint); err != nil {
			return Verdict{}, err
		}
		return Verdict{}, fault.InField("year", fault.NoSuchIssue, say.New("judge-no-such-coin"))
	}

	v := Verdict{DecisiveOdds: DecisiveOdds, Alloys: []Alloy{}, Explanations: []Explanation{}}
	v.Alloys = w.alloys(&p)
	v.Decisive = p.decisive
	v.Hint = w.beside(best)
	found := w.drafts(best, v.Hint)
	looks := slices.ContainsFunc(found, draft.looks)
	v.Call = w.call(&p, looks)
	w.asks(&v, &p)
	v.Tolerance = w.tolerance(book, best, &p)
	if looks || v.Hint != Regular || w.stain(best, v.Hint) {
		for _, c := range found {
			v.Explanations = append(v.Explanations, w.explanation(c, best, v.Hint))
		}
	}
	w.tests(&v, best, &p, found)
	x := w.words(&v, best, &p, found)
	w.keep(&x, &v, best, &p)
	w.askAloud(&x, &v)
	w.guard(&x, &v, best)
	v.Said = Said{x.headline, x.spoken}
	v.First, v.Rest = w.apart(x.headline)
	v.Headline, v.Spoken = w.joined(v.First, v.Rest), w.write(x.spoken)
	if v.Call == CannotTell || v.CountAs.Again {
		v.Hint = ""
	}
	v.Inspect = w.inspect(&v, &p, found)
	return v, nil
}

// bestIssue is the likeliest regular issue that date and mint fit, −1 if there
// is none.
func (w *weighing) bestIssue() int {
	best, top := -1, -1.0
	for i := range w.own {
		f := &w.own[i]
		if !f.fits || f.weight == 0 {
			continue
		}
		// Far from every issue all likelihoods are zero; the tiny second term lets
		// the nearest standard mass win then.
		b := &w.blanks[w.issues[i].blank]
		score := f.weight*f.ordinary + 1e-290/(1+math.Abs(w.y-b.mu))
		if score > top {
			best, top = i, score
		}
	}
	return best
}

// posterior is the distribution over families of alloys.
type posterior struct {
	chance   []float64 // by family; what is missing to 1 has no known metal
	regular  []float64 // of it, by regular issues of the denomination
	total    float64   // likelihood of everything
	order    []int     // families, likeliest first
	decisive bool
	rivals   []int // families besides the first that remain
	told     bool  // something read, seen or weighed tells the first from every rival
}

func (w *weighing) posterior() posterior {
	n := len(w.families)
	scratch := make([]float64, 3*n)
	chance, prior, regular := scratch[:n], scratch[n:2*n], scratch[2*n:]
	for f := range prior {
		prior[f] = w.families[f].usual // before date and mark: those are evidence too
	}
	w.addRegular(regular)
	copy(chance, regular)
	total := w.odds.altered*w.altered + w.odds.counterfeit*w.counterfeit + w.odds.unknown*w.unknown + w.odds.twoCoins*w.pair
	for _, x := range regular {
		total += x
	}
	for i := range w.alternatives {
		if w.share[i] == 0 {
			continue
		}
		f := w.blanks[w.alternatives[i].blank].family
		share := w.odds.prior(w.alternatives[i].kind) * w.share[i]
		prior[f] += share
		chance[f] += share * w.other[i]
		total += share * w.other[i]
	}
	p := posterior{chance: chance, regular: regular, total: total, order: make([]int, 0, n)}
	if !(total > 0) {
		return p
	}
	for f := range chance {
		chance[f] /= total
		regular[f] /= total
		if chance[f] > 0 {
			p.order = stable.Insert(p.order, f, func(a, b int) bool { return chance[a] > chance[b] })
		}
	}
	if len(p.order) == 0 {
		return p
	}
	first := p.order[0]
	p.told = true
	bare := w.year == 0 && w.mint == "" // nothing was read
	for _, f := range p.order[1:] {
		// What nobody would meet isn't named, unless it is so rare only because
		// others searched before: that is what is hoped for.
		hoped := bare && w.families[f].plain >= negligible
		if chance[f] < shown && !hoped {
			continue
		}
		told := chance[first]/prior[first] >= minimumHelp*chance[f]/prior[f]
		if chance[f] >= negligible || !told && (hoped || bare && prior[f] >= negligible) {
			p.rivals = append(p.rivals, f)
			p.told = p.told && told
		}
	}
	p.decisive = p.told && chance[first] >= DecisiveOdds*(1-chance[first])
	return p
}

// addRegular adds how likely the regular issues of each family are, before all is
// brought to a sum of 1.
func (w *weighing) addRegular(to []float64) {
	everyday := 1.0
	for _, k := range kindOrder {
		everyday -= w.odds.prior(k)
	}
	for i := range w.own {
		to[w.blanks[w.issues[i].blank].family] += everyday * w.own[i].weight / w.ownTotal * w.own[i].ordinary
	}
}

// alloys lists the families worth showing.
func (w *weighing) alloys(p *posterior) []Alloy {
	const most = 6
	out := make([]Alloy, 0, most)
	for i, f := range p.order {
		if i == most || i > 0 && p.chance[f] < shown {
			break
		}
		m, fractions := w.metalAndFractions(f)
		out = append(out, Alloy{Name: w.metalName(m), Fractions: fractions, Probability: Figure(p.chance[f]), Years: w.families[f].years})
	}
	return out
}

// beside compares the weight with what wear and making leave of an issue: light
// or heavy is beyond what one such coin in two hundred reaches.
func (w *weighing) beside(i int) Hint {
	const beyond = 0.005
	switch {
	case w.worn(i, wearNodes-1).CDF(w.y) < beyond:
		return Light
	case w.worn(i, 0).SF(w.y) < beyond:
		return Heavy
	}
	return Regular
}

// worn is the distribution of what the scale shows for a worn coin of the
// issue; node says how old without a year, 0 being the youngest loss.
func (w *weighing) worn(i, node int) stats.EMG {
	k := &w.issues[i]
	b := &w.blanks[k.blank]
	loss := k.loss[wearNodes-1-node] // losses fall from the first years to the last
	if w.year != 0 {
		loss = k.rate * handled(w.year, k.until)
	}
	return stats.EMG{Mu: b.mu, Sigma: math.Hypot(b.sigma, w.u), Tau: -b.mu * loss}
}

// call puts the verdict into one word.
func (w *weighing) call(p *posterior, looks bool) Call {
	switch {
	case looks:
		return Look
	case p.decisive && p.regular[p.order[0]] < p.chance[p.order[0]]/2:
		// A metal that the denomination never had, or that most likely comes
		// from another coin of it: a copper-nickel cent is rarer on the pan
		// than a five-cent piece under the wrong key.
		return Look
	case len(p.order) > 0 && p.chance[p.order[0]] >= likelyEnough && w.misfits(p.order[0]):
		return Look // the metal is the likeliest and never was used on that date and mark
	case p.decisive:
		return Ordinary
	case w.finerWouldTell():
		return CannotTell
	}
	return Either
}

// likelyEnough is how likely a metal must be for a date that it doesn't fit to be
// read again.
const likelyEnough = 0.5

// misfits reports whether a date or mark was read that, if read rightly, rules the
// metal out: what speaks for it comes from issues of other dates and marks.
func (w *weighing) misfits(f int) bool {
	var fits, misses float64
	for i := range w.own {
		if w.blanks[w.issues[i].blank].family != f {
			continue
		}
		if x := w.own[i].weight * w.own[i].ordinary; w.own[i].fits {
			fits += x
		} else {
			misses += x
		}
	}
	return misses > fits
}
