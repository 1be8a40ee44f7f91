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

// TestSecondImages: coins with a word doubled by 0.12 mm against ordinary ones, each against an
// ordinary coin of its kind. Over all of a coin, and for the word alone, which a hunter would tap.
func TestSecondImages(t *testing.T) {
	n := uint64(2)
	if long() {
		n = 24
	}
	bar := hints.Rendered.SecondImage
	found, false1, right := 0, 0, 0
	var ordinary, ordinaryWord, doubledWord []float64
	for kind := range n {
		d, dx, dy := doubled(kind, 0.12)
		ref := reliefOf(t, coin(obverse(kind), 1000+kind, nil))
		for _, c := range []struct {
			doubled bool
			rel     relief.Relief
		}{{false, reliefOf(t, coin(obverse(kind), 2000+kind, nil))}, {true, reliefOf(t, coin(d, 3000+kind, nil))}} {
			p, why := hints.Lay(c.rel, ref, 24, nil)
			if why != "" {
				t.Errorf("kind %d: %s", kind, why)
				continue
			}
			all, why := p.Seconds(nil)
			if why != "" {
				t.Errorf("kind %d: %s", kind, why)
				continue
			}
			word := bestOn(d.Words[0], all, p)
			switch {
			case !c.doubled:
				ordinary, ordinaryWord = append(ordinary, all[0].Score), append(ordinaryWord, word.Score)
				if all[0].Score > bar {
					false1++
				}
			default:
				doubledWord = append(doubledWord, word.Score)
				if word.Score > bar {
					found++
					if word.ShiftX*dx+word.ShiftY*dy > 0.7*0.12*math.Hypot(word.ShiftX, word.ShiftY) {
						right++
					}
				}
			}
		}
	}
	slices.Sort(ordinaryWord)
	slices.Sort(ordinary)
	slices.Sort(doubledWord)
	at2 := ordinaryWord[len(ordinaryWord)-1-len(ordinaryWord)/50]
	past := 0
	for _, s := range doubledWord {
		if s > at2 {
			past++
		}
	}
	t.Logf("0.12 mm: %d of %d found over the bar, %d with its direction; %d of %d ordinary coins over it; by the word alone %d of %d over the %.4f that 2%% of ordinary words pass",
		found, n, right, false1, n, past, n, at2)
	t.Logf("ordinary coins %.4f, doubled words %.4f", ordinary, doubledWord)
	if 100*past < 90*int(n) {
		t.Errorf("found %d of %d at 2%% false alarms a word", past, n)
	}
	if 20*false1 > int(n) {
		t.Errorf("%d of %d ordinary coins are over the bar", false1, n)
	}
}

// bestOn is the highest score within reach of a word's middle.
func bestOn(w simcoin.Word, all []hints.Second, p *hints.Pair) hints.Second {
	wx, wy := w.Middle()
	for _, s := range all {
		x, y := p.MM(s.X, s.Y)
		if math.Hypot(x-wx, y-wy) < 6 && math.Hypot(x, y) > 6 {
			return s // the highest comes first
		}
	}
	return hints.Second{Score: -1}
}

// TestClashes: the reverse, mirrored, 4 µm deep in the obverse's field, at some turn, against coins
// without. Only the coin's own two sides are looked at.
func TestClashes(t *testing.T) {
	n := uint64(3)
	if long() {
		n = 30
	}
	bar := hints.Rendered.OtherSide
	found, none := 0, 0
	most, least := 0.0, math.Inf(1)
	for kind := range n {
		turn := 20 * rand.New(rand.NewPCG(kind, 13)).NormFloat64()
		behind := coin(simcoin.Reverse(24, kind), 4000+kind, nil)
		plain, clashed := coin(obverse(kind), 2000+kind, nil), coin(obverse(kind), 5000+kind, func(f *simcoin.Face) {
			f.Clash(simcoin.Reverse(24, kind).Strike(1/f.Step), 0.004, turn)
		})
		rev := reliefOf(t, behind)
		a, why := hints.OtherSideOn(reliefOf(t, plain), rev, 24)
		if why != "" {
			t.Fatal(why)
		}
		b, _ := hints.OtherSideOn(reliefOf(t, clashed), rev, 24)
		most, least = math.Max(most, a.Score), math.Min(least, b.Score)
		if a.Score > bar {
			none++
		}
		// How the pictures themselves are turned comes on top, the mirrored one the other way.
		want := turn + clashed.Turn + behind.Turn
		if b.Score > bar && b.Sunk {
			found++
			if off := math.Abs(math.Remainder(b.Degrees-want, 360)); off > 1.5 {
				t.Errorf("kind %d: turned by %.1f, want %.1f", kind, b.Degrees, want)
			}
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
	bar := hints.Rendered.Differs
	for kind := range n {
		ref := reliefOf(t, coin(obverse(kind), 1000+kind, nil))
		missing := obverse(kind)
		missing.Words[1].Text = missing.Words[1].Text[:5] + "    "
		for name, c := range map[string]simcoin.Stand{
			"ordinary": coin(obverse(kind), 2000+kind, nil),
			"chip":     coin(obverse(kind), 6000+kind, func(f *simcoin.Face) { f.Raise(6, -3, 0.35, 0.05) }),
			"missing":  coin(missing, 7000+kind, nil),
		} {
			p, why := hints.Lay(reliefOf(t, c), ref, 24, nil)
			if why != "" {
				t.Errorf("kind %d, %s: %s", kind, name, why)
				continue
			}
			d, why := p.Differences()
			if why != "" {
				t.Errorf("kind %d, %s: %s", kind, name, why)
				continue
			}
			x, y := p.MM(d[0].X, d[0].Y)
			t.Logf("kind %d, %s: %.2f at %.1f %.1f mm", kind, name, d[0].Score, x, y)
			switch {
			case name == "ordinary" && d[0].Score > bar, name != "ordinary" && d[0].Score < bar:
				t.Errorf("kind %d, %s: %.2f, the bar is %.2f", kind, name, d[0].Score, bar)
			case name == "chip":
				// The picture is turned; how far off the middle the chip lies isn't.
				if math.Abs(math.Hypot(x, y)-math.Hypot(6, 3)) > 0.6 {
					t.Errorf("kind %d: the chip is told at %.1f %.1f mm", kind, x, y)
				}
			}
		}
	}
}
