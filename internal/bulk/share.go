package bulk

import (
	"math"

	"panside/internal/fault"
	"panside/internal/say"
)

// Mix is what a counted pile of two kinds of coin can tell.
type Mix struct {
	// Other is the distribution of how many of the other kind are in it.
	Other Answer `json:"-"`
	// Any is the probability that at least one is, given the expected share.
	// Where every number counted as likely beforehand it says nothing.
	Any float64 `json:"-"`
	// Pure is how often a pile with none of them weighs as far towards the
	// other kind as this one: the test's p.
	Pure float64 `json:"pure"`
	// OneSeen is the power for a single one: if exactly one of the other kind
	// were in such a pile, how often its weight would fall outside what 95 of
	// 100 pure piles weigh, on the other kind's side.
	OneSeen float64 `json:"one_seen"`
	// Least is the smallest number that would be noticed so in at least 80 of
	// 100 piles; 0 if even a pile of nothing else would not.
	Least int `json:"least"`
}

// Share says how many of n coins are of the other kind.
//
//	P(k | T) ∝ prior(k) · p(T − wrapper | n − k usual, k other)
//
// prior is the share of the other kind expected before weighing, giving a
// binomial prior; 0 means that every k is as likely. Errors: fault.BadInput,
// naming the value.
func Share(p Pile, n int, usual, other Kind, prior float64) (Mix, error) {
	if err := p.check(usual, other); err != nil {
		return Mix{}, err
	}
	switch {
	case n < 1 || n > maxCount:
		return Mix{}, fault.InField("count", fault.BadInput, say.New("pile-count", say.Count("given", n), say.Count("most", maxCount)))
	case !(prior >= 0 && prior < 1):
		return Mix{}, fault.InField("expected_share", fault.BadInput, say.New("pile-share-out-of-range"))
	case usual.Mean == other.Mean:
		return Mix{}, fault.InField("other", fault.BadInput, say.New("pile-kinds-alike"))
	}
	net, fixed := float64(p.Total-p.Wrapper), p.fixed()
	logs := make([]float64, n+1)
	best := math.Inf(-1)
	for k := range logs {
		logs[k] = math.Log(newTotal(n-k, usual, k, other, fixed).density(net)) + logBinomial(n, k, prior)
		best = math.Max(best, logs[k])
	}
	if math.IsInf(best, -1) {
		return Mix{}, fault.InField("total_g", fault.BadInput, say.New("pile-no-such-mix", say.Count("count", n)))
	}
	m := Mix{Other: summarise(0, logs)}
	m.Any = 1 - m.Other.P(0)
	m.Pure = newTotal(n, usual, 0, other, fixed).below(net)
	if heavier(usual, other) {
		m.Pure = 1 - m.Pure
	}
	m.OneSeen, m.Least = power(n, usual, other, fixed)
	return m, nil
}

// power of the one-sided test at 5 % that the pile is pure.
func power(n int, usual, other Kind, fixed float64) (one float64, least int) {
	pure := newTotal(n, usual, 0, other, fixed)
	up := heavier(usual, other)
	limit := pure.quantile(1 - level)
	if up {
		limit = pure.quantile(level)
	}
	seen := func(k int) float64 {
		below := newTotal(n-k, usual, k, other, fixed).below(limit)
		if up {
			return 1 - below
		}
		return below
	}
	one = seen(1)
	const enough = 0.8
	for k := 1; k <= n; k++ {
		if seen(k) >= enough {
			return one, k
		}
	}
	return one, 0
}

// heavier tells on which side of a pure pile one with others lies.
func heavier(usual, other Kind) bool { return other.Mean-other.Wear > usual.Mean-usual.Wear }

func logBinomial(n, k int, share float64) float64 {
	if share == 0 {
		return 0
	}
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c + float64(k)*math.Log(share) + float64(n-k)*math.Log1p(-share)
}
