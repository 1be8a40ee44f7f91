package verdict

import (
	"slices"

	"panside/internal/mass"
)

// Coins half put down. Assumed; the hands of the first world that the tracker is tuned
// on (internal/simscale) hold coins within these limits, but for fingers that press by
// more than the coin weighs.
const (
	halfLeast = 0.1 // least part of its mass that a coin shows which isn't let go,
	halfMost  = 2   // and the largest, under a finger that leans on it

	// halfOdds is how much likelier the whole coin must be than everything of another
	// alloy that is half put down, before an alloy is named. It asks for more than
	// DecisiveOdds does, since a moment later nothing is left to doubt. What was measured
	// with others stands in server/figures.
	halfOdds = 10_000
)

// halfWay is the density of the mass that a coin of a mass m shows while it is half put
// down or leant on, uniform from halfLeast·m to halfMost·m.
func halfWay(y, m float64) float64 {
	if y < halfLeast*m || y > halfMost*m {
		return 0
	}
	return 1 / ((halfMost - halfLeast) * m)
}

// mayBeHalf reports whether a coin may be only half put down. What was looked at has been
// put down before.
func (q *Question) mayBeHalf() bool {
	return q.Half > 0 && q.Half < 1 && q.WholeU > 0 && q.WholeU < q.U && !q.Evidence.any() && q.Answers == nil
}

// NamedBy is the uncertainty by which an alloy is named, if one is: of a coin that may be half
// put down, that of it let go.
func (q *Question) NamedBy() mass.Grams {
	if q.mayBeHalf() {
		return q.WholeU
	}
	return q.U
}

// answer weighs a coin, and says which alloys it may be of.
//
// An ordinary coin's alloy is named though it may be only half put down, if a part
// of any other hardly weighs like this one whole. With the chance P of that, the
// density of what is shown is
//
//	(1 − P)·f(y; u) + P·h(y; m)
//
// with f the usual one, at the uncertainty u of a coin let go, and h that of halfWay. The
// alloy a must be decisive by f, and its whole coins halfOdds times likelier than the
// halves of all the others, so that these change the answer by a ten-thousandth at most:
//
//	(1 − P)·P(a)·f_a(y; u) ≥ halfOdds · P·Σ P(b)·h(y; m_b)  over b ≠ a
//
// Altered, false and unknown pieces weigh anything, so half of one is like a whole one.
// What isn't both decisive and ordinary so is judged by the wide U, and that names no
// alloy. What is said of mass and limits always goes by U.
func (m *model) answer(q *Question, mint string) (w *weighing, p posterior) {
	half := q.mayBeHalf()
	if half {
		w = m.weigh(q, mint, q.WholeU)
		if best := w.bestIssue(); best >= 0 {
			p = w.posterior()
			if p.decisive && w.clear(&p) && w.call(&p, slices.ContainsFunc(w.drafts(best, Regular), draft.looks)) == Ordinary {
				w.u = float64(q.U)
				return w, p
			}
		}
	}
	w = m.weigh(q, mint, q.U)
	if w.ownTotal == 0 {
		return w, p
	}
	p = w.posterior()
	p.decisive = p.decisive && !half
	return w, p
}

// clear reports whether whole coins of the likeliest alloy stand out from those of all
// others that are half put down.
func (w *weighing) clear(p *posterior) bool {
	first, others := p.order[0], 0.0
	for i := range w.own {
		if b := &w.blanks[w.issues[i].blank]; b.family != first {
			others += w.own[i].weight / w.ownTotal * halfWay(w.y, b.mu)
		}
	}
	for i := range w.alternatives {
		if s := &w.alternatives[i]; w.blanks[s.blank].family != first {
			others += w.odds.prior(s.kind) * w.share[i] * halfWay(w.y, s.mu)
		}
	}
	return (1-w.q.Half)*p.chance[first]*p.total >= halfOdds*w.q.Half*others
}
