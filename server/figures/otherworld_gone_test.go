package figures

import (
	"testing"

	"panside/internal/mass"
	"panside/internal/otherscale"
)

// gone reports whether a display shows that a coin lies there no more. A finger that
// presses on it before it lifts, which a slow filter shows for a while, doesn't.
func (c *laid) gone(t *table, at, g float64) bool {
	with := c.levelWith(t)
	return g < with.lo-t.slack || g > with.hi+t.slack && at > t.hands+t.cfg.Response()
}

// lateGlass is how long an answer may stay when the display has left its load:
// the glass itself holds one for 0.3 s.
const lateGlass = 0.5

// mayStay is until when a coin's alloy may stand on the glass; that changes with a line only.
func (t *table) mayStay(c *laid) float64 { return c.left + lateGlass + t.cfg.LineGap() }

// TestOtherWorldSeesACoinGo: a coin of 2.5 g is lifted from 9 s on, and the hand is gone
// at 10 s.
func TestOtherWorldSeesACoinGo(t *testing.T) {
	cfg := otherscale.Config{Places: 2, DisplayRate: 4, Oversample: 1, SincOrder: 1, Omega: 30, Zeta: 0.5}
	at := &table{cfg: cfg, scale: otherscale.New(cfg, 1), d: cfg.D(), slack: slackOf(cfg), hands: 10}
	c := &laid{total: 2.5, lift: 9, named: map[string]bool{"zinc": true}}
	at.coins = []*laid{c}
	for _, k := range []struct {
		what  string
		at, g float64
		want  bool
	}{
		{"not touched", 8.9, 2.5, false},
		{"pressed", 9.5, 3.2, false},
		{"the filter still shows the finger", 10.4, 3.2, false},
		{"another one lies there", 12, 3.2, true},
		{"less", 9.5, 2.3, true},
	} {
		if got := c.gone(at, k.at, k.g); got != k.want {
			t.Errorf("%s: %v", k.what, got)
		}
	}
	c.left = 10
	for _, k := range []struct {
		at   float64
		want bool
	}{{10.7, true}, {10.8, false}} {
		if got := at.mayBe("zinc", mass.Estimate{Phase: mass.PhaseMoving}, otherscale.Line{At: k.at}); got != k.want {
			t.Errorf("%.1f s: %v with four lines a second", k.at, got)
		}
	}
}
