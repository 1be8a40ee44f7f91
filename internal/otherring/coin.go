package otherring

import (
	"hash/fnv"
	"math"
	"math/rand/v2"

	"panside/internal/coin"
)

// Spreads, all relative in frequency. Assumed.
const (
	coinSpread  = 0.025 // standard deviation from coin to coin of a type
	metalBias   = 0.02  // up to, of all coins of a metal
	typeBias    = 0.01  // up to, of a type besides
	modeScatter = 0.004 // standard deviation of a partial against the others of its coin
)

// Coin is one coin and how it rings.
type Coin struct {
	Planchet, Family string
	modes            []mode
	wear             float64
}

// mode is a pair of partials, or a single one for n = 0.
type mode struct {
	shape
	hz     [2]float64
	q      float64
	turned float64 // where around the coin the pair's first lies
	norm   float64
}

// Partials are the frequencies of its modes without their splits, in Hz, up to top, in the
// order of n and s.
func (c Coin) Partials(top float64) []float64 {
	var all []float64
	for _, m := range c.modes {
		if f := (m.hz[0] + m.hz[1]) / 2; f < top {
			all = append(all, f)
		}
	}
	return all
}

// World is the coins of a seed: how far each metal and type is off its theory.
type World struct {
	book *coin.Book
	seed uint64
}

// NewWorld makes one.
func NewWorld(book *coin.Book, seed uint64) *World { return &World{book, seed} }

// off is between -1 and 1, the same for a name in this world.
func (w *World) off(name string) float64 {
	h := fnv.New64a()
	h.Write([]byte(name))
	return 2*rand.New(rand.NewPCG(w.seed, h.Sum64())).Float64() - 1
}

// stiff is the modulus that a coin bends with, with its metal's Poisson's ratio and quality.
func (w *World) stiff(p coin.Planchet) (young, poisson, q float64, ok bool) {
	inner := 1.0 // the share of the half thickness that the core has
	var face, core coin.Alloy
	for _, l := range p.Layers {
		a := w.book.Alloy(l.Alloy)
		switch l.Part {
		case coin.Whole, coin.Core:
			core = a
		case coin.Face:
			face = a
			if !p.SplitKnown() {
				return 0, 0, 0, false
			}
			inner -= l.Share
		case coin.Ring:
			return 0, 0, 0, false
		}
	}
	young, poisson, q, ok = elastic(core)
	if !ok || face.ID == "" {
		return young, poisson, q, ok
	}
	outer, _, _, ok := elastic(face)
	cube := inner * inner * inner
	return young*cube + outer*(1-cube), poisson, q * 0.8, ok
}

// Coin draws a coin struck on a planchet; ok is false where its ring is not modeled.
func (w *World) Coin(planchet string, rng *rand.Rand) (c Coin, ok bool) {
	p := w.book.Planchet(planchet)
	a := w.book.Alloy(p.Alloy)
	young, nu, q, ok := w.stiff(p)
	density := w.book.Density(p)
	if !ok || !p.Mass.Known() || !p.Diameter.Known() || !density.Known() {
		return c, false
	}
	c.Planchet, c.Family = planchet, a.Family
	if c.Family == "" {
		c.Family = a.ID
	}
	// Wear takes thickness, and the rim first.
	c.wear = 0.025 * rng.Float64() * rng.Float64()
	radius := p.Diameter.Value / 2000
	rho := density.Value * 1000
	h := p.Mass.Value / 1000 * (1 - c.wear) / (rho * math.Pi * radius * radius)
	speed := math.Sqrt(young * 1e9 / (12 * rho * (1 - nu*nu)))
	off := 1 + metalBias*w.off(c.Family) + typeBias*w.off(planchet) + coinSpread*rng.NormFloat64()
	width, height := 0.07+0.05*rng.Float64(), 1.10+0.15*rng.Float64()-2*c.wear
	for _, s := range modesOf(nu) {
		k := s.lambda / radius
		thick := math.Sqrt(1 + k*k*h*h/12*(1+2/(math.Pi*math.Pi/12*(1-nu))))
		f := s.lambda * s.lambda / (2 * math.Pi * radius * radius) * h * speed / thick
		f *= s.rim(width, height, nu) * off * (1 + modeScatter*rng.NormFloat64())
		split := 0.0
		if s.n > 0 {
			split = math.Min(0.01, 0.002*rng.ExpFloat64())
		}
		c.modes = append(c.modes, mode{
			shape: s, hz: [2]float64{f * (1 - split/2), f * (1 + split/2)},
			q: q * math.Exp(0.3*rng.NormFloat64()), turned: 2 * math.Pi * rng.Float64(), norm: math.Sqrt(s.power()),
		})
	}
	return c, true
}

// modesOf are the shapes of the partials that a tap can make heard.
func modesOf(nu float64) []shape {
	var all []shape
	for n, count := range []int{2, 1, 2, 1, 1, 1} {
		all = append(all, roots(n, count, nu)...)
	}
	return all
}
