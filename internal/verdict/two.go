package verdict

import "slices"

// pairs is the likelihood of two coins of the denomination on the pan at once,
// which a person who weighs fast brings about and doesn't see. The first is one
// of the issues as read of date and mark, the second any:
//
//	y ~ Σ_ij w_i·w_j · EMG(μ_i + μ_j, √(σ_i² + σ_j² + u²), −(τ_i + τ_j))
//
// with the mean loss τ of a planchet's issues. The sum of two exponential losses
// is taken for one with their mean, which is a little too wide. Whoever has
// looked at edge, colour or size has had the coin in hand and seen that it is
// one. sum is the mass of the likeliest two, in grams.
func (w *weighing) pairs() (likelihood, sum float64) {
	const usual = 0.01 // of the denomination's coins; rarer ones don't come in twos
	if w.seen {
		return 0, 0
	}
	top := 0.0
	for i := range w.blank {
		first := w.blank[i].weight / w.ownTotal
		if first < usual {
			continue
		}
		for j := range w.blank {
			b, c := &w.blanks[i], &w.blanks[j]
			if c.usual < usual {
				continue
			}
			mu := b.mu + c.mu
			x := first * c.usual * tailed(w.y, mu, join(join(b.sigma, c.sigma), w.u), -(b.mu*b.loss+c.mu*c.loss))
			likelihood += x
			if x > top {
				top, sum = x, mu
			}
		}
	}
	return likelihood, sum
}

// two reports whether two coins at once explain the weight, and better than any
// single alternative does.
func (w *weighing) two(found []draft) bool {
	if !slices.ContainsFunc(found, func(c draft) bool { return c.kind == TwoCoins && c.looks() }) || w.pair < LookRatio*w.unknown {
		return false
	}
	for i := range w.alternatives {
		if w.odds.prior(w.alternatives[i].kind)*w.share[i]*w.other[i] > w.odds.twoCoins*w.pair {
			return false
		}
	}
	return true
}
