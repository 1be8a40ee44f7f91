package hints_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/hints"
	"panside/internal/picture"
	"panside/internal/relief"
)

func TestWhyNot(t *testing.T) {
	flat := relief.Relief{W: 300, H: 300, Right: picture.New(300, 300), Down: picture.New(300, 300), Tone: picture.New(300, 300),
		On: relief.Disc{X: 150, Y: 150, R: 140}}
	open := flat
	open.On.R = 0
	for name, c := range map[string]struct {
		mine, ordinary relief.Relief
		diameter       float64
		want           hints.Why
	}{
		"empty":        {relief.Relief{}, flat, 24, hints.NoRelief},
		"no coin told": {flat, open, 24, hints.NoRelief},
		"no diameter":  {flat, flat, 0, hints.NoRelief},
		"flat":         {flat, flat, 24, hints.NoFit},
	} {
		if _, why := hints.Look(hints.Asked{Mine: c.mine, Ordinary: &c.ordinary, Diameter: c.diameter}, nil); why != c.want {
			t.Errorf("%s: %q, want %q", name, why, c.want)
		}
	}
	if o, why := hints.OtherSideOn(flat, flat, 24); why != "" || o.Score > hints.Rendered.OtherSide {
		t.Errorf("flat sides: %+v %s", o, why)
	}
}

// TestLearnHoldsItsRate: of scores from any one distribution, the next one passes the bar as often as is
// said: here all n + 1 ways of which of them comes next, so the share is exact.
func TestLearnHoldsItsRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfNDistinct(rapid.Float64Range(0, 9), 2, 40, rapid.ID[float64]).Draw(t, "scores")
		rate := rapid.Float64Range(0, 0.5).Draw(t, "rate")
		passed, said := 0, 0.0
		for next := range v {
			var known []hints.Scores
			for i, x := range v {
				if i != next {
					known = append(known, hints.Scores{SecondImage: x, OtherSide: -x, Differs: 1})
				}
			}
			b, ok := hints.Learn(known, rate)
			if !ok || b.Simulated || b.Coins != len(known) {
				t.Fatalf("%+v %v", b, ok)
			}
			said = b.Rate
			if v[next] > b.SecondImage {
				passed++
			}
		}
		if got := float64(passed) / float64(len(v)); math.Abs(got-said) > 1e-9 {
			t.Fatalf("%v of the next ones pass, %v was said", got, said)
		}
	})
	if _, ok := hints.Learn(nil, 0.02); ok {
		t.Error("bars from no coins")
	}
}

// TestBarOfOwnCoins: with too few ordinary coins the rendered bar stands and says so; then the highest of
// them, with the rate that so many can say.
func TestBarOfOwnCoins(t *testing.T) {
	own := []float64{}
	for n := range 30 {
		b := hints.BarOf(hints.OtherSide, own)
		switch {
		case n < hints.FewestOrdinary && (b.Score != hints.Rendered.OtherSide || !b.Simulated || b.Rate != hints.Rendered.Rate):
			t.Errorf("%d coins: %+v, want the rendered bar", n, b)
		case n >= hints.FewestOrdinary && (b.Simulated || b.Coins != n || math.Abs(b.Rate-1/float64(n+1)) > 1e-9 || b.Score != 3+float64(n-1)/100):
			t.Errorf("%d coins: %+v, want the highest of them", n, b)
		}
		own = append(own, 3+float64(n)/100)
	}
	if b := hints.BarOf(hints.SecondImage, make([]float64, 20)); !(b.Score > 0) {
		t.Errorf("a bar of %v marks everything", b.Score)
	}
}
