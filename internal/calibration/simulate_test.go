package calibration_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"panside/internal/calibration"
	"panside/internal/mass"
	"panside/internal/simscale"
)

// many is n, or twenty times that in a long run.
func many(n int) int {
	if os.Getenv("PANSIDE_LONG") != "" {
		return 20 * n
	}
	return n
}

// atLeast checks a coverage, allowing for the simulation's own luck: four
// standard deviations.
func atLeast(t *testing.T, what string, hits, of int, want float64) {
	t.Helper()
	got := float64(hits) / float64(of)
	if slack := 4 * math.Sqrt(want*(1-want)/float64(of)); got < want-slack {
		t.Errorf("%s: %.1f %% of %d, want %.1f %% at least", what, 100*got, of, 100*want)
	}
}

// TestClaimsHold simulates checks of a scale with a known spread and error,
// displays rounded to steps: of what is claimed at 95 %, 95 % is true. Weights lie
// anywhere within their limits.
func TestClaimsHold(t *testing.T) {
	const d = 0.01
	checks := many(500)
	for _, spread := range []float64{0, 0.15, 0.3, 0.45, 0.6, 1, 3} { // in steps
		for _, times := range []int{5, 10} {
			rng := rand.New(rand.NewPCG(uint64(times), uint64(spread*100)))
			var inSpread, inSlope, inWeighing, asGood, weighings int
			for range checks {
				slope := rng.NormFloat64() * 0.001
				// The zero lies anywhere within half a step and shows as nothing: the
				// uniform term.
				show := func(m float64) mass.Grams {
					return mass.Grams(math.Round((m*(1+slope)+d*(spread*rng.NormFloat64()+rng.Float64()-0.5))/d) * d)
				}
				rec := calibration.Record{Resolution: d, Temperature: math.NaN()}
				for j, g := range []mass.Grams{50, 20} {
					w := calibration.Weight{Nominal: g, Class: calibration.M1}
					limit, _ := calibration.Limit(g, calibration.M1)
					m := float64(g) + (2*rng.Float64()-1)*float64(limit)
					rec.Weights = append(rec.Weights, w)
					for range times / (j + 1) {
						rec.Placements = append(rec.Placements, calibration.Placement{Weight: j, Shown: show(m)})
					}
				}
				r, err := calibration.Evaluate(rec)
				if err != nil {
					t.Fatal(err)
				}
				// The spread behind the displays: repeatability and the zero's place.
				true2 := spread*spread + 1.0/12
				if s := d * math.Sqrt(true2); float64(r.Spread.Low) <= s && s <= float64(r.Spread.High) {
					inSpread++
				}
				if math.Abs(r.Fit.Slope-slope) <= 1.96*r.Fit.USlope {
					inSlope++
				}
				for range 4 {
					m := 1 + 49*rng.Float64()
					shown := show(m)
					u := float64(r.At(shown).U())
					weighings++
					if math.Abs(float64(shown+r.Correction(shown))-m) <= 1.96*u {
						inWeighing++
					}
					if u < float64(mass.UnprovenScale(d, shown).U()) {
						asGood++
					}
				}
			}
			name := fmt.Sprintf("spread of %v steps, %d times", spread, times)
			atLeast(t, name+": spread", inSpread, checks, 0.94)
			atLeast(t, name+": slope", inSlope, checks, 0.95)
			atLeast(t, name+": weighing", inWeighing, weighings, 0.95)
			t.Logf("%s: spread %.3f slope %.3f weighing %.3f, finer than assumed %.2f", name, float64(inSpread)/float64(checks),
				float64(inSlope)/float64(checks), float64(inWeighing)/float64(weighings), float64(asGood)/float64(weighings))
		}
	}
}

// table is a simulated scale with somebody who waits for its stable sign.
type table struct {
	t     *testing.T
	scale *simscale.Scale
}

func (b table) settle() mass.Grams {
	for still := 0; still < 8; { // steps of a quarter second at rest
		b.scale.Step(250 * time.Millisecond)
		still++
		if d := b.scale.Display(); !d.Stable || !b.scale.Quiet() {
			still = 0
		}
	}
	return mass.Grams(b.scale.Display().Value.Float64())
}

func (b table) weigh(g mass.Grams) calibration.Placement {
	zero := b.settle()
	b.scale.Put(g, simscale.Gentle)
	shown := b.settle()
	b.scale.Clear()
	return calibration.Placement{Shown: shown, Zero: zero}
}

// TestSimulatedScalesAreFound checks simulated scales of known error and spread,
// and then weighs on them.
func TestSimulatedScalesAreFound(t *testing.T) {
	scales := many(25)
	var inSpread, inSlope, inWeighing, weighings int
	for i := range scales {
		rng := rand.New(rand.NewPCG(77, uint64(i)))
		cfg := simscale.DefaultConfig()
		cfg.Seed = uint64(1000 + i)
		cfg.AutoOff = 0
		cfg.GainError = 0.003 * rng.NormFloat64()
		cfg.Placement = 0.01
		b := table{t, simscale.New(cfg)}
		rec := calibration.Record{Resolution: 0.01, Temperature: math.NaN()}
		for j, g := range []mass.Grams{50, 20} {
			rec.Weights = append(rec.Weights, calibration.Weight{Nominal: g, Class: calibration.F2})
			for range 5 {
				p := b.weigh(g)
				p.Weight = j
				rec.Placements = append(rec.Placements, p)
			}
		}
		r, err := calibration.Evaluate(rec)
		if err != nil {
			t.Fatal(err)
		}
		if r.Spread.Low <= 0.01 && r.Spread.High >= 0.01 {
			inSpread++
		}
		if math.Abs(r.Fit.Slope-cfg.GainError) <= 1.96*r.Fit.USlope {
			inSlope++
		}
		for range 5 {
			m := mass.Grams(1 + 49*rng.Float64())
			p := b.weigh(m)
			net := p.Shown - p.Zero
			weighings++
			if math.Abs(float64(net+r.Correction(net)-m)) <= 1.96*float64(r.At(net).U()) {
				inWeighing++
			}
		}
	}
	t.Logf("spread %d, slope %d of %d; weighing %d of %d", inSpread, inSlope, scales, inWeighing, weighings)
	atLeast(t, "spread", inSpread, scales, 0.94)
	atLeast(t, "slope", inSlope, scales, 0.95)
	atLeast(t, "weighing", inWeighing, weighings, 0.95)
}

// TestSimulatedDrift watches a weight left on a drifting scale.
func TestSimulatedDrift(t *testing.T) {
	watches := many(20)
	hits := 0
	for i := range watches {
		cfg := simscale.DefaultConfig()
		cfg.Seed, cfg.AutoOff, cfg.WarmUp = uint64(i), 0, 0
		cfg.Drift = mass.Grams(0.1 * (float64(i%5) - 2))
		b := table{t, simscale.New(cfg)}
		b.scale.Put(50, simscale.Gentle)
		rec := calibration.Record{
			Resolution: 0.01, Temperature: math.NaN(),
			Weights: []calibration.Weight{{Nominal: 50, Class: calibration.F2}}, Placements: placements(0, 50),
		}
		b.settle()
		for k := range 20 {
			rec.Untouched = append(rec.Untouched, calibration.Moment{After: 15 * float64(k), Shown: mass.Grams(b.scale.Display().Value.Float64())})
			b.scale.Step(15 * time.Second)
		}
		r, err := calibration.Evaluate(rec)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(r.Drift.PerHour-cfg.Drift)) <= 1.96*float64(r.Drift.U) {
			hits++
		}
	}
	atLeast(t, "drift", hits, watches, 0.95)
}

// TestOneBadReadingIsSeen: a finger on the pan during one placement.
func TestOneBadReadingIsSeen(t *testing.T) {
	rec := wellUsed()
	rec.Placements = slices.Clone(rec.Placements)
	rec.Placements[3].Shown += 0.06
	rec.Temperature = math.NaN()
	if _, err := calibration.Evaluate(rec); err == nil {
		t.Error("a reading 60 steps from the others was taken")
	}
}
