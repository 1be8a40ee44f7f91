package settle

import "math"

// belief is a weight's mean and standard deviation, with how long ago the load
// last changed.
type belief struct {
	mean, sd float64
	quiet    float64
}

// mix is the even mixture of two beliefs.
func mix(a, b belief) belief {
	off := a.mean - b.mean
	return belief{
		mean:  (a.mean + b.mean) / 2,
		sd:    math.Sqrt((a.sd*a.sd+b.sd*b.sd)/2 + off*off/4),
		quiet: math.Min(a.quiet, b.quiet),
	}
}

// sum gives what the bank believes came on between two times. w are the
// branches' weights.
func (m *move) sum(from, to float64, w []float64) belief {
	return m.moments(from, to, w, func(*branch, float64) float64 { return 0 })
}

// about is sum, widened by what a hand may still do to the load:
//
//	variance of a branch + P·((g·mean)² + r²)
//
// P is the suspicion that a hand is on the load; it dies away with the quiet
// time q as e^(−q/T). A coin that fell within a moment is soon alone; after a
// hand's work of half a second a short pause proves little. r is handRest: of a
// load that has hardly begun to come on, almost all may be missing. On a scale
// of which little is known yet (wary), a slow filter can't be told from a slow
// hand, and every landing is suspected to be one's.
func (m *move) about(from, to float64, w []float64) belief {
	return m.moments(from, to, w, func(b *branch, mean float64) float64 {
		last := math.Max(b.lastChange(), m.blindAt)
		worked := last - math.Max(b.newestLoad(), m.blindAt)
		hand := math.Max(0, math.Min(1, (worked-0.15)/0.5))
		if m.wary {
			hand = 1
		}
		p := (handOnce + handBusy*hand) * math.Exp(-(m.last.t-last)/(handShort+handLong*hand))
		g := handForce + (1-handForce)*hand
		return p * (g*g*mean*mean + handRest*handRest)
	})
}

func (m *move) moments(from, to float64, w []float64, hand func(*branch, float64) float64) belief {
	var b belief
	second := 0.0
	for i, br := range m.branches {
		mean, v := br.sum(from, to)
		if br.n > 0 {
			v += hand(br, mean)
		}
		b.mean += w[i] * mean
		second += w[i] * (v + mean*mean)
		b.quiet += w[i] * math.Min(10, m.last.t-math.Max(br.lastChange(), m.blindAt))
	}
	b.sd = math.Sqrt(math.Max(0, second-b.mean*b.mean))
	return b
}

// newest is the start of the newest group of changes, by the greatest weight of
// opinion; −Inf for none.
func (m *move) newest(w []float64) float64 {
	starts := make(map[float64]float64)
	for i, b := range m.branches {
		starts[b.newestLoad()] += w[i]
	}
	best, weight := math.Inf(-1), 0.0
	for t, sum := range starts {
		if sum > weight || sum == weight && t > best {
			best, weight = t, sum
		}
	}
	return best
}

// unseen is how much of what came on before a time was still to show then.
func (m *move) unseen(at float64, w []float64, shapes []shape) float64 {
	sum := 0.0
	for i, b := range m.branches {
		for k := 0; k < b.n && b.t[k] < at; k++ {
			shown, _ := shapes[b.shape].at(at - b.t[k])
			sum += w[i] * b.a[k] * (1 - shown)
		}
	}
	return math.Abs(sum)
}

// best is the heaviest branch.
func (m *move) best() *branch {
	best := m.branches[0]
	for _, b := range m.branches {
		if b.logw > best.logw {
			best = b
		}
	}
	return best
}

// surprise is how many standard deviations s lies from the best branch's
// forecast.
func (m *move) surprise(s sample, shapes []shape) float64 {
	var b branch
	m.best().copyTo(&b)
	return math.Abs(b.update(shapes[b.shape], s.t, s.z-m.base, s.noise))
}
