package figures

import (
	"os"
	"strconv"
	"testing"

	"panside/internal/settle"
)

// perScale is how many coins are laid on one scale.
const perScale = 25

// playOther plays so many coins in the second world, each scale with the next
// seed.
func playOther(coins int, seed uint64, s *otherScore, make func() follower) {
	for done := 0; done < coins; done += perScale {
		t := newTable(seed, make(), s)
		t.sit(perScale)
		seed++
	}
}

func newTracker() follower { return settle.New(settle.Properties{}) }

// TestOtherWorldLong judges the tracker in the second world; PANSIDE_LONG plays
// 10,000 placements, PANSIDE_SEED others.
func TestOtherWorldLong(t *testing.T) {
	coins, seed := 400, uint64(1)
	if os.Getenv("PANSIDE_LONG") != "" {
		coins, seed = 11_000, 100_000
	}
	if text := os.Getenv("PANSIDE_SEED"); text != "" {
		var err error
		if seed, err = strconv.ParseUint(text, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	s := newOtherScore()
	if os.Getenv("PANSIDE_SHOW") != "" {
		s.tell = func(line string) { t.Log(line) }
	}
	playOther(coins, seed, s, newTracker)
	t.Logf("simulated, from seed %d\n%s", seed, s)
}
