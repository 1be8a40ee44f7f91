package figures

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"panside/internal/othercoin"
	"panside/internal/picture"
	"panside/internal/relief"
)

// lampsOff is how far a lamp that is moved by hand stands off its side: 7 degrees.
const lampsOff = 7 * math.Pi / 180

// reliefBench photographs coins by a lamp at four sides, and makes reliefs of them.
type reliefBench struct {
	t       testing.TB
	r       *rand.Rand
	across  float64 // of a coin, pixels
	made    int
	refused map[relief.Why]int
	apart   []float64 // pixels, of the frame that lies the farthest from where it should
	alike   []float64 // correlation of slopes with the true ones
}

func newReliefBench(t testing.TB, r *rand.Rand, across float64) *reliefBench {
	return &reliefBench{t: t, r: r, across: across, refused: map[relief.Why]int{}}
}

// relief is a coin's shape as the second look makes it; it knows where the lamp was asked to stand,
// and takes it to stand at 30 degrees. The camera trembles by so many pixels between the frames.
func (b *reliefBench) relief(c *othercoin.Coin, tremor float64) (relief.Relief, bool) {
	var frames []relief.Frame
	var first *othercoin.Shot
	var slips [][2]float64
	var on relief.Disc
	for i, s := range othercoin.Sided(c, 4, b.across, lampsOff, b.r.Uint64()) {
		s.Camera.ShiftX, s.Camera.ShiftY = tremor*(2*b.r.Float64()-1), tremor*(2*b.r.Float64()-1)
		slips = append(slips, [2]float64{s.Camera.ShiftX, s.Camera.ShiftY})
		shot := shoot(b.t, s)
		size := shot.Picture.Rect.Size()
		p, _ := picture.FromRGBA(shot.Picture.Pix, size.X, size.Y)
		frames = append(frames, relief.Frame{Picture: p, Lamp: relief.Lamp{Side: -s.Asked * 180 / math.Pi, Up: 30}})
		if i == 0 {
			first = shot
			on = relief.Disc{X: shot.Edge.X, Y: shot.Edge.Y, R: shot.Edge.Long * (1 + 0.0025*b.r.NormFloat64())}
		}
	}
	r, why := relief.Of(frames, on, nil)
	if why != "" {
		b.refused[why]++
		return r, false
	}
	b.made++
	worst := 0.0
	for i, s := range r.Slip {
		worst = max(worst, math.Hypot(s.X-(slips[i][0]-slips[0][0]), s.Y-(slips[i][1]-slips[0][1])))
	}
	b.apart = append(b.apart, worst)
	b.alike = append(b.alike, sameShape(c, first, r))
	return r, true
}

// sameShape is the correlation of a relief's slopes with those of the coin, both of them, within 0.8 of
// the radius.
func sameShape(c *othercoin.Coin, first *othercoin.Shot, r relief.Relief) float64 {
	var ab, aa, bb float64
	step, radius := c.Diameter/300, 0.4*c.Diameter
	for y := -radius; y < radius; y += step {
		for x := -radius; x < radius; x += step {
			if math.Hypot(x, y) > radius {
				continue
			}
			u, v := first.Pixel(x, y)
			right, down := c.Slopes(x, y)
			sx, sy := float64(r.Right.Sample(u, v)), float64(r.Down.Sample(u, v))
			ab += right*sx + down*sy
			aa += right*right + down*down
			bb += sx*sx + sy*sy
		}
	}
	return ab / math.Sqrt(aa*bb+1e-30)
}

func (b *reliefBench) String() string {
	slices.Sort(b.apart)
	slices.Sort(b.alike)
	if b.made == 0 {
		return fmt.Sprintf("none made, refused: %v", b.refused)
	}
	return fmt.Sprintf("%d made, refused: %v; farthest frame off median %.2f px, most %.2f; slopes like the true ones: median %.2f, least %.2f",
		b.made, b.refused, b.apart[b.made/2], b.apart[b.made-1], b.alike[b.made/2], b.alike[0])
}

// silent counts the reliefs whose frames lie farther apart than allowed.
func (b *reliefBench) silent() int {
	n := 0
	for _, off := range b.apart {
		if off > 0.7 {
			n++
		}
	}
	return n
}

// TestOtherCoinReliefs judges reliefs in the second world of package othercoin: metal, four frames by a
// lamp that is moved by hand and stands up to seven degrees off, a camera on a stand and one in
// a hand. The goal is frames laid over each other within 0.7 px, or refused. PANSIDE_LONG takes 12 coins
// of each metal instead of one, PANSIDE_SEED others.
func TestOtherCoinReliefs(t *testing.T) {
	if raceEnabled {
		t.Skip("a renderer of pictures; the test command runs it apart")
	}
	many, across := 1, 360.0
	long := os.Getenv("PANSIDE_LONG") != ""
	if long {
		many, across = 12, 600
	}
	seed := otherSeed(t, 1)
	r := rand.New(rand.NewPCG(seed, 0x72656c69))
	bright, brown, hand := newReliefBench(t, r, across), newReliefBench(t, r, across), newReliefBench(t, r, across)
	for range many {
		d := othercoin.NewDesign(r.Uint64(), othercoin.Diameters[r.IntN(len(othercoin.Diameters))])
		bright.relief(d.Strike(d.Obverse, d.Reverse, othercoin.Nickel, othercoin.Found(r), r), 0.35)
		c := d.Strike(d.Obverse, d.Reverse, othercoin.Brown, othercoin.Found(r), r)
		brown.relief(c, 0.35)
		if long {
			hand.relief(c, 3)
		}
	}
	t.Logf("simulated, from seed %d\nbright, on a stand: %s\nbrown, on a stand: %s\nbrown, in a hand: %s", seed, bright, brown, hand)
	made, silent := bright.made+brown.made+hand.made, bright.silent()+brown.silent()+hand.silent()
	if silent > 0 {
		t.Errorf("%d of %d reliefs are of frames that lie more than 0.7 px apart", silent, made)
	}
	if still := bright.made + brown.made; long && still < many {
		t.Errorf("%d of %d reliefs on a stand were made, half is the least", still, 2*many)
	}
}
