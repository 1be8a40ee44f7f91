package verdict

import "math"

// finerWouldTell asks whether a scale ten times better would have been decisive on a
// coin of this mass.
func (w *weighing) finerWouldTell() bool {
	f := w.model.weighOwn(w.q, w.mint, w.q.U/10)
	if f.ownTotal == 0 || !w.seen && f.ownLeaveOpen(w.share) {
		return false
	}
	f.weighRest()
	p := f.posterior()
	return p.decisive
}

// ownLeaveOpen reports whether the regular issues alone keep every family from being
// decisive, whatever the alternatives, of these shares, weigh: it spares fitting
// those. No tailed density exceeds the normal's peak, 1/(s·√2π), so a family of
// regular chance c can come to at most
//
//	c + Σ prior·share/(s·√2π)   over its alternatives,
//
// and beside it lie at least the regular chances of the other families.
func (w *weighing) ownLeaveOpen(share []float64) bool {
	scratch := make([]float64, 2*len(w.families))
	regular, most := scratch[:len(w.families)], scratch[len(w.families):]
	w.addRegular(regular)
	all := 0.0
	for f, x := range regular {
		most[f] = x
		all += x
	}
	for i := range w.alternatives {
		if share[i] > 0 {
			s := &w.alternatives[i]
			most[w.blanks[s.blank].family] += w.odds.prior(s.kind) * share[i] / (join(s.sigma, w.u) * math.Sqrt(2*math.Pi))
		}
	}
	for f, x := range regular {
		if most[f] >= DecisiveOdds*(all-x) {
			return false
		}
	}
	return true
}
