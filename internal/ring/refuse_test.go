package ring_test

import (
	"math"
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

// tapped are three taps of what has these partials, Hz, each of 150 ms, in the noise of a quiet room.
func tapped(tones ...float64) []float64 {
	const rate = 48000
	r := rand.New(rand.NewPCG(7, 7))
	x := make([]float64, 3*rate)
	for i := range x {
		x[i] = 2e-4 * r.NormFloat64()
		for tap := range 3 {
			if t := float64(i)/rate - 0.4 - 0.8*float64(tap); t > 0 {
				for _, hz := range tones {
					x[i] += 0.1 * math.Exp(-t/0.15) * math.Sin(2*math.Pi*hz*t+hz)
				}
			}
		}
	}
	return x
}

// TestTwoCoinsOfAKind: a coin's design splits its lowest mode, but nothing the next, which has no
// nodal diameters; heard twice, it is two coins', however near they are in pitch.
func TestTwoCoinsOfAKind(t *testing.T) {
	for _, c := range []struct {
		name  string
		tones []float64
		why   ring.Why
	}{
		{"a coin", []float64{6000, 10440}, ""},
		{"its lowest mode split", []float64{5975, 6025, 10440}, ""},
		{"two coins, 0.7 % apart", []float64{5979, 6021, 10404, 10477}, ring.TwoCoins},
	} {
		h := ring.Listen(tapped(c.tones...), 48000)
		_, why := ring.Together(h.Rings)
		if len(h.Rings) == 0 && len(h.Refused) > 0 {
			why = h.Refused[0].Why
		}
		if why != c.why {
			t.Errorf("%s: %q, not %q", c.name, why, c.why)
		}
	}
	// One coin is louder now and then.
	one := func(hz float64) ring.Ring {
		return ring.Ring{Peaks: []ring.Peak{{Hz: 6000, U: 6}, {Hz: hz, U: 10, Level: -3}}}
	}
	if _, why := ring.Together([]ring.Ring{one(10410), one(10470)}); why != ring.TwoCoins {
		t.Errorf("a tone that wanders: %q", why)
	}
	if _, why := ring.Together([]ring.Ring{one(10435), one(10445)}); why != "" {
		t.Errorf("a tone that stays: %q", why)
	}
}
