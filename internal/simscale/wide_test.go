package simscale_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"panside/internal/mass"
	"panside/internal/simscale"
)

// fine shows steps of 10 µg, so that a display is nearly the signal itself.
func fine() simscale.Config {
	cfg := still()
	cfg.Resolution, cfg.NoTracking, cfg.AutoOff = mass.NewDecimal(1, 5), true, 0
	cfg.NaturalHz, cfg.Damping = 25, 0.9
	return cfg
}

// displays notes what is shown after each dt.
func displays(s *simscale.Scale, n int, dt time.Duration) []float64 {
	all := make([]float64, n)
	for i := range all {
		s.Step(dt)
		all[i] = s.Display().Value.Float64()
	}
	return all
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, within)
	}
}

// TestTriangleStepResponse: two averages over T/2 in a row answer a step with
// 2u² in the first half of T and 1 − 2(1−u)² in the second, u = t/T. The moment
// of landing is left open: where the answer passes the half, u is a half.
func TestTriangleStepResponse(t *testing.T) {
	cfg := fine()
	cfg.Filter, cfg.FilterTime, cfg.SampleRate, cfg.LineRate = simscale.FilterTriangle, 2, 500, 500
	s := simscale.New(cfg)
	s.Step(time.Second)
	s.Put(10, simscale.Gentle)
	seen := displays(s, 1500, 2*time.Millisecond)
	half := slices.IndexFunc(seen, func(x float64) bool { return x >= 5 })
	for _, u := range []float64{0.15, 0.3, 0.7, 0.85} {
		want := 2 * u * u
		if u > 0.5 {
			want = 1 - 2*(1-u)*(1-u)
		}
		near(t, "step response", seen[half+int((u-0.5)*1000)]/10, want, 0.01)
	}
	near(t, "after the window", seen[half+520]/10, 1, 1e-4)
}

// TestAdaptiveFilterLetsGo: a step beyond the band is shown after two
// conversions; one within it comes by the mean of the last 50, a straight line.
func TestAdaptiveFilterLetsGo(t *testing.T) {
	cfg := still()
	cfg.Filter, cfg.SampleRate, cfg.LineRate, cfg.NoTracking = simscale.FilterAdaptive, 10, 10, true
	cfg.FilterBand = 4
	s := simscale.New(cfg)
	s.Step(6 * time.Second)
	s.Put(5, simscale.Gentle)
	s.Step(600 * time.Millisecond)
	near(t, "a large step after 0.6 s", s.Display().Value.Float64(), 5, 0.01)
	cfg.Resolution, cfg.FilterBand = mass.NewDecimal(1, 4), 1000
	s = simscale.New(cfg)
	s.Step(6 * time.Second)
	s.Put(0.05, simscale.Gentle)
	seen := displays(s, 60, 100*time.Millisecond)
	for _, k := range []int{10, 20, 30, 40} {
		near(t, "a small step's slope", seen[k]-seen[k-5], 0.05*5/50, 1.1e-4)
	}
	near(t, "a small step's end", seen[55], 0.05, 1e-4)
}

// TestFlickerHoldsAgainstAveraging compares the mean square of what the display
// changes over h with 2σ²·Σ(1 − e^(−h/τ))/4, that of the sum of four
// first-order processes.
func TestFlickerHoldsAgainstAveraging(t *testing.T) {
	cfg := fine()
	cfg.Flicker, cfg.Filter, cfg.FilterTime = 0.1, simscale.FilterAverage, 1/cfg.SampleRate
	seen := displays(simscale.New(cfg), 40_000, 100*time.Millisecond)
	for _, h := range []int{1, 5, 20, 100} {
		want := 0.0
		for _, tau := range []float64{0.3, 2, 13, 90} {
			want += 2 * 0.1 * 0.1 / 4 * (1 - math.Exp(-float64(h)/10/tau))
		}
		near(t, "mean square change", meanSquareChange(seen, h)/want, 1, 0.12)
	}
}

func meanSquareChange(x []float64, h int) float64 {
	sum := 0.0
	for i := h; i < len(x); i++ {
		sum += (x[i] - x[i-h]) * (x[i] - x[i-h])
	}
	return sum / float64(len(x)-h)
}

// TestWanderGoesBothWays: the drift is the integral of a first-order process of
// rate s and time τ, so its mean square change over h is
// 2s²τ²·(h/τ − 1 + e^(−h/τ)).
func TestWanderGoesBothWays(t *testing.T) {
	cfg := fine()
	cfg.Wander, cfg.SampleRate, cfg.LineRate = 0.13, 10, 1
	seen := displays(simscale.New(cfg), 12_000, time.Second)
	for _, h := range []int{10, 60} {
		x := float64(h) / 60
		want := 2 * 0.13 * 0.13 * (x - 1 + math.Exp(-x))
		near(t, "mean square change", meanSquareChange(seen, h)/want, 1, 0.2)
	}
	up := 0
	for i := 60; i < len(seen); i++ {
		if seen[i] > seen[i-60] {
			up++
		}
	}
	near(t, "share of rising minutes", float64(up)/float64(len(seen)-60), 0.5, 0.1)
}

// TestCreep: m·(1 + c·(1 − e^(−t/τ))), and back again.
func TestCreep(t *testing.T) {
	cfg := fine()
	cfg.Creep, cfg.CreepTime, cfg.FilterTime, cfg.Capacity = -0.004, 20, 0.05, 200
	s := simscale.New(cfg)
	s.Step(time.Second)
	s.Put(100, simscale.Gentle)
	s.Step(20 * time.Second)
	near(t, "under load", s.Display().Value.Float64(), 100*(1-0.004*(1-math.Exp(-1))), 0.003)
	s.Step(200 * time.Second)
	s.Sweep()
	s.Step(20 * time.Second)
	near(t, "after it", s.Display().Value.Float64(), -0.4*math.Exp(-1), 0.003)
}

// TestRepeatedAndUnevenLines: each display comes in Repeat lines; the times
// between uneven ones have the mean asked for, and both limits.
func TestRepeatedAndUnevenLines(t *testing.T) {
	cfg := still()
	cfg.LineRate, cfg.Repeat = 30, 3
	s := simscale.New(cfg)
	s.Step(time.Second)
	s.Put(5, simscale.Gentle)
	changes, lines, last := 0, 0, ""
	for range 600 {
		n := s.Step(time.Millisecond)
		if now := s.Display().Value.String(); n > 0 && now != last {
			if changes > 1 && lines != 3 {
				t.Fatalf("a display of %d lines", lines)
			}
			changes, lines, last = changes+1, 0, now
		}
		lines += n
	}
	if changes < 5 || changes > 7 {
		t.Errorf("%d displays in 0.6 s at 10 a second", changes)
	}
	cfg.LineRate, cfg.Repeat, cfg.Uneven, cfg.AutoOff = 4, 1, 0.68, 0
	s = simscale.New(cfg)
	var gaps []float64
	before := 0
	for i := 1; i < 1_000_000; i++ {
		if s.Step(time.Millisecond) > 0 {
			gaps = append(gaps, float64(i-before)/1000)
			before = i
		}
	}
	gaps = gaps[1:]
	sum := 0.0
	for _, g := range gaps {
		sum += g
	}
	near(t, "mean time", sum/float64(len(gaps)), 0.25, 0.01)
	near(t, "least", slices.Min(gaps), 0.17, 0.003)
	if most := slices.Max(gaps); most < 1 || most > 1.801 {
		t.Errorf("the longest time is %v s", most)
	}
}

// TestSigns tries the rules on one coin, landed by the first second.
func TestSigns(t *testing.T) {
	at := func(cfg simscale.Config) (on []float64) {
		cfg.FilterTime, cfg.Damping, cfg.NaturalHz = 0.02, 0.9, 25
		s := simscale.New(cfg)
		s.Step(10 * time.Second)
		s.Put(3, simscale.Gentle)
		for i := range 100 {
			s.Step(100 * time.Millisecond)
			if s.Display().Stable && s.Display().Value.Float64() > 2 {
				on = append(on, float64(i)/10)
			}
		}
		return on
	}
	cfg := still()
	cfg.StableCount, cfg.StableBand = 37, 0
	near(t, "37 equal displays", at(cfg)[0], 3.9, 0.3)
	cfg.Sign, cfg.StableTime, cfg.StableWithin = simscale.SignTime, 1, 0.5
	near(t, "within half a step for a second", at(cfg)[0], 1.3, 0.3)
	cfg.Sign = simscale.SignNone
	if on := at(cfg); on != nil {
		t.Errorf("a scale without a sign was stable at %v", on)
	}
	if s := simscale.New(cfg); s.Display().Status() != mass.StatusUnknown {
		t.Errorf("a scale without a sign says %q", s.Display().Status())
	}
}

// TestStickySign: a drift of a step in half a second keeps the sign, and takes
// it at every step from a scale that counts four equal displays of five.
func TestStickySign(t *testing.T) {
	for sign, want := range map[simscale.Sign]float64{simscale.SignSticky: 97, simscale.SignCount: 40} {
		cfg := still()
		cfg.NoTracking, cfg.Sign, cfg.StableCount, cfg.StableBand = true, sign, 4, 0
		cfg.Drift = 3600 * 0.02 // g/h: two steps a second
		s := simscale.New(cfg)
		stable, walked := 0, 0.0
		for range 100 {
			s.Step(100 * time.Millisecond)
			if s.Display().Stable {
				stable++
			}
			walked = s.Display().Value.Float64()
		}
		near(t, "walked", walked, 0.2, 0.02)
		near(t, "displays of 100 with the sign "+string(sign), float64(stable), want, 3)
	}
}
