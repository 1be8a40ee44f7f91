package verdict_test

import (
	"errors"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// rungAs are the partials at which the book says that a metal of a denomination rings.
func rungAs(t *testing.T, country, denomination, alloy string, partials int) []float64 {
	t.Helper()
	told, err := verdict.Tell(data.Coins(), verdict.RingQuestion{Country: country, Denomination: denomination})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range told.Metals {
		if m.Alloy == alloy {
			return m.Hz[:min(partials, len(m.Hz))]
		}
	}
	t.Fatalf("%s/%s has no %s: %+v", country, denomination, alloy, told.Metals)
	return nil
}

// TestARingSettlesWhatWeightLeavesOpen: a half dollar between clad and 40 % silver.
func TestARingSettlesWhatWeightLeavesOpen(t *testing.T) {
	const open = 11.40
	if v := judge(t, on(0.01, open, "half")); v.Decisive {
		t.Fatalf("decisive without a ring: %s", v.Headline)
	}
	for _, alloy := range []string{"clad", "silver-400"} {
		q := on(0.01, open, "half")
		q.Evidence.Ring = &verdict.Ring{Hz: rungAs(t, "US", "half", alloy, 2), U: 0.002}
		v := judge(t, q)
		if !v.Decisive || v.Claim.Alloy != alloy {
			t.Errorf("rung as %s: %q, decisive %v", alloy, v.Headline, v.Decisive)
		}
		if v.NextTest != nil && v.NextTest.Test == "ring" {
			t.Errorf("rung as %s, a ring is asked for again", alloy)
		}
	}
}

// TestARingIsAsked where metals remain that it tells apart, and never of cents.
func TestARingIsAsked(t *testing.T) {
	asked := func(v verdict.Verdict) bool {
		for _, x := range v.OtherTests {
			if x.Test == "ring" {
				return true
			}
		}
		return v.NextTest != nil && v.NextTest.Test == "ring"
	}
	if v := judge(t, on(0.01, 11.40, "half")); !asked(v) {
		t.Errorf("a half dollar of 11.40 g: %+v, %+v", v.NextTest, v.OtherTests)
	}
	for y := 2.3; y < 3.2; y += 0.02 {
		if v := judge(t, on(0.01, mass.Grams(y), "cent")); asked(v) {
			t.Errorf("a cent of %.2f g is to be rung", y)
		}
	}
}

// TestARingAgainstTheWeight doesn't let the weight claim what the ear denies: a silver quarter's
// weight that rings clad.
func TestARingAgainstTheWeight(t *testing.T) {
	q := on(0.01, 6.25, "quarter")
	alone := judge(t, q)
	q.Evidence.Ring = &verdict.Ring{Hz: []float64{9900, 17200}, U: 0.002}
	v := judge(t, q)
	if !alone.Decisive || v.Call == alone.Call && v.Decisive {
		t.Errorf("alone %q, with the ring %q (%s)", alone.Headline, v.Headline, v.Call)
	}
}

// TestTell: each metal made for use is told where it rings as the book says, what rings like none
// is none, and a denomination whose metals ring alike is left to the scale.
func TestTell(t *testing.T) {
	b := data.Coins()
	ask := func(country, denomination string, hz ...float64) verdict.Told {
		q := verdict.RingQuestion{Country: country, Denomination: denomination, Ring: verdict.Ring{Hz: hz, U: 0.002}}
		told, err := verdict.Tell(b, q)
		if err != nil {
			t.Fatal(err)
		}
		return told
	}
	for _, c := range [][3]string{
		{"US", "dime", "clad"}, {"US", "dime", "silver-900"}, {"US", "quarter", "clad"}, {"US", "quarter", "silver-900"},
		{"US", "half", "clad"}, {"US", "half", "silver-400"}, {"US", "half", "silver-900"}, {"US", "nickel", "cupronickel"}, {"US", "nickel", "silver-350"},
		{"US", "dollar", "silver-900"}, {"CA", "quarter", "silver-500"}, {"GB", "florin", "silver-925"}, {"GB", "florin", "cupronickel"}, {"GB", "ten-pence", "cupronickel"},
	} {
		if told := ask(c[0], c[1], rungAs(t, c[0], c[1], c[2], 2)...); told.Alloy != c[2] {
			t.Errorf("%v: told %q, %s", c, told.Alloy, told.Why)
		}
	}
	for _, c := range []struct {
		country, denomination string
		hz                    []float64
		why                   verdict.Untold
	}{
		{"US", "quarter", nil, verdict.NotRung}, {"US", "quarter", []float64{3000}, verdict.NoneFits}, {"US", "quarter", []float64{7350}, verdict.SeveralFit},
		{"US", "cent", []float64{12100}, verdict.ScaleTells}, {"EU", "ten-cent", []float64{16000}, verdict.OneMetal}, {"CA", "quarter", []float64{10800}, verdict.SeveralFit},
	} {
		if told := ask(c.country, c.denomination, c.hz...); told.Alloy != "" || told.Why != c.why {
			t.Errorf("%s %s at %v: %q %q, want %q", c.country, c.denomination, c.hz, told.Alloy, told.Why, c.why)
		}
	}
}

// TestAKnownCoinHelps: a phone or a model that is 6 % off for both is set right by a known coin.
func TestAKnownCoinHelps(t *testing.T) {
	chance := func(known *verdict.KnownRing) float64 {
		q := verdict.RingQuestion{Country: "US", Denomination: "half", Ring: verdict.Ring{Hz: []float64{5020}, U: 0.002, Known: known}}
		told, err := verdict.Tell(data.Coins(), q)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range told.Metals {
			if m.Alloy == "silver-900" {
				return m.Probability
			}
		}
		return 0
	}
	alone := chance(nil)
	with := chance(&verdict.KnownRing{Planchet: "us-half-clad", Hz: []float64{7067 * 1.06}, U: 0.002})
	if with <= alone {
		t.Errorf("silver has %.3f, after a clad coin that rings 6 %% high %.3f", alone, with)
	}
}

// TestMoreKnownCoinsHelpMore: the metals' bands get narrower with each, and a weight narrows too.
func TestMoreKnownCoinsHelpMore(t *testing.T) {
	spread := func(known *verdict.KnownRing) float64 {
		told, err := verdict.Tell(data.Coins(), verdict.RingQuestion{Country: "US", Denomination: "half", Ring: verdict.Ring{Hz: []float64{5200}, U: 0.002, Known: known}})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range told.Metals {
			if m.Alloy == "clad" {
				return m.Spread
			}
		}
		return 0
	}
	last := spread(nil)
	for _, coins := range []int{1, 2, 5} {
		now := spread(&verdict.KnownRing{Planchet: "us-half-clad", Hz: []float64{7000}, U: 0.002, Coins: coins})
		if !(now > 0 && now < last) {
			t.Errorf("%d known coins: %.4f after %.4f", coins, now, last)
		}
		last = now
	}
}

// TestWhatIsNotPredictedIsNotNamed: no tone whatever names a metal where one that was made for use
// has ring and core or a stiffness that varies by rolling, as zinc’s does.
func TestWhatIsNotPredictedIsNotNamed(t *testing.T) {
	b := data.Coins()
	asked := 0
	for _, c := range b.Countries() {
		for _, d := range b.Denominations(c.ID) {
			open := false
			for _, issue := range b.Issues(c.ID, d.ID) {
				for _, y := range b.Planchet(issue.Planchet).Layers {
					open = open || issue.Circulating && (y.Part == coin.Ring || strings.Contains(y.Alloy, "zinc") && y.Part == coin.Whole && !b.Alloy(y.Alloy).Young.Known())
				}
			}
			if !open && !(c.ID == "US" && d.ID == "cent") {
				continue
			}
			for hz := 3000.0; hz < 20000; hz *= 1.03 {
				told, err := verdict.Tell(b, verdict.RingQuestion{Country: c.ID, Denomination: d.ID, Ring: verdict.Ring{Hz: []float64{hz}, U: 0.002}})
				if err != nil {
					t.Fatal(err)
				}
				if told.Alloy != "" || told.Why == "" {
					t.Errorf("%s %s at %.0f Hz: %q, %q", c.ID, d.ID, hz, told.Alloy, told.Why)
					break
				}
				asked++
			}
		}
	}
	if asked < 100 {
		t.Errorf("only %d were asked", asked)
	}
}

// TestRingsThatCannotBe are refused by their field.
func TestRingsThatCannotBe(t *testing.T) {
	for field, r := range map[string]verdict.Ring{
		"evidence.ring.hz":             {U: 0.002},
		"evidence.ring.u":              {Hz: []float64{9000}},
		"evidence.ring.known.hz":       {Hz: []float64{9000}, U: 0.002, Known: &verdict.KnownRing{Planchet: "us-quarter-clad", Hz: []float64{3000}, U: 0.002}},
		"evidence.ring.known.coins":    {Hz: []float64{9000}, U: 0.002, Known: &verdict.KnownRing{Planchet: "us-quarter-clad", Hz: []float64{9000}, U: 0.002, Coins: 21}},
		"evidence.ring.known.planchet": {Hz: []float64{9000}, U: 0.002, Known: &verdict.KnownRing{Planchet: "no-such", Hz: []float64{9000}, U: 0.002}},
	} {
		q := on(0.01, 5.67, "quarter")
		q.Evidence.Ring = &r
		_, err := verdict.Judge(data.Coins(), q)
		var in *fault.Field
		if !errors.As(err, &in) || in.Name != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	for _, hz := range [][]float64{{9000, 8000}, {100}, {30000}, {4000, 5000, 6000, 7000, 8000}} {
		q := on(0.01, 5.67, "quarter")
		q.Evidence.Ring = &verdict.Ring{Hz: hz, U: 0.002}
		if _, err := verdict.Judge(data.Coins(), q); err == nil {
			t.Errorf("%v passed", hz)
		}
	}
}
