package simscale_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"panside/internal/simscale"
)

var wideHands = []simscale.How{simscale.Leaning, simscale.TwoStage, simscale.Sliding}

// TestEveryHandLetsGo: whatever a hand does, the coin's own weight is left.
func TestEveryHandLetsGo(t *testing.T) {
	filters := []simscale.Filter{simscale.FilterAverage, simscale.FilterTriangle, simscale.FilterAdaptive}
	for _, how := range wideHands {
		for i, f := range filters {
			for seed := range uint64(20) {
				cfg := still()
				cfg.Seed, cfg.Filter, cfg.NaturalHz, cfg.Damping = seed, f, 3+float64(seed), 0.2+0.3*float64(i)
				cfg.Sign = simscale.SignTime
				cfg.StableTime, cfg.StableWithin = 0.5, 1
				s := simscale.New(cfg)
				s.Step(time.Second)
				s.Put(3.11, how)
				s.Step(8 * time.Second)
				if d := s.Display(); d.Value.String() != "3.11" || !d.Stable || !s.Quiet() {
					t.Fatalf("%s on %s, seed %d: shows %+v", how, f, seed, d)
				}
				s.Sweep()
				s.Step(8 * time.Second)
				if d := s.Display(); d.Value.Sign() != 0 || !d.Zero || s.Load() != 0 {
					t.Fatalf("%s on %s, seed %d: swept pan shows %+v", how, f, seed, d)
				}
			}
		}
	}
}

// course is what a quick scale without a filter shows of a coin of 10 g, every
// 10 ms.
func course(seed uint64, how simscale.How) []float64 {
	cfg := fine()
	cfg.Seed, cfg.SampleRate, cfg.LineRate = seed, 200, 100
	cfg.Filter, cfg.FilterTime = simscale.FilterAverage, 0.005
	s := simscale.New(cfg)
	s.Step(time.Second)
	s.Put(10, how)
	return displays(s, 300, 10*time.Millisecond)
}

// TestHandsDoWhatTheySay: a leaning finger shows more than the coin for 0.2 to
// 1 s, two stages rest at 40 to 60 % for 0.3 s at least, and a slide takes 0.3 s
// from a tenth to nine tenths, but for its first and last jerk.
func TestHandsDoWhatTheySay(t *testing.T) {
	largest := 0.0
	for seed := range uint64(100) {
		over := 0
		seen := course(seed, simscale.Leaning)
		for _, x := range seen {
			if x > 10.3 {
				over++
			}
		}
		if over < 10 || over > 115 {
			t.Errorf("seed %d: the finger leans for %d ms", seed, 10*over)
		}
		largest = math.Max(largest, slices.Max(seen))
		half := 0
		for _, x := range course(seed, simscale.TwoStage) {
			if x > 3.9 && x < 6.1 {
				half++
			}
		}
		if half < 28 || half > 130 {
			t.Errorf("seed %d: half of the weight rests for %d ms", seed, 10*half)
		}
		slid := course(seed, simscale.Sliding)
		first := slices.IndexFunc(slid, func(x float64) bool { return x > 1 })
		last := slices.IndexFunc(slid, func(x float64) bool { return x > 9 })
		if last-first < 3 || last-first > 70 {
			t.Errorf("seed %d: the slide takes %d ms", seed, 10*(last-first))
		}
	}
	if largest < 100 {
		t.Errorf("the hardest finger leans with %v g on 10 g", largest)
	}
}

// TestPowerOff: 45 s of an unchanged weight switch the scale off, with the coin
// on the pan; woken, it takes what lies there, and its drift, as zero.
func TestPowerOff(t *testing.T) {
	cfg := still()
	cfg.AutoOff, cfg.NoTracking, cfg.Drift = 45*time.Second, true, 0.18
	s := simscale.New(cfg)
	s.Put(3.11, simscale.Gentle)
	s.Step(40 * time.Second)
	if s.Display().Off {
		t.Fatal("went off before 45 s")
	}
	s.Step(20 * time.Second)
	if !s.Display().Off || s.Step(time.Minute) != 0 {
		t.Fatal("it still sends")
	}
	s.Wake()
	s.Step(time.Second)
	if d := s.Display(); !d.Zero {
		t.Errorf("woken, it shows %+v", d)
	}
}
