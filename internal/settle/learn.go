package settle

import (
	"math"
	"slices"

	"panside/internal/stats"
)

// knowledge is what was learnt of the scale from the loads so far.
type knowledge struct {
	shapes []shape
	prior  []float64 // logarithm of each shape's weight
	rough  float64   // factor on the variance of shape and time
	clean  int       // landings without a hand at work so far
	pool   pool
}

func newKnowledge() knowledge {
	k := knowledge{shapes: grid(), rough: startRough}
	k.prior = make([]float64, len(k.shapes)) // all alike
	return k
}

// learn carries over to the next load what this one told. The evidence is
// tempered, since the readings of one load are not independent and no shape is
// quite right: a clean landing moves the logarithms by a third of the way, one
// by a hand at work by a tenth. Each shape then lends a part of its weight to
// its neighbours in the grid.
func (k *knowledge) learn(m *move) {
	part, floor := 0.3, -30.0
	best := m.best()
	if best.n > lonely {
		part, floor = 0.1, -10
	} else if best.n > 0 && math.IsInf(m.blindAt, -1) {
		k.clean++
	}
	if best.seen >= 3 && best.n <= lonely+1 {
		// The mean of e²/S is 1 where the variances are right.
		step := math.Log(best.off / best.seen)
		k.rough *= math.Exp(0.3 * math.Max(-1, math.Min(1, step)))
		k.rough = math.Max(leastRough, math.Min(mostRough, k.rough))
	}
	post := make([]float64, len(k.prior))
	for j := range post {
		post[j] = math.Inf(-1)
	}
	for _, b := range m.branches {
		post[b.shape] = stats.LogAddExp(post[b.shape], b.logw)
	}
	top := slices.Max(post)
	for j := range post {
		k.prior[j] += part * (math.Max(post[j]-top, floor) - k.prior[j])
	}
	top = slices.Max(k.prior)
	lent := slices.Clone(k.prior)
	for j := range lent {
		lent[j] -= top
		for _, i := range [2]int{j - 1, j + 1} {
			if i >= 0 && i < len(lent) && k.shapes[i].family == k.shapes[j].family {
				lent[j] = math.Max(lent[j], k.prior[i]-top-1.5)
			}
		}
	}
	k.prior = lent
}

// young tells that too little is known of the scale to tell a slow hand from a
// slow filter.
func (k *knowledge) young() bool { return k.clean < landings }
