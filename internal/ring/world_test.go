package ring_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"panside/internal/ring"
	"panside/internal/simring"
)

// modes of a disc whose lowest partial is given, a little off each.
func modes(r *rand.Rand, lowest float64) []float64 {
	out := []float64{1, 1.745, 2.28, 3.85, 3.93}
	for k := range out {
		out[k] *= lowest * (1 + 0.01*r.NormFloat64())
	}
	out[0] = lowest
	return out
}

// TestFirstWorld counts what is heard of coins and of what isn't one.
func TestFirstWorld(t *testing.T) {
	trials := 20
	if os.Getenv("PANSIDE_LONG") != "" {
		trials = 300
	}
	for _, kind := range []simring.Kind{simring.Coin, simring.Click, simring.Voice, simring.Music, simring.TwoCoins, simring.Bounce, simring.Silence, simring.Clipping, simring.Glass} {
		for _, noise := range []float64{20, 10, 0} {
			told, wrong, rings := 0, 0, 0
			why := map[ring.Why]int{}
			for n := range trials {
				r := rand.New(rand.NewPCG(uint64(n), uint64(noise)+100*uint64(len(kind))))
				rate := 48000.0
				if n%2 == 1 {
					rate = 44100
				}
				lowest := 4200 * math.Pow(14000/4200., r.Float64())
				scene := simring.Scene{Rate: rate, Rand: r, Noise: noise}
				x := scene.Render(kind, modes(r, lowest), modes(r, lowest*(1.08+0.6*r.Float64())), 3)
				h := ring.Listen(x, rate)
				rings += len(h.Rings)
				for _, w := range h.Refused {
					why[w.Why]++
				}
				ev, w := ring.Together(h.Rings)
				why[w]++
				if w != "" {
					continue
				}
				told++
				near := false
				for _, m := range modes(rand.New(rand.NewPCG(1, 1)), lowest) {
					for _, f := range ev.Hz {
						near = near || math.Abs(f/m-1) < 0.05
					}
				}
				if math.Abs(ev.Hz[0]/lowest-1) > 0.006 {
					wrong++
					if os.Getenv("PANSIDE_SHOW") != "" {
						t.Logf("%s %.0f dB %d: lowest %.0f heard %.0f  rings %d refused %v", kind, noise, n, lowest, ev.Hz, len(h.Rings), h.Refused)
					}
				}
			}
			t.Logf("%-10s %3.0f dB: %d of %d told, lowest partial not heard %d, rings %.2f a clip; %s", kind, noise, told, trials, wrong, float64(rings)/float64(trials), fmt.Sprint(why))
		}
	}
}
