package stats

import "math"

// Pairs gathers pairs of values for their correlation. The zero value has none.
type Pairs struct{ n, a, b, aa, bb, ab float64 }

// Add takes one pair in.
func (p *Pairs) Add(a, b float64) {
	p.n++
	p.a, p.b = p.a+a, p.b+b
	p.aa, p.bb, p.ab = p.aa+a*a, p.bb+b*b, p.ab+a*b
}

// Correlation is Pearson's,
//
//	r = (Σab − Σa Σb/n) / √((Σa² − (Σa)²/n) (Σb² − (Σb)²/n)),
//
// by sums, so values far from 0 against their spread cost digits. It is false if either doesn't vary.
func (p *Pairs) Correlation() (r float64, ok bool) {
	va, vb := p.aa-p.a*p.a/p.n, p.bb-p.b*p.b/p.n
	if !(va > 0 && vb > 0) {
		return 0, false
	}
	return (p.ab - p.a*p.b/p.n) / math.Sqrt(va*vb), true
}
