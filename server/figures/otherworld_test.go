package figures

import (
	"os"
	"strconv"
	"testing"

	"panside/internal/settle"
)

// perScale is how many coins are laid on one scale.
const perScale = 12

// playOther plays so many coins in the second world, each scale with the next
// seed.
func playOther(coins int, seed uint64, s *otherScore, follow func() follower) {
	for s.coins() < coins {
		newTable(seed, follow(), s).sit(perScale)
		seed++
	}
}

func newTracker() follower { return settle.New(settle.Properties{}) }

// otherSeed is where the scales of a run begin; PANSIDE_SEED sets another, so
// that a judge may use what nobody has seen.
func otherSeed(t testing.TB, usual uint64) uint64 {
	text := os.Getenv("PANSIDE_SEED")
	if text == "" {
		return usual
	}
	seed, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return seed
}

// TestOtherWorldLong judges the tracker in the second world (package
// otherscale) and holds it to what it reached. The short run asks that little
// wrong is said; with PANSIDE_LONG it plays 10,000 coins that can be known. The
// goals are further: none broken, one wrong alloy, twenty miscounted and a hundred
// withheld in 10,000, a verdict within 0.35 and 0.40 of the time to the stable
// sign. DEVELOPERS.md says how far off they are. PANSIDE_SEED plays others. PANSIDE_SHOW lists what went wrong, for whoever works on this
// world; whoever tunes the tracker sees the table only, or its judge is lost.
func TestOtherWorldLong(t *testing.T) {
	long := os.Getenv("PANSIDE_LONG") != ""
	coins := 500
	if long {
		coins = 10_000
	}
	seed := otherSeed(t, 1)
	s := newOtherScore()
	s.pacing = long
	if os.Getenv("PANSIDE_SHOW") != "" {
		s.tell = func(line string) { t.Log(line) }
	}
	playOther(coins, seed, s, newTracker)
	part := func(n, short, long int) int { // so many in a thousand; few coins scatter more
		if coins < 10_000 {
			return n * short / 1000
		}
		return n * long / 1000
	}
	t.Logf("simulated, from seed %d\n%s", seed, s)

	all, apart := s.row("ordinary"), s.row("apart")
	if n := all.broken + apart.broken; n > part(all.coins, 80, 18) {
		t.Errorf("%d settled weights against the display or the truth", n)
	}
	// Two at once can't be told apart, but no alloy may be named for their sum.
	if wrong := all.wrong + s.row("two at once").wrong; wrong > part(all.coins, 35, 3) {
		t.Errorf("%d wrong alloys of %d", wrong, all.coins)
	}
	if !long {
		return
	}
	if n := all.missed + all.doubled; n*1000 > 15*all.coins {
		t.Errorf("%d missed and %d doubled of %d", all.missed, all.doubled, all.coins)
	}
	if all.withheld*100 > 7*all.coins {
		t.Errorf("%d withheld of %d", all.withheld, all.coins)
	}
	if r := median(s.clean); !(r <= 0.8) {
		t.Errorf("without hands and slow filters the verdict takes %.3f of the time to the stable sign", r)
	}
	if r := median(all.ratios); !(r <= 0.77) {
		t.Errorf("with hands and slow filters among them the verdict takes %.3f of the time to the stable sign", r)
	}
	for places := 1; places <= 3; places++ {
		if share := s.coverage(places, len(ages)); share < 0.95 {
			t.Errorf("at rest %.3f of the intervals hold with %d decimals", share, places)
		}
	}
}

// BenchmarkOtherWorld prints the figures of the board, simulated.
func BenchmarkOtherWorld(b *testing.B) {
	seed := otherSeed(b, 50_000)
	for b.Loop() {
		s := newOtherScore()
		playOther(1500, seed, s, newTracker)
		all := s.row("ordinary")
		b.ReportMetric(median(s.clean), "clean-verdict/stable")
		b.ReportMetric(median(s.hands), "hands-verdict/stable")
		b.ReportMetric(float64(all.broken+s.row("apart").broken), "broken")
		b.ReportMetric(float64(all.wrong), "wrong")
		b.ReportMetric(float64(all.missed), "missed")
		b.ReportMetric(float64(all.doubled), "doubled")
		b.ReportMetric(share(all.withheld, all.coins), "withheld-share")
		b.ReportMetric(s.held95(func(age int) bool { return age < len(ages) }), "moving-coverage")
		b.ReportMetric(s.held95(func(age int) bool { return age == len(ages) }), "settled-coverage")
		b.ReportMetric(s.fedMinute(), "fed-coins/min")
	}
}
