package settle

import (
	"math"
	"slices"

	"panside/internal/stats"
)

// knowledge is what was learnt of the scale from the loads so far.
type knowledge struct {
	shapes      []shape
	prior       []float64 // logarithm of each shape's weight
	noiseFactor float64   // factor on the variance of shape and time
	clean       int       // landings without a hand at work so far
	stayed      float64   // landings at which a hand stayed on, the older the less,
	came        float64   // and all landings
	habit       habit
	pool        pool
}

func newKnowledge() knowledge {
	k := knowledge{shapes: grid(), noiseFactor: startNoiseFactor, habit: newHabit()}
	k.prior = make([]float64, len(k.shapes)) // all alike
	return k
}

// learn carries over to the next load what this one told. The evidence is
// tempered, since the readings of one load are not independent and no shape is
// quite right: a clean landing moves the logarithms by a third of the way, one
// by a hand at work by a tenth. Each shape then lends a part of its weight to
// its neighbours in the grid.
func (k *knowledge) learn(m *move, landed bool, between float64) {
	part, floor := 0.3, -30.0
	best := m.best()
	lingered := best.longestRun() > lingersAt+between
	if lingered {
		part, floor = 0.1, -10
	} else if best.n > 0 && !m.isUnseen() {
		k.clean++
	}
	if best.seen >= 3 && !lingered {
		// The mean of e²/S is 1 where the variances are right.
		step := math.Log(best.off / best.seen)
		k.noiseFactor *= math.Exp(0.3 * math.Max(-1, math.Min(1, step)))
		k.noiseFactor = math.Max(leastNoiseFactor, math.Min(mostNoiseFactor, k.noiseFactor))
	}
	if landed && best.n > 0 && !m.isUnseen() {
		k.stayed, k.came = handMemory*k.stayed, handMemory*k.came+1
		if lingered {
			k.stayed++
		}
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
				lent[j] = math.Max(lent[j], k.prior[i]-top-neighbour)
			}
		}
	}
	k.prior = lent
}

// lingers is the part of landings at which a hand stays on the load: as seen in
// this sitting, and one in five of two more. Some hands never do: the less one
// was seen to, the less the next is suspected.
func (k *knowledge) lingers() float64 {
	part := (0.4 + k.stayed) / (2 + k.came)
	return part * math.Min(1, part/lingersSeldom)
}

// caution is how far hands must be expected to linger on a load, 0 to 1: on a new
// scale, a slow hand can't be told from a slow filter.
func (k *knowledge) caution() float64 {
	if k.clean < landings {
		return 1
	}
	return math.Max(0, math.Min(1, (k.lingers()-lingersSeldom/2)/lingersSeldom))
}

// youth widens what is told of a load in motion on a scale of which few landings
// were seen: 1 + y/(1 + n) for n of them.
func (k *knowledge) youth() float64 { return 1 + youngSpread/(1+float64(k.clean)) }

// slowness is the time constant of the slowest shape that fits well, s.
func (k *knowledge) slowness() float64 {
	tau := 0.0
	for j, s := range k.shapes {
		if k.prior[j] > fitsWell {
			tau = math.Max(tau, 1/(3*s.rate))
		}
	}
	return tau
}

// response is for how long a change, or a knock, shows by the slowest shape that fits
// well, s: an average stands still beside a level for so long.
func (k *knowledge) response() float64 { return responses * k.slowness() }
