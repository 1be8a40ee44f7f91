package otherscale

import (
	"math"
	"testing"
)

// TestDrawsWhatStandsOnTables: every kind that manuals and streams name occurs,
// within their ranges.
func TestDrawsWhatStandsOnTables(t *testing.T) {
	rng := testRand(11)
	seen := map[any]int{}
	slow := 0
	for range 4000 {
		c := DrawConfig(rng)
		seen[c.Places]++
		seen[c.DisplayRate]++
		seen[c.Filter.Kind]++
		seen[c.Sign.Kind]++
		seen[c.Format]++
		seen[c.Tracking]++
		seen[[1]int{c.Repeat}]++
		seen[[2]int{c.SincOrder}]++
		if c.Uneven {
			seen["uneven"]++
		}
		if c.AutoOff == 45 {
			seen["off after 45 s"]++
		}
		if c.Every > 1 {
			seen["every n-th"]++
		}
		if c.Response() > 3 {
			slow++
		}
		if c.Wander > 0 {
			seen["wander"]++
			near(t, "wander, d a minute", c.Wander/c.D(), 1.3, 1e-9)
		}
		if math.Abs(c.Gain) > 0.0004 || math.Abs(c.Drift) > 0.003 || c.Noise() > 0.5*c.D() {
			t.Fatalf("%+v", c)
		}
		if c.Filter.Kind != Bare && c.Filter.Kind != Adaptive && (c.Filter.Samples < 3 || c.Filter.Samples > 16) {
			t.Fatalf("%v", c.Filter)
		}
		if c.Sign.Kind == NoSign != (c.Format == ValueOnly) {
			t.Fatalf("sign %v in %s", c.Sign, c.Format)
		}
	}
	for _, k := range []any{
		1, 2, 3, 1.0, 2.0, 4.0, 5.0, 10.0, 20.0, Bare, Average, Exponential, Adaptive, TwoStage,
		NoSign, Equal, InBand, Clinging, Late, Never, StatusComma, TrailingFlag, LeadingMark, PrintLine, UnitAtRest, ValueOnly,
		NoTracking, Continuous, Stepped, [1]int{2}, [1]int{3}, [1]int{4}, [2]int{1}, [2]int{4}, "uneven", "off after 45 s", "every n-th", "wander",
	} {
		if seen[k] < 20 {
			t.Errorf("%v: %d of 4000", k, seen[k])
		}
	}
	// A balance of 0.01 g is said to take 3 s; the slow ones must be there.
	if slow < 200 {
		t.Errorf("%d of 4000 take more than 3 s", slow)
	}
}

// TestCoinsAreWithinTolerance: as the mint lets them go.
func TestCoinsAreWithinTolerance(t *testing.T) {
	rng := testRand(12)
	sum, n, strangers := 0.0, 0, 0
	for range 20_000 {
		switch c := Draw("cent", rng); c.Alloy {
		case "":
			strangers++
		case "bronze":
			if math.Abs(c.Grams-3.11) > 0.13 {
				t.Fatalf("%.3f g", c.Grams)
			}
			sum, n = sum+c.Grams, n+1
		default:
			if math.Abs(c.Grams-2.5) > 0.13 {
				t.Fatalf("%.3f g", c.Grams)
			}
		}
	}
	near(t, "mean of bronze cents", sum/float64(n), 3.11, 0.002)
	near(t, "share of strangers", float64(strangers)/20_000, 0.02, 0.005)
}
