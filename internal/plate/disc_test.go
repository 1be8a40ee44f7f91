package plate_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/plate"
)

func disc(t testing.TB, planchet string) plate.Disc {
	t.Helper()
	b := data.Coins()
	d, ok := plate.Of(b, b.Planchet(planchet))
	if !ok {
		t.Fatalf("%s has no prediction", planchet)
	}
	return d
}

// TestMeasuredCoins holds predictions to what others measured. Quarter and nickel: spectra of
// ten drops each with peaks near 9 and 16 kHz, and near 14 (physics.stackexchange.com, question
// 121879). Canadian quarters of 80 % silver: 12 and 15 kHz (cointalk.com, thread 412396), read
// off a telephone's plot. 50 New Taiwan dollars, 10 g, 28 mm, aluminium bronze: 16.9 to 17.4 kHz
// (Sensors 2022, 22, 9055), driven so that the whole rim moves alike, so (0,1).
func TestMeasuredCoins(t *testing.T) {
	for _, c := range []struct {
		planchet string
		mode     int
		hz       float64
		read     float64 // relative, how finely the figure was given
	}{
		{"us-quarter-clad", 0, 9000, 0.03},
		{"us-quarter-clad", 1, 16000, 0.03},
		{"us-nickel-1982", 0, 14000, 0.03},
		{"ca-quarter-800-1953", 1, 12000, 0.04},
		{"ca-quarter-800-1953", 2, 15000, 0.04},
	} {
		d := disc(t, c.planchet)
		if off := math.Abs(d.Hz[c.mode]/c.hz - 1); off > math.Hypot(c.read, 2*d.Alone(1).SD) {
			t.Errorf("%s, mode %d: predicted %.0f Hz, measured %.0f", c.planchet, c.mode, d.Hz[c.mode], c.hz)
		} else {
			t.Logf("%s, mode %d: predicted %.0f Hz, measured %.0f", c.planchet, c.mode, d.Hz[c.mode], c.hz)
		}
	}
	b := data.Coins()
	fifty := coin.Planchet{
		Alloy: "aluminium-bronze", Mass: coin.Figure{Value: 10, Grade: coin.Memory}, Diameter: coin.Figure{Value: 28, Grade: coin.Memory},
		Layers: []coin.Layer{{Part: coin.Whole, Alloy: "aluminium-bronze", Share: 1}},
	}
	d, ok := plate.Of(b, fifty)
	if !ok || math.Abs(d.Hz[1]/17150-1) > 2*d.Alone(1).SD {
		t.Errorf("50 new dollars: predicted %.0f Hz, measured 16900 to 17400", d.Hz[1])
	}
	t.Logf("50 new dollars: predicted %.0f Hz, measured 16900 to 17400", d.Hz[1])
}

// TestSilverLiesBelowClad by seven semitones or so, whatever the denomination.
func TestSilverLiesBelowClad(t *testing.T) {
	for silver, clad := range map[string]string{"us-dime-silver": "us-dime-clad", "us-quarter-silver": "us-quarter-clad", "us-half-silver": "us-half-clad"} {
		a, b := disc(t, silver), disc(t, clad)
		semitones := 12 * math.Log2(b.Hz[0]/a.Hz[0])
		if semitones < 6 || semitones > 8.5 {
			t.Errorf("%s lies %.1f semitones below %s", silver, semitones, clad)
		}
	}
}

// TestSandwichOfOneMetal: layers of the same metal ring as that metal does.
func TestSandwichOfOneMetal(t *testing.T) {
	b := data.Coins()
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0.05, 0.9).Draw(t, "share")
		solid := b.Planchet("us-quarter-silver")
		layered := solid
		layered.Layers = []coin.Layer{{Part: coin.Face, Alloy: solid.Alloy, Share: share}, {Part: coin.Core, Alloy: solid.Alloy, Share: 1 - share}}
		x, _ := plate.Of(b, solid)
		y, ok := plate.Of(b, layered)
		if !ok || math.Abs(y.Hz[0]/x.Hz[0]-1) > 1e-9 {
			t.Fatalf("solid %v, of layers %v", x.Hz, y.Hz)
		}
	})
}

// TestLikelihoodOfOnePartial: over all frequencies and with the chance of none
// and of more left out, it can't be more than one; and it is the larger the nearer.
func TestLikelihoodOfOnePartial(t *testing.T) {
	d := disc(t, "us-quarter-clad")
	s := d.Alone(1)
	sum, step := 0.0, 0.001
	for x := math.Log(plate.Lowest); x < math.Log(plate.Highest); x += step {
		sum += step * d.Likelihood(plate.Heard{Hz: []float64{math.Exp(x)}, U: 0.002}, s)
	}
	if sum < 0.05 || sum > 1 {
		t.Errorf("one partial has probability %.3f", sum)
	}
	at := d.Likelihood(plate.Heard{Hz: []float64{d.Hz[0]}, U: 0.002}, s)
	off := d.Likelihood(plate.Heard{Hz: []float64{d.Hz[0] * 1.08}, U: 0.002}, s)
	if !(at > 3*off) {
		t.Errorf("on the mode %.3g, beside it %.3g", at, off)
	}
}

// TestAKnownCoinNarrows: a coin of the same metal and size takes out most of what they share,
// one of another metal less, and never widens.
func TestAKnownCoinNarrows(t *testing.T) {
	clad, silver := disc(t, "us-quarter-clad"), disc(t, "us-quarter-silver")
	s := plate.Shift{Mean: 0.04, SD: 0.003}
	alone := clad.Alone(1)
	same, other := clad.Given(alone, &clad, s, 1), silver.Given(silver.Alone(1), &clad, s, 1)
	if !(same.SD < other.SD && other.SD < alone.SD && same.Mean > other.Mean && other.Mean > 0 && same.Mean < s.Mean) {
		t.Errorf("alone %v, after the same %v, after another %v", alone, same, other)
	}
}

// TestMoreIsKnownMoreNarrowly: with each known coin and with a weight the spread falls, and of any
// number of coins and any metals it stays a spread.
func TestMoreIsKnownMoreNarrowly(t *testing.T) {
	names := []string{"us-dime-clad", "us-dime-silver", "us-quarter-clad", "us-half-400", "us-half-silver", "us-nickel-1982"}
	rapid.Check(t, func(t *rapid.T) {
		b := data.Coins()
		one := func(label string) plate.Disc {
			d, _ := plate.Of(b, b.Planchet(rapid.SampledFrom(names).Draw(t, label)))
			return d
		}
		asked, known := one("asked"), one("known")
		s := plate.Shift{Mean: rapid.Float64Range(-0.1, 0.1).Draw(t, "mean"), SD: rapid.Float64Range(0.0005, 0.02).Draw(t, "sd")}
		if w, a := asked.Weighed(1), asked.Alone(1); !(w.SD < a.SD) {
			t.Fatalf("weighed %v, not %v", w, a)
		}
		last := asked.Alone(1)
		for coins := 1; coins < 12; coins++ {
			got := asked.Given(asked.Alone(1), &known, s, coins)
			if !(got.SD > 0 && got.SD < last.SD) || math.Abs(got.Mean) > math.Abs(s.Mean) {
				t.Fatalf("%d coins: %v after %v", coins, got, last)
			}
			last = got
		}
	})
	clad := disc(t, "us-half-clad")
	s := plate.Shift{Mean: 0.03, SD: 0.003}
	t.Logf("half dollar, clad: alone ±%.1f %%, weighed ±%.1f %%; after one known clad ±%.1f %%, three ±%.1f %%, six ±%.1f %%", 100*clad.Alone(1).SD, 100*clad.Weighed(1).SD,
		100*clad.Given(clad.Alone(1), &clad, s, 1).SD, 100*clad.Given(clad.Alone(1), &clad, s, 3).SD, 100*clad.Given(clad.Alone(1), &clad, s, 6).SD)
}

// TestShiftOfAKnownCoin is found from its partials.
func TestShiftOfAKnownCoin(t *testing.T) {
	d := disc(t, "us-half-400")
	h := plate.Heard{U: 0.002}
	for _, k := range []int{0, 2} {
		h.Hz = append(h.Hz, d.Hz[k]*1.03)
	}
	s, ok := d.Shift(h)
	if !ok || math.Abs(s.Mean-math.Log(1.03)) > 0.001 {
		t.Errorf("%v %v", s, ok)
	}
	if _, ok := d.Shift(plate.Heard{Hz: []float64{3100}, U: 0.002}); ok {
		t.Error("a partial that isn’t the coin’s told a shift")
	}
}
