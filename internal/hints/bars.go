package hints

import (
	"math"
	"slices"

	"panside/internal/relief"
)

// Scores are the highest of one coin, a kind each.
type Scores struct{ SecondImage, OtherSide, Differs float64 }

// Bars are the scores from which on a place is marked.
type Bars struct {
	Scores
	// Rate is the false-alarm rate of each kind, per ordinary coin.
	Rate float64
	// Coins is how many ordinary coins the rate rests on; Simulated says that they were rendered, so
	// that the rate is not tried on anybody's camera.
	Coins     int
	Simulated bool
}

// Rendered are the bars found on rendered coins of the first world. TestBarsOfTheFirstWorld holds them.
var Rendered = Bars{Scores: Scores{SecondImage: 0.02, OtherSide: 5, Differs: 0.5}, Rate: 0.05, Coins: 16, Simulated: true}

// Learn makes bars from the scores of ordinary coins, photographed as the next ones will be, for a
// false-alarm rate of at most that each: the k-th highest of n scores is passed by the next ordinary
// coin with probability k/(n+1). With fewer than 1/rate − 1 coins the highest is taken and its own rate,
// 1/(n+1), told. It is false for no coins.
func Learn(ordinary []Scores, rate float64) (Bars, bool) {
	n := len(ordinary)
	if n == 0 || math.IsNaN(rate) {
		return Bars{}, false
	}
	k := min(max(int(rate*float64(n+1)), 1), n)
	kth := func(of func(Scores) float64) float64 {
		var v []float64
		for _, s := range ordinary {
			v = append(v, of(s))
		}
		slices.Sort(v)
		return v[n-k]
	}
	return Bars{
		Scores: Scores{
			kth(func(s Scores) float64 { return s.SecondImage }),
			kth(func(s Scores) float64 { return s.OtherSide }),
			kth(func(s Scores) float64 { return s.Differs }),
		},
		Rate: float64(k) / float64(n+1), Coins: n,
	}, true
}

// Look gives the places of a coin that pass the bars, the clearest first, and its highest scores. other
// is the other side's relief; without one that kind is left out. progress may be nil.
func Look(mine, ordinary relief.Relief, other *relief.Relief, diameter float64, bars Bars, progress func(done float64) (goOn bool)) ([]Mark, Scores, Why) {
	part := func(from, share float64) func(float64) bool {
		if progress == nil {
			return nil
		}
		return func(done float64) bool { return progress(from + share*done) }
	}
	p, why := Lay(mine, ordinary, diameter, part(0, 0.3))
	if why != "" {
		return nil, Scores{}, why
	}
	var out []Mark
	var top Scores
	seconds, why := p.Seconds(part(0.3, 0.5))
	if why != "" {
		return nil, Scores{}, why
	}
	top.SecondImage = seconds[0].Score
	for _, s := range seconds {
		x, y := p.toCoin(mine.On, s.X, s.Y)
		m := Mark{Kind: SecondImage, X: x, Y: y, R: patch / p.pixel * p.px, Score: s.Score / bars.SecondImage, ShiftX: s.ShiftX, ShiftY: s.ShiftY}
		if m.Score > 1 && !covered(out, m) {
			out = append(out, m)
		}
	}
	differences, why := p.Differences()
	if why != "" {
		return nil, Scores{}, why
	}
	top.Differs = differences[0].Score
	for _, d := range differences {
		x, y := p.toCoin(mine.On, d.X, d.Y)
		m := Mark{Kind: Differs, X: x, Y: y, R: 2 * spot / p.pixel * p.px, Score: d.Score / bars.Differs}
		if m.Score > 1 && !covered(out, m) {
			out = append(out, m)
		}
	}
	if other != nil {
		o, why := OtherSideOn(mine, *other, diameter)
		if why != "" {
			return nil, Scores{}, why
		}
		top.OtherSide = o.Score
		if s := o.Score / bars.OtherSide; s > 1 {
			out = append(out, Mark{Kind: OtherSide, X: mine.On.X, Y: mine.On.Y, R: mine.On.R, Score: s, Degrees: o.Degrees})
		}
	}
	if progress != nil && !progress(1) {
		return nil, Scores{}, Stopped
	}
	return out, top, ""
}

// covered reports whether a clearer mark already lies there.
func covered(marks []Mark, m Mark) bool {
	return slices.ContainsFunc(marks, func(o Mark) bool { return math.Hypot(o.X-m.X, o.Y-m.Y) < o.R })
}
