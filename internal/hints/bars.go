package hints

import (
	"math"
	"slices"
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

// Rendered are the bars found on rendered coins of the first world. Of 12 ordinary ones without gloss and 17 of bare
// metal the highest score of a second image was 1.7, of 9 more of bare metal that nothing was chosen by 2.08; of 12 coins
// doubled by 0.12 mm without gloss the lowest was 3.9, of 18 of bare metal 13 were over the bar (TestSecondImages,
// TestCarriedCoins); the other side's of 30 ordinary ones up to 5.1, of 30 clashed ones 28 over 5, the lowest 4.3
// (TestClashes); of differences 0.39, chips and missing letters from 0.49 on (TestDifferences). The rate is what 24 coins
// can say, 1/25.
var Rendered = Bars{Scores: Scores{SecondImage: 2.1, OtherSide: 5.2, Differs: 0.45}, Rate: 0.04, Coins: 24, Simulated: true}

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

// FewestOrdinary is from how many ordinary coins on a bar is learned from them: with fewer, more than one
// ordinary coin in ten would pass the highest of them.
const FewestOrdinary = 9

// Bar is the bar of one kind, with what its rate rests on, as in [Bars].
type Bar struct {
	Score, Rate float64
	Coins       int
	Simulated   bool
}

// BarOf is the bar of a kind by the highest scores of it that ordinary coins had, for the rate of
// [Rendered]: learned from them, or where they are fewer than [FewestOrdinary] the rendered one. A coin
// whose other side wasn't photographed has no score of that kind. A bar isn't learned below a tenth of the
// rendered one: below that nothing is seen.
func BarOf(kind Kind, ordinary []float64) Bar {
	rendered := Rendered.of(kind)
	if len(ordinary) < FewestOrdinary {
		return Bar{rendered, Rendered.Rate, Rendered.Coins, true}
	}
	all := make([]Scores, len(ordinary))
	for i, s := range ordinary {
		all[i] = Scores{s, s, s}
	}
	b, _ := Learn(all, Rendered.Rate)
	return Bar{math.Max(b.of(kind), rendered/10), b.Rate, b.Coins, false}
}

// of is the score of a kind.
func (s Scores) of(kind Kind) float64 {
	switch kind {
	case SecondImage:
		return s.SecondImage
	case OtherSide:
		return s.OtherSide
	}
	return s.Differs
}
