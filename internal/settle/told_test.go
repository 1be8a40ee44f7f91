package settle

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// proven is a claim that holds: 2.50 g between a zero of 0.01 and a display of 2.51.
func proven() claim {
	return claim{
		weight: 2.5, on: ground{level: 0.008, shown: 0.01, stood: 5}, rested: true,
		display: 2.51, now: stand{seconds: 0.5, lines: 5, level: 2.51}, shows: 5,
		band: 0.011, d: 0.01,
	}
}

// TestClaims breaks each condition of a claim that holds.
func TestClaims(t *testing.T) {
	for what, tc := range map[string]struct {
		change func(*claim)
		weight float64
		answer answer
	}{
		"all holds":                           {func(*claim) {}, 2.5, told},
		"a weight within half a band":         {func(c *claim) { c.weight = 2.507 }, 2.5 + nearPart*0.011, told},
		"what is below had not rested":        {func(c *claim) { c.rested = false }, 2.5, never},
		"the display rests for a moment":      {func(c *claim) { c.now.seconds = restsFor / 2 }, 2.5, notYet},
		"it rests for two displays":           {func(c *claim) { c.shows = 2 }, 2.5, notYet},
		"the display says something else":     {func(c *claim) { c.weight = 2.53 }, 2.53, notYet},
		"and has said so for seconds":         {func(c *claim) { c.weight, c.now.seconds = 2.53, disproved+0.1 }, 2.53, never},
		"told before, as a display flickers":  {func(c *claim) { c.told, c.now.seconds, c.shows = true, 0, 1 }, 2.5, told},
		"told before, and a hand comes":       {func(c *claim) { c.told, c.display = true, 2.7 }, 2.5, notYet},
		"found on the pan by the display":     {func(c *claim) { c.on = onDisplay(0.01, 0.01) }, 2.5, told},
		"a band so wide that a step is less":  {func(c *claim) { c.band, c.weight = 0.05, 2.53 }, 2.51, told},
		"a weight of nothing like the weight": {func(c *claim) { c.weight = -2.5 }, -2.5, notYet},
	} {
		t.Run(what, func(t *testing.T) {
			c := proven()
			tc.change(&c)
			if weight, answer := c.judge(); answer != tc.answer || math.Abs(weight-tc.weight) > 1e-9 {
				t.Errorf("%.4f, %d; want %.4f, %d", weight, answer, tc.weight, tc.answer)
			}
		})
	}
}

// TestToldIsTheDisplaysDifference: whatever is claimed, what is told is the difference
// of two displays within a step, and both rested when it was told first.
func TestToldIsTheDisplaysDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		c := proven()
		c.d = rapid.SampledFrom([]float64{0.1, 0.01, 0.001}).Draw(t, "d")
		c.band = c.d * number("band", 1.1, 5)
		c.rested, c.now.seconds, c.shows = rapid.Bool().Draw(t, "rested"), number("still", 0, 3), number("displays", 1, 6)
		c.on.shown, c.display = number("ground", -3, 30), number("display", -3, 30)
		c.weight = c.display - c.on.shown + c.d*number("off", -8, 8)
		c.told = rapid.Bool().Draw(t, "told")
		weight, answer := c.judge()
		if answer != told {
			return
		}
		if off := math.Abs(weight - (c.display - c.on.shown)); off > c.d+1e-9 {
			t.Fatalf("told %v g, %v g off the display", weight, off)
		}
		if rested := c.rested && c.now.seconds >= restsFor && c.shows >= restsDisplays; !rested && !c.told {
			t.Fatal("told of levels that didn't rest")
		}
	})
}
