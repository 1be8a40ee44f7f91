package settle_test

import (
	"math"
	"slices"
	"testing"

	"panside/internal/mass"
	"panside/internal/settle"
	"panside/internal/simscale"
)

// The two cents of the stand-in verdict, g.
const (
	bronze = 3.11
	zinc   = 2.5
)

// alloy stands in for the verdict, of which this package knows nothing: bronze
// or zinc once it is a thousand times likelier than the other and than a broad
// background of anything up to 50 g; else "". A coin that may be half put down must be
// ten thousand times likelier than parts of the other and of anything: from a tenth of a
// coin to twice it, all alike.
func alloy(e mass.Estimate) string {
	y, u := float64(e.Mean), float64(e.U)
	if e.Half > 0 {
		u = float64(e.WholeU)
	}
	whole := func(m float64) float64 {
		sd := math.Hypot(0.03, u)
		z := (y - m) / sd
		return 0.45 * math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
	}
	half := func(m float64) float64 {
		if y < 0.1*m || y > 2*m {
			return 0
		}
		return 0.45 / (1.9 * m)
	}
	b, z, other := whole(bronze), whole(zinc), 0.1/50
	stands := func(x, others float64) bool {
		return x > 0.999*(b+z+other) && (1-e.Half)*x > 10_000*e.Half*(others+0.1/y)
	}
	switch {
	case stands(b, half(zinc)):
		return "bronze"
	case stands(z, half(bronze)):
		return "zinc"
	}
	return ""
}

// board is the score of the verdict's speed.
type board struct {
	placements, right, wrong, none, misnumbered int
	ratios                                      []float64 // verdict's time over the stable sign's
	verdicts                                    []float64 // s
	stables                                     []float64 // s
}

func (s *board) play(cfg simscale.Config, props settle.Properties, n int) {
	b := newTable(cfg, props)
	for range n {
		p := b.play(b.draw())
		s.placements++
		if !p.rightNumbers() {
			s.misnumbered++
		}
		for _, c := range p.coins {
			if c.grams == bronze || c.grams == zinc {
				s.judge(c)
			}
		}
	}
}

func (s *board) judge(c *playedCoin) {
	truth := "zinc"
	if c.grams == bronze {
		truth = "bronze"
	}
	for _, g := range c.seen {
		switch said := alloy(g.Estimate); {
		case said == "" || !g.numbered:
			continue
		case said != truth:
			s.wrong++
		default:
			s.right++
			if c.stable > 0 {
				s.ratios = append(s.ratios, g.since/c.stable)
				s.verdicts = append(s.verdicts, g.since)
				s.stables = append(s.stables, c.stable)
			}
		}
		return
	}
	s.none++
}

func median(xs []float64) float64 {
	xs = slices.Sorted(slices.Values(xs))
	return xs[len(xs)/2]
}

// evening is the virtual scale, another copy for each seed.
func evening(seed uint64) (simscale.Config, settle.Properties) {
	cfg := simscale.DefaultConfig()
	cfg.Seed = seed
	cfg.AutoOff = 0
	return cfg, settle.Properties{}
}

// TestVerdictBeforeTheStableSign holds the goal on the board on the virtual
// scale: the median time to a right verdict is at most 0.35 of the time to the
// scale's own stable sign, and none is wrong.
func TestVerdictBeforeTheStableSign(t *testing.T) {
	var s board
	scales := 6
	if slow {
		scales = 2
	}
	for seed := range scales {
		cfg, props := evening(uint64(30_000 + seed))
		s.play(cfg, props, 50)
	}
	t.Logf("%d placements: %d right, %d wrong, %d without verdict; median %.2f s against %.2f s, ratio %.3f",
		s.placements, s.right, s.wrong, s.none, median(s.verdicts), median(s.stables), median(s.ratios))
	if s.wrong > 0 {
		t.Errorf("%d wrong verdicts", s.wrong)
	}
	if r := median(s.ratios); r > 0.35 {
		t.Errorf("the verdict takes %.3f of the time to the stable sign", r)
	}
	if s.none > s.right/20 {
		t.Errorf("%d of %d coins got no verdict", s.none, s.none+s.right)
	}
}

// BenchmarkVerdict prints the board's goal: the verdict's time as a part of the
// scale's own stable time, measured on the same placements, and how many
// verdicts were wrong. PANSIDE_LONG plays 10 000 placements on each kind of
// scale.
func BenchmarkVerdict(b *testing.B) {
	for _, kind := range []struct {
		name string
		draw func(uint64) (simscale.Config, settle.Properties)
	}{{"virtual scale", evening}, {"all kinds of scales", variety}} {
		b.Run(kind.name, func(b *testing.B) {
			scales := 12
			if long {
				scales = 200
			}
			for b.Loop() {
				var s board
				for seed := range scales {
					cfg, props := kind.draw(uint64(20_000 + seed))
					s.play(cfg, props, 50)
				}
				b.ReportMetric(median(s.ratios), "verdict/stable")
				b.ReportMetric(float64(s.wrong), "wrong")
				b.ReportMetric(float64(s.placements), "placements")
				b.ReportMetric(float64(s.none), "without-verdict")
				b.ReportMetric(float64(s.misnumbered), "misnumbered")
			}
		})
	}
}

// BenchmarkFeed compares one reading through the tracker, while a load settles
// on a scale it has learnt, with just taking the reading's value.
func BenchmarkFeed(b *testing.B) {
	cfg, props := evening(1)
	t := newTable(cfg, props)
	for range 10 {
		t.play("gentle")
	}
	var lines []mass.Reading
	t.scale.Put(bronze, simscale.Gentle)
	for range 40 {
		t.scale.Step(100 * 1e6)
		t.at = t.at.Add(100 * 1e6)
		lines = append(lines, reading(t.scale, t.at))
	}
	shift := lines[len(lines)-1].At.Sub(lines[0].At) + 100*1e6
	n := 0
	for b.Loop() {
		for i := range lines {
			t.tracker.Feed(lines[i])
			lines[i].At = lines[i].At.Add(shift)
		}
		n += len(lines)
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "readings/s")
}
