package simscale_test

import (
	"bytes"
	"math"
	"testing"
	"time"

	"panside/internal/dialect"
	"panside/internal/mass"
	"panside/internal/simscale"
)

// still is a scale without noise, drift or placement error.
func still() simscale.Config {
	cfg := simscale.DefaultConfig()
	cfg.Noise, cfg.Draught, cfg.Drift, cfg.WarmUp, cfg.Placement = 0, 0, 0, 0, 0
	return cfg
}

func lines(s *simscale.Scale, seconds float64) []byte {
	var all []byte
	for range int(seconds * 50) {
		if s.Step(20*time.Millisecond) > 0 {
			all = append(all, s.Line("status-comma")...)
		}
	}
	return all
}

func evening(cfg simscale.Config) []byte {
	s := simscale.New(cfg)
	all := lines(s, 2)
	s.Put(3.11, simscale.Gentle)
	all = append(all, lines(s, 4)...)
	s.Put(2.5, simscale.Dropped)
	all = append(all, lines(s, 1)...)
	s.Bump()
	all = append(all, lines(s, 4)...)
	s.Lift(2.5)
	all = append(all, lines(s, 4)...)
	s.Put(5, simscale.SlowHand)
	all = append(all, lines(s, 4)...)
	s.Clear()
	return append(all, lines(s, 4)...)
}

func TestSameSeedSameLines(t *testing.T) {
	cfg := simscale.DefaultConfig()
	first := evening(cfg)
	if !bytes.Equal(first, evening(cfg)) {
		t.Error("the same seed gave other lines")
	}
	cfg.Seed++
	if bytes.Equal(first, evening(cfg)) {
		t.Error("another seed gave the same lines")
	}
	if n := bytes.Count(first, []byte("\n")); n < 225 || n > 235 {
		t.Errorf("%d lines in 23 s at 10 a second", n)
	}
}

// TestStepsOfAnySizeAgree: physics must not depend on how the caller cuts time.
func TestStepsOfAnySizeAgree(t *testing.T) {
	run := func(step time.Duration) (seen []simscale.Display) {
		s := simscale.New(simscale.DefaultConfig())
		s.Put(3.11, simscale.Dropped)
		for at := time.Duration(0); at < 4*time.Second; at += step {
			s.Step(step)
			if (at+step)%(100*time.Millisecond) == 0 {
				seen = append(seen, s.Display())
			}
		}
		return seen
	}
	fine, coarse := run(time.Millisecond), run(100*time.Millisecond)
	for i := range fine {
		if fine[i] != coarse[i] {
			t.Fatalf("at %d: %+v in fine steps, %+v in coarse ones", i, fine[i], coarse[i])
		}
	}
}

// TestEveryLandingEndsAtTheCoinsWeight, for every way and filter.
func TestEveryLandingEndsAtTheCoinsWeight(t *testing.T) {
	for _, how := range []simscale.How{simscale.Gentle, simscale.Dropped, simscale.SlowHand} {
		for _, f := range []simscale.Filter{simscale.FilterExponential, simscale.FilterAverage, simscale.FilterCascade, simscale.FilterMixed} {
			for seed := range uint64(20) {
				cfg := still()
				cfg.Seed, cfg.Filter = seed, f
				s := simscale.New(cfg)
				s.Step(time.Second)
				s.Put(3.11, how)
				s.Step(8 * time.Second)
				if d := s.Display(); d.Value.String() != "3.11" || !d.Stable || d.Zero {
					t.Fatalf("%s on %s, seed %d: shows %+v", how, f, seed, d)
				}
				s.Clear()
				s.Step(8 * time.Second)
				if d := s.Display(); d.Value.Sign() != 0 || !d.Zero || !s.Quiet() {
					t.Fatalf("%s on %s, seed %d: empty pan shows %+v", how, f, seed, d)
				}
			}
		}
	}
}

// TestExponentialStepResponse compares the display with m·(1 − e^(−t/τ)), the
// step response of a first-order lag (any signals textbook), after the hand has
// gone. The time of landing is unknown, so the ratio of what is missing at two
// moments is compared: e^(−Δt/τ).
func TestExponentialStepResponse(t *testing.T) {
	cfg := still()
	cfg.Resolution = mass.NewDecimal(1, 5)
	cfg.FilterTime = 0.4
	cfg.Damping = 0.7
	s := simscale.New(cfg)
	s.Step(time.Second)
	s.Put(10, simscale.Gentle)
	s.Step(700 * time.Millisecond)
	early := 10 - s.Display().Value.Float64()
	s.Step(400 * time.Millisecond)
	late := 10 - s.Display().Value.Float64()
	if got, want := late/early, math.Exp(-1); math.Abs(got-want) > 0.002 {
		t.Errorf("what is missing fell to %v within τ, want %v", got, want)
	}
}

func TestStableSignComesInTwoToThreeSeconds(t *testing.T) {
	var times []float64
	for seed := range uint64(100) {
		cfg := simscale.DefaultConfig()
		cfg.Seed = seed
		s := simscale.New(cfg)
		s.Step(3 * time.Second)
		s.Put(3.11, simscale.Gentle)
		for i := 1; i <= 60; i++ {
			s.Step(100 * time.Millisecond)
			if i > 1 && s.Display().Stable && s.Display().Value.Float64() > 2 {
				times = append(times, float64(i)*0.1)
				break
			}
		}
	}
	sum := 0.0
	for _, x := range times {
		sum += x
	}
	if mean := sum / float64(len(times)); len(times) < 99 || mean < 2 || mean > 3 {
		t.Errorf("%d of 100 became stable, after %.2f s on average", len(times), mean)
	}
}

func TestOverUnderTareAndZero(t *testing.T) {
	s := simscale.New(still())
	s.Step(2 * time.Second)
	s.Put(200.05, simscale.Gentle)
	s.Step(5 * time.Second)
	if d := s.Display(); d.Over {
		t.Errorf("within nine steps of capacity: %+v", d)
	}
	s.Put(0.1, simscale.Gentle)
	s.Step(5 * time.Second)
	if d := s.Display(); !d.Over || d.Status() != mass.StatusOver {
		t.Errorf("over capacity: %+v", d)
	}
	s.Clear()
	s.Step(5 * time.Second)
	s.Put(50, simscale.Gentle)
	s.Step(5 * time.Second)
	s.Tare()
	s.Step(5 * time.Second)
	if d := s.Display(); d.Value.Sign() != 0 || !d.Stable {
		t.Errorf("after tare: %+v", d)
	}
	s.Clear()
	s.Step(5 * time.Second)
	if d := s.Display(); d.Value.String() != "-50.00" || d.Under {
		t.Errorf("tared cup lifted: %+v", d)
	}
}

func TestUnderload(t *testing.T) {
	cfg := still()
	s := simscale.New(cfg)
	s.Put(30, simscale.Gentle)
	s.Step(3 * time.Minute) // goes off by itself
	if d := s.Display(); !d.Off || s.Line("status-comma") != nil {
		t.Fatalf("after three idle minutes: %+v", d)
	}
	s.Wake() // and takes the load as zero when switched on
	s.Step(3 * time.Second)
	if d := s.Display(); d.Off || d.Value.Sign() != 0 {
		t.Fatalf("switched on again: %+v", d)
	}
	s.Clear()
	s.Step(3 * time.Second)
	if d := s.Display(); !d.Under {
		t.Errorf("30 g taken away from zero: %+v", d)
	}
}

func TestTouchKeepsItAwake(t *testing.T) {
	s := simscale.New(still())
	for range 10 {
		s.Step(time.Minute)
		s.Touch()
	}
	if s.Display().Off {
		t.Error("went off while in use")
	}
}

// TestZeroTracking: a creeping zero is followed, a coin is not, and the rate
// stays below half a step each second.
func TestZeroTracking(t *testing.T) {
	cfg := still()
	cfg.Drift, cfg.AutoOff = 5, 0 // 0.5 steps in 3.6 s
	s := simscale.New(cfg)
	s.Step(10 * time.Minute)
	if d := s.Display(); d.Value.Sign() != 0 {
		t.Errorf("tracked zero shows %v", d.Value)
	}
	cfg.NoTracking = true
	s = simscale.New(cfg)
	s.Step(10 * time.Minute)
	if d := s.Display(); d.Value.String() != "0.83" {
		t.Errorf("untracked zero shows %v after 5 g/h for ten minutes", d.Value)
	}
}

func TestLinesAreReadBack(t *testing.T) {
	for _, format := range []string{"status-comma", "print-line"} {
		s := simscale.New(still())
		s.Put(3.11, simscale.Gentle)
		dec := dialect.NewDecoder(dialect.Options{Dialect: format})
		var last mass.Reading
		n := 0
		for range 60 {
			s.Step(100 * time.Millisecond)
			for _, r := range dec.Feed(s.Line(format), time.Unix(0, 0)) {
				last = r
				n++
			}
		}
		if n < 5 || last.Quantity.String() != "3.11 g" || last.Status != mass.StatusStable {
			t.Errorf("%s: %d readings, last %+v", format, n, last)
		}
	}
	if line := simscale.New(still()).Line("no such format"); line != nil {
		t.Errorf("an unknown format gave %q", line)
	}
}
