package verdict

import (
	"math"

	"panside/internal/mass"
	"panside/internal/stats"
)

// weighing is one coin held against a model: every hypothesis with its prior
// share and its likelihood.
type weighing struct {
	*model
	q    *Question
	y, u float64 // grams
	year int
	mint string // "" when not read
	seen bool   // there is evidence beside the weight

	own      []ownFit
	blank    []blankFit // by index in model.blanks, own ones first
	ownTotal float64    // Σ of own weights
	other    []float64  // likelihood of each alternative, 0 where it isn't looked at
	share    []float64  // its share within its kind, given the date
	ordinary float64    // likelihood of an ordinary coin: the mixture of own
	plain    float64    // the same as if nothing had been taken out: see compiler.scarce

	altered, counterfeit, unknown float64
	pair, pairMass                float64 // two coins at once: likelihood, and grams

	variety *Answered // the rare one that an answer makes of the coin, nil for none
	remark  string    // what was seen on an everyday one
	unless  string    // what the open question's coin shows, “the mark is above the dome”
	seenOn  int       // the family that shows it
}

// ownFit is how one regular issue fits.
type ownFit struct {
	weight   float64 // prior weight, given what was read of date and mint
	fits     bool    // the date and mint as read are the issue's
	wear     float64 // likelihoods, evidence included: as made and worn,
	damage   float64 // and with dirt, stains or damage
	ordinary float64 // the mixture of them
}

// tooFar is where, in standard deviations on the side without a tail, a
// likelihood counts as zero.
const tooFar = 12

// tailed is the likelihood of reading y for an exponential loss (tail < 0) or
// gain (tail > 0) on a normal mass: stats.EMG.PDF, with its two easy ends taken
// short. It answers 0 where the result would be below 1e-30 of the peak, which
// most hypotheses are; and far down the tail, where Φ(z−k) is 1 to the last
// bit, it is one exponential.
func tailed(y, mu, s, tail float64) float64 {
	d := y - mu
	if tail < 0 {
		d, tail = -d, -tail
	}
	if d < -tooFar*s || d > tooFar*s && d-tooFar*s > 80*tail {
		return 0
	}
	if d*tail > s*s+9*s*tail { // z − k > 9
		return math.Exp((s*s/(2*tail)-d)/tail) / tail
	}
	return stats.EMG{Sigma: s, Tau: tail}.PDF(d)
}

// join adds independent standard deviations.
func join(a, b float64) float64 { return math.Sqrt(a*a + b*b) }

// weigh weighs at an uncertainty.
func (m *model) weigh(q *Question, mint string, u mass.Grams) *weighing {
	w := m.weighOwn(q, mint, u)
	if w.ownTotal != 0 {
		w.weighRest()
	}
	return w
}

// weighRest weighs all that isn't a regular issue.
func (w *weighing) weighRest() {
	scratch := make([]float64, 2*len(w.alternatives))
	w.other, w.share = scratch[:len(w.alternatives)], scratch[len(w.alternatives):]
	w.background()
	w.pair, w.pairMass = w.pairs()
	w.fitOthers()
}

// weighOwn weighs the regular issues.
func (m *model) weighOwn(q *Question, mint string, u mass.Grams) *weighing {
	w := &weighing{
		model: m, q: q, y: float64(q.Mean), u: float64(u), year: q.Year, mint: mint, seen: q.Evidence.any(),
		own: make([]ownFit, len(m.issues)), blank: make([]blankFit, m.ownBlanks),
	}
	w.priors()
	if w.ownTotal == 0 {
		return w
	}
	plain := 0.0
	for i := range w.own {
		w.fitOwn(i)
		w.ordinary += w.own[i].weight / w.ownTotal * w.own[i].ordinary
		w.plain += w.plainWeight(i) * w.own[i].ordinary
		plain += w.plainWeight(i)
	}
	w.plain /= plain
	return w
}

// plainWeight is an issue's weight as if other hands hadn't searched the coins.
func (w *weighing) plainWeight(i int) float64 {
	if w.year != 0 {
		return w.own[i].weight / w.issues[i].scaledDated
	}
	return w.own[i].weight / w.issues[i].scaled
}

// misread is the probability that a reading of that sureness is wrong.
func misread(s Care, usual float64) float64 {
	switch s {
	case ReadTwice:
		return misreadTwice
	case Guessed:
		return math.Max(usual, misreadGuessed)
	}
	return usual
}

// misdated is the weight of coins under a date that isn't theirs: near of their
// years lie within misreadReach of it; all is how likely they are to turn up, beside
// a coin of that date, which is bounded so that very old dates aren't disbelieved.
func misdated(wrong float64, near int, all float64) float64 {
	return wrong * ((1-misreadFar)/(2*misreadReach)*float64(near) + misreadFar/farYears*math.Min(all, farMost))
}

// priors weighs the issues by what was read of date and mint mark. A misread
// date lies within misreadReach years of the true one, or seldom anywhere; a
// misread mark is any other. An issue that date and mark fit counts in full.
func (w *weighing) priors() {
	wrongDate := misread(w.q.Evidence.Date, misreadDate)
	wrongMint := misread(w.q.Evidence.Mint, misreadMint)
	unmarked := w.unmarked
	usual := turnsUp(w.year)
	if w.mint == unmarked && w.year != 0 && w.printed(w.year, w.mint) {
		unmarked = "" // the letter is on coins of that year, so it is meant
	}
	for i := range w.own {
		k := &w.issues[i]
		f := &w.own[i]
		marked := k.years
		if w.mint != "" {
			marked = yearsOf(&k.Issue, w.mint, unmarked)
		}
		switch {
		case w.year == 0 && w.mint == "":
			f.weight, f.fits = k.weight, true
		case w.year == 0:
			f.fits = !marked.empty()
			f.weight = k.perYear()*(1-wrongMint)*marked.weight() + wrongMint/otherMintMarks*k.weight
		default:
			f.fits = marked.has(w.year)
			if f.fits {
				f.weight = (1 - wrongDate) * (1 - wrongMint)
			} else if k.years.has(w.year) {
				f.weight = (1 - wrongDate) * wrongMint / otherMintMarks
			}
			near := k.years.between(w.year-misreadReach, w.year+misreadReach)
			if k.years.has(w.year) {
				near--
			}
			f.weight += misdated(wrongDate, near, k.turns/usual)
			f.weight *= k.factor
		}
		w.ownTotal += f.weight
	}
}

// blankFit is what the issues on one planchet share.
type blankFit struct {
	weight                  float64 // of all its issues
	s                       float64 // making and scale together
	dirty, hurt             float64 // likelihoods without evidence
	clean, damaged, stained float64 // likelihoods of the evidence
	knownLoss, knownWorn    float64 // the wear computed last
	computed, worn          bool
}

// printed reports whether some issue of the year bears the mark itself.
func (m *model) printed(year int, mark string) bool {
	for i := range m.issues {
		if k := &m.issues[i]; k.years.has(year) {
			if of := yearsOf(&k.Issue, mark, ""); of.has(year) {
				return true
			}
		}
	}
	return false
}

func (w *weighing) blankFit(n int) *blankFit {
	f := &w.blank[n]
	if f.computed {
		return f
	}
	b := &w.blanks[n]
	f.computed = true
	f.s = join(b.sigma, w.u)
	f.dirty = tailed(w.y, b.mu, f.s, b.mu*dirtMean)
	f.hurt = tailed(w.y, b.mu, f.s, -b.mu*damageMean)
	f.clean, f.damaged, f.stained = 1, 1, 1
	if w.seen {
		f.clean = b.clean.likelihood(&w.q.Evidence)
		f.damaged = b.damaged.likelihood(&w.q.Evidence)
		f.stained = b.stained.likelihood(&w.q.Evidence)
	}
	return f
}

func (w *weighing) fitOwn(i int) {
	f := &w.own[i]
	if f.weight < 1e-9*w.ownTotal {
		return
	}
	k := &w.issues[i]
	mu := w.blanks[k.blank].mu
	b := w.blankFit(k.blank)
	b.weight += f.weight
	wornBy := func(loss float64) float64 {
		if !b.worn || loss != b.knownLoss {
			b.worn, b.knownLoss, b.knownWorn = true, loss, tailed(w.y, mu, b.s, -mu*loss)
		}
		return b.knownWorn
	}
	worn := 0.0
	if w.year != 0 {
		worn = wornBy(k.rate * handled(w.year, k.until))
	} else {
		for _, loss := range k.loss {
			worn += wornBy(loss) / wearNodes
		}
	}
	f.wear = worn * b.clean
	f.damage = (dirtShare*b.dirty*b.clean + damageShare*b.hurt*b.damaged + stainShare*worn*b.stained) / (dirtShare + damageShare + stainShare)
	if w.q.Answers != nil {
		heard := w.hear(k.ID)
		f.wear, f.damage = f.wear*heard, f.damage*heard
	}
	f.ordinary = (1-dirtShare-damageShare-stainShare)*f.wear + (dirtShare+damageShare+stainShare)*f.damage
}

// background is the likelihood of altered, false and unknown pieces.
func (w *weighing) background() {
	var weights, altered, counterfeit float64
	for i := range w.blank {
		f := &w.blank[i]
		if f.weight < 0.01*w.ownTotal {
			continue
		}
		b := &w.blanks[i]
		e := 1.0
		if w.seen {
			e = b.unknown.likelihood(&w.q.Evidence)
		}
		weights += f.weight
		altered += f.weight * e * (tailed(w.y, b.mu, f.s, b.mu*platedMean) + tailed(w.y, b.mu, f.s, -b.mu*groundMean)) / 2
		wide := join(counterfeitSpread*b.mu, w.u)
		counterfeit += f.weight * e * stats.NormPDF((w.y-b.mu)/wide) / wide
	}
	if weights > 0 {
		w.altered, w.counterfeit = altered/weights, counterfeit/weights
	}
	// Half of the unknown lies evenly below the reach, half falls off beyond it.
	reach := unknownReach * w.heaviest
	if w.unknown = 0.5 / reach; w.y > reach {
		w.unknown = 0.5 * reach / (w.y * w.y)
	}
	if w.seen {
		w.unknown *= w.anything.likelihood(&w.q.Evidence)
	}
}

// fitOthers weighs the alternatives that the date allows.
func (w *weighing) fitOthers() {
	var count [kindCount]int
	if w.year != 0 {
		for i := range w.alternatives {
			if s := &w.alternatives[i]; (s.free || s.years.has(w.year)) && !w.ruledOut(s) {
				count[s.number]++
			}
		}
	}
	for i := range w.alternatives {
		s := &w.alternatives[i]
		switch {
		case w.ruledOut(s):
			continue
		case s.free:
			w.share[i] = w.strayShare(s)
		case w.year == 0:
			// Without a date no alloy is out of its years.
			if s.kind == TransitionalAlloy || s.weight < rareShare {
				continue
			}
			w.share[i] = s.weight
		case s.years.has(w.year):
			w.share[i] = s.rarer / float64(count[s.number])
		default:
			continue
		}
		bare := 0.0
		if s.twin >= 0 && w.share[s.twin] > 0 && !w.seen {
			bare = w.other[s.twin]
		} else {
			years := float64(circulationLife) / 2
			if w.year != 0 && !s.free {
				years = handled(w.year, s.until)
			}
			tail := s.mu * s.rate * years
			if d := w.y - s.mu; d > tooFar*(s.sigma+w.u) || d < -tooFar*(s.sigma+w.u)-80*tail {
				continue
			}
			bare = tailed(w.y, s.mu, join(s.sigma, w.u), -tail)
		}
		if w.seen && bare > 0 {
			bare *= s.observables.likelihood(&w.q.Evidence)
		}
		w.other[i] = bare
	}
}
