package figures

import (
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"panside/internal/dialect"
	"panside/internal/mass"
	"panside/internal/settle"
	"panside/internal/simscale"
	"panside/internal/verdict"
)

// The two usual cents. Masses: 31 U.S.C. 5112(a)(6) and the United States
// Mint's coin specifications.
const (
	bronzeGrams mass.Grams = 3.11
	zincGrams   mass.Grams = 2.5
)

// bench is a table with a simulated scale whose lines go through the decoder,
// the tracker and the judge, in simulated time.
type bench struct {
	scale   *simscale.Scale
	decoder *dialect.Decoder
	tracker *settle.Tracker
	rng     *rand.Rand
	now     time.Time

	coins  []*put // on the pan in this round, in the order they came
	before uint64 // the tracker's placement number when the round began
	glass  glass
	score  *score
}

// put is one coin put down.
type put struct {
	alloy          string
	at             time.Time
	stable, judged time.Duration // after at; 0 until it happened
	wrong          bool          // another alloy was named
}

// score is over all rounds.
type score struct {
	right, wrong, none int
	ratios             []float64
	judged, stable     []float64
}

func newBench(seed uint64, s *score) *bench {
	cfg := simscale.DefaultConfig()
	cfg.Seed, cfg.AutoOff = seed, 0
	b := &bench{
		scale: simscale.New(cfg), decoder: dialect.NewDecoder(dialect.Options{}), tracker: settle.New(settle.Properties{}),
		rng: rand.New(rand.NewPCG(seed, 42)), now: time.Unix(1_700_000_000, 0), score: s,
	}
	b.run(2 * time.Second)
	return b
}

// run lets time pass, feeding every line that the scale sends.
func (b *bench) run(d time.Duration) {
	const step = 5 * time.Millisecond
	for end := b.now.Add(d); b.now.Before(end); {
		b.now = b.now.Add(step)
		if b.scale.Step(step) == 0 {
			continue
		}
		for _, r := range b.decoder.Feed(b.scale.Line("status-comma"), b.now) {
			b.judge(b.tracker.Feed(r))
		}
	}
}

// judge asks about the estimate as the phone does, whether or not the load has
// its number yet, and keeps the score of what stands on the glass. A coin is
// named once its own alloy stands there, and wrong if another one ever does.
func (b *bench) judge(e mass.Estimate) {
	n := len(b.coins)
	if n > 0 && e.ScaleStable {
		if last := b.coins[n-1]; last.stable == 0 && b.now.Sub(last.at) > 300*time.Millisecond {
			last.stable = b.now.Sub(last.at)
		}
	}
	var said answer
	if e.HasLoad() {
		said = ask("cent", 0, e, e.Resolution)
	}
	shown := b.glass.offer(e, said, b.now)
	if n == 0 || shown.call != verdict.Ordinary {
		return
	}
	k := 0 // a load without a number yet is the one that comes on
	if e.Placement > b.before {
		k = int(e.Placement - b.before - 1)
	}
	if k >= n { // an alloy named for a coin that isn't there
		b.coins[n-1].wrong = true
		return
	}
	switch c := b.coins[k]; {
	case !strings.Contains(shown.alloy, c.alloy):
		c.wrong = true
	case c.judged == 0:
		c.judged = b.now.Sub(c.at)
	}
}

// round puts one coin down, or two after one another, in one of the ways hands do
// it, and clears the pan.
func (b *bench) round() {
	b.coins, b.before = nil, b.tracker.Estimate().Placement
	b.lay()
	switch p := b.rng.Float64(); {
	case p < 0.10: // somebody knocks against the table
		b.run(time.Duration(100+b.rng.IntN(900)) * time.Millisecond)
		b.scale.Bump()
	case p < 0.18: // a second coin on top of the first, soon after it has settled
		b.run(time.Duration(3000+b.rng.IntN(1000)) * time.Millisecond)
		b.lay()
	}
	b.run(6 * time.Second)
	for _, c := range b.coins {
		switch {
		case c.wrong:
			b.score.wrong++
		case c.judged == 0:
			b.score.none++
		default:
			b.score.right++
			if c.stable > 0 {
				b.score.judged = append(b.score.judged, c.judged.Seconds())
				b.score.stable = append(b.score.stable, c.stable.Seconds())
				b.score.ratios = append(b.score.ratios, c.judged.Seconds()/c.stable.Seconds())
			}
		}
	}
	b.coins = nil
	b.scale.Clear()
	b.run(4 * time.Second)
}

func (b *bench) lay() {
	grams, alloy := bronzeGrams, "bronze"
	if b.rng.IntN(2) == 0 {
		grams, alloy = zincGrams, "zinc"
	}
	how := simscale.Gentle
	switch p := b.rng.Float64(); {
	case p < 0.2:
		how = simscale.Dropped
	case p < 0.4:
		how = simscale.SlowHand
	}
	b.coins = append(b.coins, &put{alloy: alloy, at: b.now})
	b.scale.Put(grams, how)
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	x = slices.Sorted(slices.Values(x))
	return x[len(x)/2]
}

// play plays rounds on many scales.
func play(scales, rounds int) score {
	var s score
	for seed := range scales {
		b := newBench(uint64(seed+1), &s)
		for range rounds {
			b.round()
		}
	}
	return s
}

// TestVerdictIsRightAndEarlyLong is the short version of the goal; with
// PANSIDE_LONG it plays 10 000 rounds.
func TestVerdictIsRightAndEarlyLong(t *testing.T) {
	scales, rounds := 4, 25
	if os.Getenv("PANSIDE_LONG") != "" {
		scales, rounds = 200, 50
	}
	s := play(scales, rounds)
	t.Logf("%d right, %d wrong, %d without a verdict; median verdict %.2f s, stable sign %.2f s, ratio %.3f",
		s.right, s.wrong, s.none, median(s.judged), median(s.stable), median(s.ratios))
	if allowed := (s.right + s.wrong) / 10_000; s.wrong > allowed {
		t.Errorf("%d wrong verdicts of %d", s.wrong, s.right+s.wrong)
	}
	if r := median(s.ratios); !(r > 0 && r <= 0.35) {
		t.Errorf("the verdict takes %.3f of the time to the stable sign", r)
	}
	if s.none*10 > s.right {
		t.Errorf("%d coins of %d got no verdict", s.none, s.none+s.right+s.wrong)
	}
}

// BenchmarkVerdictBeforeStable prints the figures of the board: the verdict's
// time over the stable sign's on the same placements, and the wrong verdicts.
func BenchmarkVerdictBeforeStable(b *testing.B) {
	for b.Loop() {
		s := play(20, 25)
		b.ReportMetric(median(s.ratios), "verdict/stable")
		b.ReportMetric(float64(s.wrong), "wrong")
		b.ReportMetric(float64(s.right), "right")
		b.ReportMetric(float64(s.none), "without-verdict")
	}
}
