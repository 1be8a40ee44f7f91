package settle

import "math"

// hand is what a branch tells of a hand that may still be on its newest load.
type hand struct {
	suspicion float64 // that one was as nothing changed any more
	worked    float64 // for how long it had by then, 0 to 1 for half a second
	quiet     float64 // s since then
	span      float64 // in which one at work goes on, s
	steady    float64 // logarithm of the chance that a trembling one would show so steady since
	gone      bool    // it was seen to let go
}

// hand is the suspicion that a hand is on a load: as often as hands lingered in this
// sitting, or more after a hand's work of half a second. caution, 0 to 1, is how far
// this sitting's hands are known to linger.
func (m *move) hand(b *branch, mean, caution float64) hand {
	last := math.Max(b.lastChange(), m.unseenAt)
	h := hand{quiet: m.last.t - last, steady: math.Min(0, b.steady)}
	if h.gone = b.letGo() < -math.Max(m.test.least, letsGo*mean); h.gone {
		caution = 0
	} else {
		h.worked = math.Max(0, math.Min(1, (last-math.Max(b.handBegan(), m.unseenAt)-0.15)/0.5))
	}
	more := math.Max(caution, h.worked)
	h.suspicion = m.lingers + (handBusy-m.lingers)*more
	h.span = handShort + handLong*more
	return h
}

// atWork is the suspicion P that a hand goes on changing the load. It dies away with
// the quiet time q as e^(−q/T), and with every reading that a trembling hand would
// hardly show so steady.
func (h hand) atWork() float64 { return h.suspicion * math.Exp(h.steady-h.quiet/h.span) }

// variance is what a hand, suspected by P, adds to the load:
//
//	(P − P₀)·((g·mean)² + r²), at least 0
//
// r is handRest: of a load that has hardly begun to come on, almost all may be missing.
// A suspicion up to P₀ is let pass: what a hand adds is seldom just what makes one
// coin look like another.
func (h hand) variance(p, mean float64) float64 {
	g := handForce + (1-handForce)*h.worked
	return math.Max(0, p-handPasses) * (g*g*mean*mean + handRest*handRest)
}

// atWork is the variance that a branch's hand adds to a load, for what is counted.
func (m *move) atWork(b *branch, mean float64) float64 {
	if b.n == 0 {
		return 0
	}
	h := m.hand(b, mean, 0)
	return h.variance(h.atWork(), mean)
}

// holds is the same for what is told. To it is added what a coin may lack that stands
// half put down, at a chance P (halfWay, by its odds) that neither a steady display nor one
// that rests by the model makes less: (g·mean)²·P. half is the chance of either, beyond
// what is let pass, for who can do more with it than with a variance.
func (m *move) holds(b *branch, mean, caution, odds float64) (variance, half float64) {
	if b.n == 0 {
		return 0, 0
	}
	h := m.hand(b, mean, caution)
	if !h.gone {
		half = halfWay(odds, m.lay(b, mean))
	}
	p := h.atWork()
	return h.variance(p, mean) + half*sq(handForce*mean), either(half, math.Max(0, p-handPasses))
}

// either is the chance of one of two things that have nothing to do with each other.
func either(p, q float64) float64 { return p + q - p*q }

// handBegan is when the newest run of changes without a quiet spell began.
func (b *branch) handBegan() float64 {
	if b.n == 0 {
		return math.Inf(-1)
	}
	return b.t[b.group()]
}

// lay is for how long, by a branch, the load has been what it is now: knocks after
// which it was as before don't count.
func (m *move) lay(b *branch, mean float64) float64 {
	at, change, near := b.lastChange(), 0.0, math.Max(m.test.least, slightDip*math.Abs(mean))
	for k := b.n - 1; k > b.gone+1; k-- {
		if change += b.a[k]; math.Abs(change) <= near {
			at = b.t[k-1]
		}
	}
	return m.last.t - math.Max(at, m.unseenAt)
}

// letGo is what came on, or if negative went off, in the last moments before
// nothing changed any more.
func (b *branch) letGo() float64 {
	sum := 0.0
	for k := b.n - 1; k > b.gone && b.t[k] > b.t[b.n-1]-handSlow; k-- {
		sum += b.a[k]
	}
	return sum
}
