package bulk_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"panside/internal/bulk"
	"panside/internal/fault"
	"panside/internal/mass"
)

// Masses as in 31 U.S.C. 5112 and 90 % silver of 1873 (17 Stat. 427); spreads
// are inputs of the test.
var (
	bronzeCent = bulk.Kind{Mean: 3.11, SD: 0.04, Wear: 0.02}
	zincCent   = bulk.Kind{Mean: 2.5, SD: 0.03, Wear: 0.005}
	cladDime   = bulk.Kind{Mean: 2.268, SD: 0.03, Wear: 0.01}
	silverDime = bulk.Kind{Mean: 2.5, SD: 0.03, Wear: 0.05}
)

func pile(rng *rand.Rand, u float64, lots ...lot) mass.Grams {
	total := u * rng.NormFloat64()
	for _, l := range lots {
		shift := float64(l.kind.Shared) * rng.NormFloat64()
		for range l.n {
			total += float64(l.kind.Mean) + float64(l.kind.SD)*rng.NormFloat64() - float64(l.kind.Wear)*rng.ExpFloat64() + shift
		}
	}
	return mass.Grams(total)
}

type lot struct {
	n    int
	kind bulk.Kind
}

// TestIntervalsHoldTheTruth simulates piles coin by coin: the 95 % interval of
// a count and of a share must hold the truth at least 95 % of the time, less
// three standard errors, when the truth is drawn from the prior.
func TestIntervalsHoldTheTruth(t *testing.T) {
	const runs = 600
	rng := rand.New(rand.NewPCG(3, 9))
	shared := bronzeCent
	shared.Shared = 0.01
	least := 0.95 - 3*math.Sqrt(0.95*0.05/runs)
	var counted, mixed int
	for range runs {
		n := 1 + rng.IntN(120)
		got, err := bulk.Count(bulk.Pile{Total: pile(rng, 0.05, lot{n, shared}), U: 0.05}, shared)
		if err != nil {
			t.Fatal(err)
		}
		if got.Low <= n && n <= got.High {
			counted++
		}
		k := rng.IntN(51)
		mix, err := bulk.Share(bulk.Pile{Total: pile(rng, 0.3, lot{50 - k, zincCent}, lot{k, bronzeCent}), U: 0.3}, 50, zincCent, bronzeCent, 0)
		if err != nil {
			t.Fatal(err)
		}
		if mix.Other.Low <= k && k <= mix.Other.High {
			mixed++
		}
	}
	if got := float64(counted) / runs; got < least {
		t.Errorf("the count lies in its interval in %.3f of the piles", got)
	}
	if got := float64(mixed) / runs; got < least {
		t.Errorf("the share lies in its interval in %.3f of the piles", got)
	}
}

// TestPowerAgainstSimulation: how often a single silver dime in a roll of fifty
// is noticed, claimed and simulated.
func TestPowerAgainstSimulation(t *testing.T) {
	const n, runs, u = 50, 4000, 0.02
	rng := rand.New(rand.NewPCG(5, 8))
	mix, err := bulk.Share(bulk.Pile{Total: 113.4, U: u}, n, cladDime, silverDime, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	var pure []float64
	for range runs {
		pure = append(pure, float64(pile(rng, u, lot{n, cladDime})))
	}
	limit := quantile(pure, 0.95)
	seen := 0
	for range runs {
		if float64(pile(rng, u, lot{n - 1, cladDime}, lot{1, silverDime})) > limit {
			seen++
		}
	}
	got := float64(seen) / runs
	if math.Abs(got-mix.OneSeen) > 0.03 {
		t.Errorf("power for one silver dime: claimed %.3f, simulated %.3f", mix.OneSeen, got)
	}
	if mix.OneSeen > 0.6 || mix.Least < 2 {
		t.Errorf("a roll can’t be this telling: %.3f, least %d", mix.OneSeen, mix.Least)
	}
}

func quantile(v []float64, p float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range v {
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	for range 60 {
		mid, n := (lo+hi)/2, 0
		for _, x := range v {
			if x <= mid {
				n++
			}
		}
		if float64(n) < p*float64(len(v)) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// TestWrapperAndSharedWearTakeThePowerAway: the two things that make a wrapped
// roll say little.
func TestWrapperAndSharedWearTakeThePowerAway(t *testing.T) {
	open := bulk.Pile{Total: 113.4, U: 0.02}
	wrapped := bulk.Pile{Total: 114.2, U: 0.02, Wrapper: 0.8, UWrapper: 0.2}
	worn := cladDime
	worn.Shared = 0.02
	a, errA := bulk.Share(open, 50, cladDime, silverDime, 0.001)
	b, errB := bulk.Share(wrapped, 50, cladDime, silverDime, 0.001)
	c, errC := bulk.Share(open, 50, worn, silverDime, 0.001)
	if errA != nil || errB != nil || errC != nil {
		t.Fatal(errA, errB, errC)
	}
	if !(a.OneSeen > b.OneSeen && b.OneSeen > c.OneSeen) || !(a.Least <= b.Least && b.Least < c.Least) {
		t.Errorf("power %.3f/%d open, %.3f/%d wrapped, %.3f/%d with shared wear", a.OneSeen, a.Least, b.OneSeen, b.Least, c.OneSeen, c.Least)
	}
}

// TestExactSmallCases: without spread the answer is arithmetic.
func TestExactSmallCases(t *testing.T) {
	still := bulk.Kind{Mean: 2.5}
	old := bulk.Kind{Mean: 3.11}
	got, err := bulk.Count(bulk.Pile{Total: 25.8, U: 0.01, Wrapper: 0.8}, still)
	if err != nil || got.Best != 10 || got.Low != 10 || got.High != 10 || !got.Firm {
		t.Errorf("ten coins: %+v, %v", got, err)
	}
	mix, err := bulk.Share(bulk.Pile{Total: 7*2.5 + 3*3.11, U: 0.01}, 10, still, old, 0)
	if err != nil || mix.Other.Best != 3 || !mix.Other.Firm || mix.Any < 0.999 || mix.Least != 1 {
		t.Errorf("three of ten: %+v, %v", mix, err)
	}
	if mix.Pure > 1e-9 {
		t.Errorf("ten pure ones never weigh that: %v", mix.Pure)
	}
	// On the mean of a pure pile, half of them weigh more; one u above, 15.9 %
	// (the normal distribution's tail); seen from a lighter kind, 84.1 %.
	for _, tc := range []struct {
		total       mass.Grams
		other       bulk.Kind
		pure, error float64
	}{{25, old, 0.5, 1e-6}, {25.01, old, 0.15866, 1e-4}, {25.01, bulk.Kind{Mean: 2}, 0.84134, 1e-4}} {
		got, err := bulk.Share(bulk.Pile{Total: tc.total, U: 0.01}, 10, still, tc.other, 0)
		if err != nil || math.Abs(got.Pure-tc.pure) > tc.error {
			t.Errorf("%v g: %v of pure piles weigh as far off, want %v; %v", tc.total, got.Pure, tc.pure, err)
		}
	}
}

func TestImpossiblePilesSayWhichValueIsWrong(t *testing.T) {
	good := bulk.Pile{Total: 125, U: 0.05}
	for name, tc := range map[string]struct {
		run  func() error
		says string
	}{
		"no coins":  {func() error { _, err := bulk.Share(good, 0, zincCent, bronzeCent, 0); return err }, "number of coins"},
		"no weight": {func() error { _, err := bulk.Count(bulk.Pile{U: 1}, zincCent); return err }, "total weight"},
		"not a number": {func() error {
			_, err := bulk.Count(bulk.Pile{Total: mass.Grams(math.NaN()), U: 1}, zincCent)
			return err
		}, "total weight"},
		"heavy wrapper": {func() error { _, err := bulk.Count(bulk.Pile{Total: 3, U: 1, Wrapper: 4}, zincCent); return err }, "wrapper"},
		"no u":          {func() error { _, err := bulk.Count(bulk.Pile{Total: 3}, zincCent); return err }, "uncertainty"},
		"too many":      {func() error { _, err := bulk.Count(bulk.Pile{Total: 90000, U: 1}, zincCent); return err }, "2000"},
		"a crumb":       {func() error { _, err := bulk.Count(bulk.Pile{Total: 0.2, U: 0.01}, zincCent); return err }, "less than one"},
		"wrong pile": {func() error {
			_, err := bulk.Share(bulk.Pile{Total: 500, U: 0.01}, 10, zincCent, bronzeCent, 0)
			return err
		}, "No mix"},
		"same weight": {func() error { _, err := bulk.Share(good, 50, zincCent, zincCent, 0); return err }, "same"},
		"bad share":   {func() error { _, err := bulk.Share(good, 50, zincCent, bronzeCent, 2); return err }, "share"},
		"bad coin":    {func() error { _, err := bulk.Count(good, bulk.Kind{}); return err }, "coin’s weight"},
		"worn away":   {func() error { _, err := bulk.Count(good, bulk.Kind{Mean: 1, Wear: 1}); return err }, "wear"},
		"negative sd": {func() error { _, err := bulk.Count(good, bulk.Kind{Mean: 1, SD: -1}); return err }, "negative"},
	} {
		f := fault.Of(tc.run())
		if f == nil || f.Code != fault.BadInput || !strings.Contains(f.English(), tc.says) {
			t.Errorf("%s: %v, want a sentence with %q", name, f, tc.says)
		}
	}
}
