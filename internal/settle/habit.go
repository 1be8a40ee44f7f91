package settle

import (
	"math"
	"slices"

	"panside/internal/stats"
)

// habit is what was learnt of how the person at the scale puts coins down: the
// posterior of the share r of landings that stand still half-way,
//
//	p(r | n, k) ∝ p(r)·r^k·(1 − r)^(n−k)
//
// after k half-way stands in n landings, over the shares in halfShares (T. Bayes; the
// binomial model is common practice). Most people are one of two kinds: they let go
// of coins, or they lean on them and turn them down; the prior knows both, and some
// between.
type habit struct {
	log   [len(halfShares)]float64 // logarithm of each share's weight
	loads []float64                // weights told last, g, remembered of them at most
	told  int                      // how many there were
}

func newHabit() (h habit) {
	for i, p := range halfPrior {
		h.log[i] = math.Log(p)
	}
	return h
}

// see takes a landing, with a half-way stand or without.
func (h *habit) see(halfWay bool) {
	top := math.Inf(-1)
	for i, r := range halfShares {
		if !halfWay {
			r = 1 - r
		}
		h.log[i] += math.Log(r)
		top = math.Max(top, h.log[i])
	}
	for i := range h.log {
		h.log[i] = math.Max(h.log[i]-top, leastKind) // people change places
	}
}

// share is the chance that the next landing stands still half-way.
func (h *habit) share() float64 {
	sum, weighed := 0.0, 0.0
	for i, r := range halfShares {
		w := math.Exp(h.log[i])
		sum, weighed = sum+w, weighed+w*r
	}
	return weighed / sum
}

// standsOn is the part of half-way stands that last for longer than some seconds, which
// is taken as uniform from handLeast to handLongest.
func standsOn(seconds float64) float64 {
	return math.Max(0, math.Min(1, (handLongest-seconds)/(handLongest-handLeast)))
}

// staysOn is standsOn with a tail of those that are held for longer than most are.
func staysOn(seconds float64) float64 {
	return math.Max(standsOn(seconds), halfTail*math.Exp(-math.Max(0, seconds-handLongest)/halfFades))
}

// tell takes the weight of a load that was told.
func (h *habit) tell(weight float64) {
	if len(h.loads) == remembered {
		h.loads = slices.Delete(h.loads, 0, 1)
	}
	h.loads = append(h.loads, weight)
	h.told++
}

// takeBack gives the weight told last, which is forgotten. There must be one.
func (h *habit) takeBack() float64 {
	n := len(h.loads) - 1
	last := h.loads[n]
	h.loads = h.loads[:n]
	h.told--
	return last
}

// odds are those that a load of a weight w is half put down, before it is seen for how
// long it stands: r/(1 − r) times the ratio of the densities of both kinds of level,
//
//	f_half(w)  = (g(w) + Σ U(w; 0.4·w_i, 0.6·w_i))/(1 + n)
//	f_whole(w) = (g(w) + Σ N(w; w_i, s_i))/(1 + n),  g(w) = 1/(w·ln heaviest)
//
// over the n loads w_i told last; U is the uniform density between two weights, N the
// normal one. Coins come by kinds: what weighs as one before is rather one more of
// them than half of another.
func (h *habit) odds(w float64) float64 {
	w = math.Max(leastLoad, math.Abs(w))
	half := 1 / (w * math.Log(heaviest))
	whole := half
	for _, x := range h.loads {
		if w > 0.4*x && w < 0.6*x {
			half += 1 / (0.2 * x)
		}
		sd := math.Hypot(kindLeast, kindPart*x)
		whole += stats.NormPDF((w-x)/sd) / sd
	}
	r := h.share()
	return r / (1 - r) * half / whole
}

// halfWay is the chance that what has stood still for some seconds is half put down or
// leant on, of which the odds are o, as far as it isn't let pass:
//
//	P = max(0, o·S(q)/(1 + o·S(q)) − halfPasses)
func halfWay(odds, seconds float64) float64 {
	odds *= standsOn(seconds)
	return math.Max(0, odds/(1+odds)-halfPasses)
}

// stop is a level at which a display stood still, from and until when.
type stop struct{ level, from, until float64 }

func (p stop) seconds() float64 { return p.until - p.from }

// stops watches where a display stands still while a load comes on, and moves on
// without the pan being empty between.
type stops struct {
	now, left stop
	bare      bool // the move began on an empty pan, or it was empty in it
}

// see takes how the display stands at a time; lies says whether that is a load, bare
// whether the pan is empty, and near how far apart displays of one level lie. A
// level to which a display comes back after a knock counts from when it was
// reached first.
func (p *stops) see(st stand, at float64, lies, bare bool, near float64) {
	switch {
	case bare:
		*p = stops{bare: true}
	case !lies || st.seconds < handLeast || st.lines < 2:
	case p.now.seconds() > 0 && math.Abs(st.level-p.now.level) <= near:
		p.now.level, p.now.until = st.level, at
	default:
		if p.now.seconds() > 0 {
			p.left = p.now
		}
		p.now = stop{st.level, at - st.seconds, at}
	}
}

// halfWay reports whether a load that ends at a level stood elsewhere before.
func (p *stops) halfWay(level, near float64) bool {
	for _, s := range []stop{p.left, p.now} {
		if d := s.seconds(); p.bare && d > 0 && d < handLongest && math.Abs(s.level-level) > near {
			return true
		}
	}
	return false
}
