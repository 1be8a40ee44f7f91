package plate

import "math"

// Heard is what was heard of a coin.
type Heard struct {
	Hz []float64 // partials, lowest first, at most [MostHeard]
	U  float64   // their relative standard uncertainty
}

// MostHeard is how many partials are looked at: with more there is nothing more to tell.
const MostHeard = 4

// The range in which a phone hears partials, in Hz.
const (
	Lowest  = 2500.0
	Highest = 22000.0
)

const (
	// clutter is how many partials that aren't the coin's are expected in what was
	// heard, blunder how often it isn't of this coin at all. Assumed.
	clutter = 0.1
	blunder = 0.01
	// dull is the frequency in Hz above which a phone's microphone hears little. Assumed.
	dull = 19000.0
)

// flat is the density of a partial that may lie anywhere, by the logarithm of its
// frequency.
var flat = 1 / math.Log(Highest/Lowest)

// Anything is the likelihood of what was heard if it may be of anything that rings.
func Anything(h Heard) float64 {
	const count = 0.3 // of this very number of partials, one to four. Assumed.
	return count * math.Pow(flat, float64(len(h.Hz)))
}

// Likelihood is the probability density of what was heard, by the logarithms of the
// frequencies, of a coin with that shift. Each partial is of one mode, in their order, or
// clutter; what all modes share, s, is summed over by its normal, N(mean, SD²):
//
//	L = Σ over assignments  Π heard · Π (1−heard) · clutterⁿ · ∫ N(s) Π N(ln(f/f₀); s, m² + u²) ds
func (d *Disc) Likelihood(h Heard, s Shift) float64 {
	f := fit{d: d, h: h, s: s, own: math.Hypot(modeSD, h.U)}
	f.assign(0, 0, 1, sums{})
	return (1-blunder)*f.total*math.Exp(-clutter) + blunder*Anything(h)
}

// Shift is that of a coin which is known to be such a disc, from its own sound: the likeliest
// assignment's. It is false where that leaves the partials unexplained.
func (d *Disc) Shift(h Heard) (Shift, bool) {
	s := d.Alone(1)
	f := fit{d: d, h: h, s: s, own: math.Hypot(modeSD, h.U)}
	f.assign(0, 0, 1, sums{})
	if f.best.n == 0 {
		return Shift{}, false
	}
	// Against the prediction alone: what prior there is, Given brings in.
	n := float64(f.best.n)
	return Shift{f.best.x / n, f.own / math.Sqrt(n)}, true
}

// fit walks through the assignments of partials to modes.
type fit struct {
	d     *Disc
	h     Heard
	s     Shift
	own   float64 // standard deviation of one partial about the shared shift
	total float64
	top   float64
	best  sums
}

// sums are of ln(f/f₀) − mean over the partials that were given a mode, but x is of
// ln(f/f₀) itself.
type sums struct {
	n      int
	x      float64
	d1, d2 float64
}

// assign gives partials from i on the modes from k on; p is the factor so far.
func (f *fit) assign(i, k int, p float64, a sums) {
	if i == len(f.h.Hz) {
		for ; k < len(Modes); k++ {
			p *= 1 - f.d.hears(k)
		}
		if l := p * f.normal(a); l > 0 {
			f.total += l
			if l > f.top {
				f.top, f.best = l, a
			}
		}
		return
	}
	f.assign(i+1, k, p*clutter*flat, a)
	const tooFar = 6 // standard deviations, where nothing is left
	for ; k < len(Modes); k++ {
		x := math.Log(f.h.Hz[i] / f.d.Hz[k])
		off := x - f.s.Mean
		if math.Abs(off) < tooFar*(f.s.SD+f.own) {
			f.assign(i+1, k+1, p*f.d.hears(k), sums{a.n + 1, a.x + x, a.d1 + off, a.d2 + off*off})
		}
		p *= 1 - f.d.hears(k)
	}
}

// hears is how likely a mode stands out.
func (d *Disc) hears(k int) float64 {
	r := d.Hz[k] / dull
	r *= r * r
	return Modes[k].heard / (1 + r*r*r*r)
}

// normal is the density of n partials whose shifts share one normal: with τ² of each and
// S² of the shared,
//
//	(2π)^(−n/2) τ^(−n) (1 + nS²/τ²)^(−½) exp(−½(Σd² − S²(Σd)²/(τ² + nS²))/τ²)
func (f *fit) normal(a sums) float64 {
	if a.n == 0 {
		return 1
	}
	n, t2, s2 := float64(a.n), f.own*f.own, f.s.SD*f.s.SD
	q := (a.d2 - s2*a.d1*a.d1/(t2+n*s2)) / t2
	return math.Exp(-q/2) / (math.Pow(2*math.Pi*t2, n/2) * math.Sqrt(1+n*s2/t2))
}
