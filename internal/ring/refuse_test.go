package ring_test

import (
	"math/rand/v2"
	"testing"

	"panside/internal/ring"
	"panside/internal/simring"
)

// heard are three taps of a kind at 20 dB.
func heard(kind simring.Kind, seed uint64, knock float64, lowest, other float64) ring.Heard {
	r := rand.New(rand.NewPCG(seed, 20))
	scene := simring.Scene{Rate: 48000, Rand: r, Noise: 20, Knock: knock}
	return ring.Listen(scene.Render(kind, modes(r, lowest), modes(r, other), 3), 48000)
}

// TestNothingElseRings: what isn't one coin's ring gives no evidence, and most of it is called by its
// name. Taking a defence out of refuse.go, disc.go or trust lets some of it through.
func TestNothingElseRings(t *testing.T) {
	for _, c := range []struct {
		kind  simring.Kind
		why   []ring.Why
		other float64
	}{
		{simring.Click, []ring.Why{ring.Click}, 1.4},
		{simring.Voice, []ring.Why{ring.Voice, ring.Music, ring.Glass}, 1.4},
		{simring.Music, []ring.Why{ring.Music, ring.Glass}, 1.4},
		{simring.TwoCoins, []ring.Why{ring.TwoCoins}, 1.4},
		{simring.TwoCoins, []ring.Why{ring.TwoCoins}, 1.06},
		{simring.TwoCoins, []ring.Why{ring.TwoCoins}, 1.67},
		{simring.Bounce, []ring.Why{ring.Bounce}, 1.4},
		{simring.Clipping, []ring.Why{ring.Clipped}, 1.4},
		{simring.Glass, []ring.Why{ring.Glass}, 1.4},
		{simring.Crockery, []ring.Why{ring.TwoCoins}, 1.4},
	} {
		named := 0
		for seed := range uint64(3) {
			lowest := 5000 + 800*float64(seed)
			h := heard(c.kind, seed, 0, lowest, lowest*c.other)
			if ev, why := ring.Together(h.Rings); why == "" {
				t.Errorf("%s ×%.2f, seed %d: evidence %.0f", c.kind, c.other, seed, ev.Hz)
			}
			for _, r := range h.Refused {
				for _, w := range c.why {
					if r.Why == w {
						named++
					}
				}
			}
		}
		if named < 3 {
			t.Errorf("%s ×%.2f: called by its name %d times", c.kind, c.other, named)
		}
	}
}

// TestACoinRingsBehindTheKnock, up to 20 dB louder in the first 20 ms, and however soon the next
// tap comes. Taking wood that rings on below for a voice loses it.
func TestACoinRingsBehindTheKnock(t *testing.T) {
	lost := 0
	for seed := range uint64(12) {
		lowest := 4500 + 700*float64(seed)
		h := heard(simring.Coin, seed, 8+float64(seed), lowest, lowest)
		ev, why := ring.Together(h.Rings)
		switch {
		case why != "":
			lost++
			t.Logf("seed %d, %.0f Hz: %s, %v", seed, lowest, why, h.Refused)
		case ev.Hz[0] < 0.99*lowest || ev.Hz[0] > 1.01*lowest:
			t.Errorf("seed %d: heard %.0f of %.0f", seed, ev.Hz, lowest)
		}
	}
	if lost > 3 {
		t.Errorf("%d of 12 were lost", lost)
	}
}
