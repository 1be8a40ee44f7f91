package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/stats"
)

// tolerance answers for the limits of one issue, the likeliest.
//
// The conformance probability is that of JCGM 106:2012 for a normal
// measurement y ± u and limits TL, TU, knowing nothing of the coin but the
// weighing:
//
//	p = Φ((TU − y)/u) − Φ((TL − y)/u)
//
// “Within” is said when p reaches the confidence asked for (0.975 by default);
// “below” when Φ((TL − y)/u) does, “above” likewise. Below and above accuse a
// coin, so they must also survive what is known of how coins are made and
// worn: the mixture of the weighing must leave them at 95 %. With a fine scale
// that changes nothing. With a coarse one it keeps the many good coins with an
// unlucky reading from outweighing the few bad ones.
//
// A published remedy of a batch (the mean of a sample, or grams per kilogram)
// isn't a limit of a piece: a single coin outside it breaks no law. For such
// an issue the state of the piece is “unpublished”, no limit is given, the
// scope says batch and the sentence tells the rule.
func (w *weighing) tolerance(book *coin.Book, best int, p *posterior) Tolerance {
	b := &w.blanks[w.issues[best].blank]
	t := Tolerance{
		State: Unpublished, Issue: b.Name, Nominal: Figure(b.mu), U: Figure(w.u), Scope: coin.PerPiece,
		Limit: Absent, Conformity: Absent,
		Assumed:       len(p.rivals) > 0 && !p.decisive,
		NominalSource: source(book, b.Mass),
	}
	whose := say.Line{}
	switch {
	case len(p.order) > 0 && p.order[0] != b.family:
		whose = say.New("beside-normal", say.Noun("coin", b.Full()))
	case t.Assumed:
		whose = say.New("beside-likeliest", say.Noun("coin", b.Full()))
	}
	if b.Limit.Known() {
		t.LimitSource = source(book, b.Limit.Figure)
	}
	switch {
	case !b.Limit.Known():
		t.Sentence = w.write(then(say.New("no-limit"), whose))
		return t
	case b.Limit.Scope == coin.PerBatch:
		t.Scope = coin.PerBatch
		rule := say.New("batch-limit")
		if b.Limit.Batch != "" {
			rule = say.New("batch-limit-rule", say.Text("rule", b.Limit.Batch))
		}
		t.Sentence = w.write(then(rule, whose))
		return t
	}
	limit := b.Limit.Value
	low, high := b.mu-limit, b.mu+limit
	t.Limit = Figure(limit)
	within := stats.NormBetween((low-w.y)/w.u, (high-w.y)/w.u)
	t.Conformity = Figure(within)
	light := stats.NormCDF((low - w.y) / w.u)
	heavy := stats.NormSF((high - w.y) / w.u)
	c := w.q.Confidence
	switch {
	case within >= c:
		t.State = Within
	case light >= c && w.beyond(best, low, -1) >= agreeAtLeast:
		t.State = Below
	case heavy >= c && w.beyond(best, high, 1) >= agreeAtLeast:
		t.State = Above
	default:
		t.State = Inconclusive
	}
	lost := w.worn(best, wearNodes-1)
	t.WornOK = w.y < low && (t.State == Below || t.State == Inconclusive) && lost.CDF(w.y) >= wornTail
	line := verdictOn(&t, b, w.flat(best))
	if t.State == Inconclusive && math.Max(light, heavy) >= c {
		line = say.New("out-but-coarse")
	}
	t.Sentence = w.write(then(line, whose))
	if t.State == Inconclusive {
		t.Settle = w.write(w.settle(low, high))
	}
	return t
}

// verdictOn is the answer as a sentence.
func verdictOn(t *Tolerance, b *blank, flat bool) say.Line {
	s := say.New("near-limit")
	switch {
	case t.State == Within:
		s = say.New("within-limit")
	case t.State == Above:
		s = say.New("above-limit")
	case t.State == Below && t.WornOK && flat:
		s = say.New("below-limit-flat")
	case t.State == Below && t.WornOK:
		s = say.New("below-limit-worn")
	case t.State == Below:
		s = say.New("below-limit")
	case t.WornOK:
		s = say.New("near-limit-worn")
	}
	if b.Limit.Grade == coin.Practice {
		return then(s, say.New("limit-by-practice"))
	}
	return s
}

// beyond is the probability that the coin's true mass lies beyond a limit (to
// the light side for side −1, to the heavy side for +1), given the weighing
// and how the issue's coins are made, worn, soiled and damaged:
//
//	P = 1 − ∫ g(m)·φ((y−m)/u) dm / ∫ g(m)·φ((y−m)/u) dm
//
// the upper integral over the near side of the limit, the lower over all
// masses; the lower one has the closed form that the weighing has computed
// with already. Simpson's rule does for the upper: the integrand falls like a
// normal curve from the limit on.
func (w *weighing) beyond(best int, limit, side float64) float64 {
	near, all := 0.0, 0.0
	b := &w.blanks[w.issues[best].blank]
	family := b.family
	for i := range w.own {
		f := &w.own[i]
		q := &w.blanks[w.issues[i].blank]
		if q.family != family || f.weight < 0.02*w.ownTotal && i != best {
			continue
		}
		parts := [...]struct{ share, tail float64 }{
			{1 - dirtShare - damageShare, w.worn(i, wearNodes/2).Tau},
			{dirtShare, q.mu * dirtMean},
			{damageShare, -q.mu * damageMean},
		}
		for _, part := range parts {
			e := stats.EMG{Mu: q.mu, Sigma: q.sigma, Tau: part.tail}
			seen := stats.EMG{Mu: q.mu, Sigma: math.Hypot(q.sigma, w.u), Tau: part.tail}
			all += f.weight * part.share * seen.PDF(w.y)
			// Away from the limit towards the coin's regular mass, as far as
			// the measurement reaches.
			reach := 8*w.u - side*(w.y-limit)
			if reach <= 0 {
				continue
			}
			// Half the narrower of the two widths is step enough.
			steps := 2 * min(max(int(math.Ceil(reach/math.Min(w.u, q.sigma))), 8), 100)
			h := reach / float64(steps)
			sum := 0.0
			for n := 0; n <= steps; n++ {
				m := limit - side*float64(n)*h
				weight := 2.0
				switch {
				case n == 0 || n == steps:
					weight = 1
				case n%2 == 1:
					weight = 4
				}
				sum += weight * e.PDF(m) * stats.NormPDF((w.y-m)/w.u) / w.u
			}
			near += f.weight * part.share * sum * h / 3
		}
	}
	if !(all > 0) {
		return 1 // no ordinary coin weighs like this: it is beyond
	}
	return 1 - math.Min(near/all, 1)
}

// settle says what would decide an inconclusive weighing.
func (w *weighing) settle(low, high float64) say.Line {
	near := math.Min(math.Abs(w.y-low), math.Abs(w.y-high))
	need := near / stats.NormQuantile(w.q.Confidence) // the u that would do
	if need >= w.u {
		need = w.u / 3 // doubted for the sake of how coins are made: look finer
	}
	d := float64(w.q.Resolution)
	if d > 0 && w.u > 3*float64(mass.UnprovenScale(w.q.Resolution, w.q.Mean).U()) {
		return say.New("wait-to-settle")
	}
	if r := float64(w.q.Repeatability); r > 0 {
		fixed := w.u*w.u - r*r
		if rest := need*need - fixed; rest > 0 {
			if n := math.Ceil(r * r / rest); n <= 20 {
				return say.New("weigh-often", say.Count("times", int(math.Max(n, 2))))
			}
		}
	}
	for _, finer := range []float64{0.1, 0.01, 0.001} {
		if (d == 0 || finer < d) && float64(mass.UnprovenScale(mass.Grams(finer), w.q.Mean).U()) <= need {
			return say.New("finer-scale", say.Decimal("step", finer, -1))
		}
	}
	return say.New("on-the-limit")
}

// source tells where a figure is from.
func source(book *coin.Book, f coin.Figure) *Source {
	return &Source{Title: book.Source(f.Source).Title, Grade: f.Grade}
}
