package settle_test

import (
	"fmt"
	"math"
	"testing"

	"panside/internal/mass"
	"panside/internal/simscale"
)

// TestQuickSwap: a coin taken off before it came to rest, and another put down
// while the display is still on its way: the one that rests is weighed alone. It
// is the only one on the pan, so its weight is the pile's.
func TestQuickSwap(t *testing.T) {
	scales := 12
	if long {
		scales = 24
	} else if slow {
		scales = 3
	}
	swaps, wrong := 0, 0
	for seed := range scales {
		cfg, props := evening(uint64(50_000 + seed))
		b := newTable(cfg, props)
		for range 3 {
			b.scale.Put(bronze, simscale.Gentle)
			b.run(4)
			b.scale.Clear()
			b.run(3)
		}
		for range 10 {
			b.scale.Put(zinc, simscale.Gentle)
			b.run(b.between(0.2, 1.6))
			b.scale.Clear()
			b.run(b.between(0.2, 1.6))
			b.scale.Put(2.27, simscale.Gentle)
			b.run(5)
			swaps++
			switch e := b.shown; {
			case e.Phase != mass.PhaseSettled || e.Mean < 0:
				t.Fatalf("scale %d: a coin of 2.27 g rests, and is %+v", seed, e)
			case math.Abs(float64(e.Mean)-2.27) > 0.03:
				wrong++
				t.Logf("scale %d: a coin of 2.27 g is %+v", seed, e)
			}
			b.scale.Clear()
			b.run(4)
			if b.shown.Phase != mass.PhaseEmpty {
				t.Fatalf("scale %d: the empty pan is %+v", seed, b.shown)
			}
		}
	}
	t.Logf("%d of %d weighed wrong", wrong, swaps)
	if wrong > swaps/100 {
		t.Errorf("%d of %d coins weighed wrong after a swap", wrong, swaps)
	}
}

// TestSwappedForItsLike: a finger presses before it lifts a coin, and one that weighs
// as much comes 0.3 s later. A knock would swing to both sides by as much.
func TestSwappedForItsLike(t *testing.T) {
	for _, presses := range []float64{0.5, 1.5, 4} {
		for _, average := range []int{1, 2, 4} {
			t.Run(fmt.Sprintf("%v g, average of %d", presses, average), func(t *testing.T) {
				p := scaleOf(t, hundredth, 10, average, 1, 8)
				for range 3 {
					p.shows(3.11, 3).shows(0, 3)
				}
				p.shows(3.11, 3).settled(3.11, 4)
				p.shows(3.11+presses, 0.1).shows(0, 0.3).shows(3.11, 3).settled(3.11, 5)
			})
		}
	}
}
