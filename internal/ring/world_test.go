package ring_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"panside/internal/ring"
	"panside/internal/simring"
)

// modes of a disc whose lowest partial is given: between those of a thin plate (Leissa) and of a
// thick coin with a rim, a percent off each.
func modes(r *rand.Rand, lowest float64) []float64 {
	thick := r.Float64()
	out := []float64{1, 1.73 + 0.03*thick, 2.335 - 0.06*thick, 3.9 - 0.06*thick, 4.11 - 0.19*thick}
	for k := range out {
		out[k] *= lowest * (1 + 0.01*r.NormFloat64())
	}
	out[0] = lowest
	return out
}

// alike are the modes of another coin of a kind: each is off its type by 2.5 %.
func alike(r *rand.Rand, coin []float64) []float64 {
	out := slices.Clone(coin)
	off := math.Exp(0.025 * math.Sqrt2 * r.NormFloat64())
	for k := range out {
		out[k] *= off * (1 + 0.004*r.NormFloat64())
	}
	return out
}

// long is how many trials there are: few, or with PANSIDE_LONG all, or as many as it says.
func long(few, all int) int {
	n, err := strconv.Atoi(os.Getenv("PANSIDE_LONG"))
	switch {
	case os.Getenv("PANSIDE_LONG") == "":
		return few
	case err == nil && n > 1:
		return n
	}
	return all
}

// TestFirstWorld counts what is heard of coins and of what isn't one, at 20, 10 and 0 dB of a
// kitchen's noise. At most so many of a hundred clips of a kind may give evidence: of two coins
// and of one that bounces some do, where the second can't be heard, or has the first one's tones.
func TestFirstWorld(t *testing.T) {
	trials := long(1, 100)
	for _, c := range []struct {
		kind        simring.Kind
		least, most float64
		alike       bool // the second coin is of the first one's kind
	}{
		{simring.Coin, 0.75, 1, false}, {simring.Click, 0, 0.01, false}, {simring.Voice, 0, 0.01, false}, {simring.Music, 0, 0.01, false},
		{simring.TwoCoins, 0, 0.2, false}, {simring.TwoCoins, 0, 0.4, true}, {simring.Bounce, 0, 0.3, false},
		{simring.Silence, 0, 0, false}, {simring.Clipping, 0, 0.02, false}, {simring.Glass, 0, 0.03, false}, {simring.Crockery, 0, 0.01, false},
	} {
		all, gave := 0, 0
		for _, noise := range []float64{20, 10, 0} {
			told, off, rings := 0, 0, 0
			why := map[ring.Why]int{}
			for n := range trials {
				r := rand.New(rand.NewPCG(uint64(n), uint64(noise)+100*uint64(len(c.kind))))
				rate := []float64{48000, 44100}[n%2]
				lowest := 4200 * math.Pow(14000/4200., r.Float64())
				scene := simring.Scene{Rate: rate, Rand: r, Noise: noise, Knock: -10 + 30*r.Float64()}
				coin, second := modes(r, lowest), modes(r, lowest*(1.08+0.6*r.Float64()))
				if c.alike {
					second = alike(r, coin)
				}
				h := ring.Listen(scene.Render(c.kind, coin, second, 3), rate)
				rings += len(h.Rings)
				for _, w := range h.Refused {
					why[w.Why]++
				}
				ev, w := ring.Together(h.Rings)
				if w != "" {
					why[w]++
					continue
				}
				told++
				if math.Abs(ev.Hz[0]/lowest-1) > 0.01 {
					off++
					if c.kind == simring.Coin {
						t.Errorf("%.0f dB, seed %d: lowest %.0f, heard %.0f", noise, n, lowest, ev.Hz)
					}
				}
			}
			all, gave = all+trials, gave+told
			t.Logf("%-10s %3.0f dB: evidence in %d of %d, another partial lowest in %d, rings %.2f a clip; %v", c.kind, noise, told, trials, off, float64(rings)/float64(trials), why)
		}
		if share := float64(gave) / float64(all); trials > 10 && (share < c.least || share > c.most+0.5/float64(all)) || share < c.least-0.5 || share > c.most+0.5 {
			t.Errorf("%s: evidence in %.1f %% of clips, %.0f to %.0f may be", c.kind, 100*share, 100*c.least, 100*c.most)
		}
	}
}
