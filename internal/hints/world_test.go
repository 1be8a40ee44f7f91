package hints_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"panside/internal/hints"
	"panside/internal/picture"
	"panside/internal/relief"
	"panside/internal/simcoin"
)

func long() bool { return os.Getenv("PANSIDE_LONG") != "" }

// size of the photos, px. The coin is 24 mm, so that a pixel is 0.04 mm; a phone's are finer.
const size = 640

var words = []string{"HOMESTEAD", "ORCHARD", "QUIET HARBOR", "MAPLE VALLEY", "FIRST SNOW", "RIVERBEND"}

// obverse is a type of coin: words at other places on each.
func obverse(kind uint64) simcoin.Design {
	d := simcoin.Obverse(24, kind)
	r := rand.New(rand.NewPCG(kind, 5))
	d.Words[0].Text = words[r.IntN(len(words))]
	d.Words[0].At += 10 * r.NormFloat64()
	d.Words[1].At += 10 * r.NormFloat64()
	return d
}

// coin strikes a design and lets it go through hands.
func coin(d simcoin.Design, seed uint64, change func(f *simcoin.Face)) simcoin.Stand {
	r := rand.New(rand.NewPCG(seed, 41))
	f := d.Strike(size / 24.)
	if change != nil {
		change(f)
	}
	f.Wear(0.35 * r.Float64())
	f.Scratch(25, r)
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: f, Dirt: 0.3 * r.Float64(), Tone: 0.6 * r.Float64(), Seed: seed,
		Metal: []simcoin.Metal{simcoin.White, simcoin.Brown, simcoin.RedCopper, simcoin.Grey}[r.IntN(4)]}
	return simcoin.Stand{Coin: c, Size: size, Share: 0.94, Turn: 8 * r.NormFloat64(), Blur: 0.7 + 0.3*r.Float64(), Noise: 0.008, Ambient: 0.2}
}

// reliefOf photographs with four lamps, each up to 7 degrees from where it is said to be, and lets
// the camera slip by a pixel or two.
func reliefOf(t *testing.T, s simcoin.Stand) relief.Relief {
	t.Helper()
	r := rand.New(rand.NewPCG(s.Seed, 43))
	up := 25 + 15*r.Float64()
	var frames []relief.Frame
	for k := range 4 {
		st := s
		st.OffX, st.OffY = 1.5*r.NormFloat64(), 1.5*r.NormFloat64()
		side := 90*float64(k) + 15
		shot := st.Shoot(s.Seed*10+uint64(k), simcoin.Lamp{From: side + 14*r.Float64() - 7, Up: up + 4*r.NormFloat64(), Strength: 0.85})
		p, _ := picture.FromRGBA(shot.Pix, shot.Width, shot.Height)
		frames = append(frames, relief.Frame{Picture: p, Lamp: relief.Lamp{Side: side, Up: 32}})
	}
	x, y, rad := s.Truth()
	rel, why := relief.Of(frames, relief.Disc{X: x, Y: y, R: rad}, nil)
	if why != "" {
		t.Fatalf("no relief of coin %d: %s, apart %v, slips %v", s.Seed, why, rel.Apart, rel.Slip)
	}
	return rel
}

// doubled is a kind whose first word has a second image, so many mm off in some direction.
func doubled(kind uint64, mm float64) (d simcoin.Design, dx, dy float64) {
	d = obverse(kind)
	sn, c := math.Sincos(2 * math.Pi * rand.New(rand.NewPCG(kind, 3)).Float64())
	d.Words[0].DoubledX, d.Words[0].DoubledY = mm*c, mm*sn
	return d, mm * c, mm * sn
}

// lookAt asks what the bench's worker asks.
func lookAt(t *testing.T, a hints.Asked) hints.Looked {
	t.Helper()
	a.Diameter = 24
	got, why := hints.Look(a, nil)
	if why != "" {
		t.Errorf("coin not looked at: %s", why)
	}
	return got
}

// mm is where a mark lies from the coin's middle.
func mm(m hints.Mark, on relief.Disc) (x, y float64) {
	return (m.X - on.X) * 12 / on.R, (m.Y - on.Y) * 12 / on.R
}

// TestSecondImages: coins with a word doubled by 0.12 mm against ordinary ones, each against an
// ordinary coin of its kind.
func TestSecondImages(t *testing.T) {
	n := uint64(1)
	if long() {
		n = 24
	}
	false1, placed, right := 0, 0, 0
	var ordinary, doubledCoins []float64
	for kind := range n {
		d, dx, dy := doubled(kind, 0.12)
		ref := reliefOf(t, coin(obverse(kind), 1000+kind, nil))
		plain, mine := reliefOf(t, coin(obverse(kind), 2000+kind, nil)), reliefOf(t, coin(d, 3000+kind, nil))
		got := lookAt(t, hints.Asked{Mine: plain, Ordinary: &ref})
		ordinary = append(ordinary, got.Scores[hints.SecondImage])
		if clearest(got.Marks, hints.SecondImage) != nil {
			false1++
		}
		got = lookAt(t, hints.Asked{Mine: mine, Ordinary: &ref})
		doubledCoins = append(doubledCoins, got.Scores[hints.SecondImage])
		if m := clearest(got.Marks, hints.SecondImage); m != nil {
			x, y := mm(*m, mine.On)
			wx, wy := d.Words[0].Middle()
			if math.Hypot(x-wx, y-wy) < 6 && math.Hypot(x, y) > 6 {
				placed++
			}
			if m.ShiftX*dx+m.ShiftY*dy > 0.7*0.12*math.Hypot(m.ShiftX, m.ShiftY) {
				right++
			}
		}
	}
	slices.Sort(ordinary)
	slices.Sort(doubledCoins)
	t.Logf("0.12 mm: marked first on its word %d of %d, %d with its direction; %d of %d ordinary coins marked; ordinary up to %.4f, doubled from %.4f",
		placed, n, right, false1, n, ordinary[n-1], doubledCoins[0])
	if 100*placed < 95*int(n) {
		t.Errorf("found %d of %d", placed, n)
	}
	if 20*false1 > int(n) {
		t.Errorf("%d of %d ordinary coins are marked", false1, n)
	}
}

// clearest is the clearest mark of a kind, nil for none.
func clearest(marks []hints.Mark, kind hints.Kind) *hints.Mark {
	for _, m := range marks {
		if m.Kind == kind {
			return &m
		}
	}
	return nil
}

// TestClashes: the reverse, mirrored, 4 µm deep in the obverse's field, at some turn, against coins
// without. Only the coin's own two sides are looked at.
func TestClashes(t *testing.T) {
	n := uint64(2)
	if long() {
		n = 30
	}
	found, none := 0, 0
	most, least := 0.0, math.Inf(1)
	for kind := range n {
		turn := 20 * rand.New(rand.NewPCG(kind, 13)).NormFloat64()
		behind := coin(simcoin.Reverse(24, kind), 4000+kind, nil)
		plain, clashed := coin(obverse(kind), 2000+kind, nil), coin(obverse(kind), 5000+kind, func(f *simcoin.Face) {
			f.Clash(simcoin.Reverse(24, kind).Strike(1/f.Step), 0.004, turn)
		})
		rev := reliefOf(t, behind)
		a := lookAt(t, hints.Asked{Mine: reliefOf(t, plain), Other: &rev})
		b := lookAt(t, hints.Asked{Mine: reliefOf(t, clashed), Other: &rev})
		most, least = math.Max(most, a.Scores[hints.OtherSide]), math.Min(least, b.Scores[hints.OtherSide])
		if len(a.Marks) > 0 {
			none++
		}
		// How the pictures themselves are turned comes on top, the mirrored one the other way.
		want := turn + clashed.Turn + behind.Turn
		if m := clearest(b.Marks, hints.OtherSide); m != nil {
			found++
			if off := math.Abs(math.Remainder(m.Degrees-want, 360)); off > 1.5 {
				t.Errorf("kind %d: turned by %.1f, want %.1f", kind, m.Degrees, want)
			}
		}
		if os.Getenv("PANSIDE_SHOW") != "" {
			t.Logf("after %d: found %d, false %d; clashed from %.2f, ordinary up to %.2f", kind+1, found, none, least, most)
		}
	}
	t.Logf("found %d of %d, false %d; clashed from %.1f, ordinary up to %.1f", found, n, none, least, most)
	if 30*found < 28*int(n) || none > 0 {
		t.Errorf("found %d of %d, false %d", found, n, none)
	}
}

// TestDifferences: a chip, and letters missing, are the first place told; an ordinary coin has none.
func TestDifferences(t *testing.T) {
	n := uint64(1)
	if long() {
		n = 16
	}
	for kind := range n {
		ref := reliefOf(t, coin(obverse(kind), 1000+kind, nil))
		missing := obverse(kind)
		missing.Words[1].Text = missing.Words[1].Text[:5] + "    "
		for name, c := range map[string]simcoin.Stand{
			"ordinary": coin(obverse(kind), 2000+kind, nil),
			"chip":     coin(obverse(kind), 6000+kind, func(f *simcoin.Face) { f.Raise(6, -3, 0.35, 0.05) }),
			"missing":  coin(missing, 7000+kind, nil),
		} {
			mine := reliefOf(t, c)
			got := lookAt(t, hints.Asked{Mine: mine, Ordinary: &ref})
			score, m := got.Scores[hints.Differs], clearest(got.Marks, hints.Differs)
			t.Logf("kind %d, %s: %.2f, %+v", kind, name, score, m)
			switch {
			case (name == "ordinary") != (m == nil):
				t.Errorf("kind %d, %s: %.2f, the bar is %.2f", kind, name, score, hints.Rendered.Differs)
			case name == "chip":
				// The picture is turned; how far off the middle the chip lies isn't.
				if x, y := mm(*m, mine.On); math.Abs(math.Hypot(x, y)-math.Hypot(6, 3)) > 0.6 {
					t.Errorf("kind %d: the chip is told at %.1f %.1f mm", kind, x, y)
				}
			}
		}
	}
}
