package mat_test

import (
	"math"
	"math/rand/v2"
	"os"
	"sync"
	"testing"
	"time"

	"panside/internal/mat"
	"panside/internal/picture"
	"panside/internal/simcoin"
)

// struck are heads and tails of one coin, new and worn.
var struck = sync.OnceValue(func() (faces [2][2]*simcoin.Face) {
	for side, d := range [2]simcoin.Design{simcoin.Obverse(19, 3), simcoin.Reverse(19, 3)} {
		for k, wear := range []float64{0.1, 0.5} {
			faces[side][k] = d.Strike(14)
			faces[side][k].Wear(wear)
		}
	}
	return faces
})

var (
	classes = [4]string{"red", "brown", "white", "grey"}
	metals  = [4]simcoin.Metal{simcoin.RedCopper, simcoin.Brown, simcoin.White, simcoin.Grey}
	sides   = [2]string{"heads", "tails"}
)

// laid is a mat with what is true of each coin.
type laid struct {
	shot        simcoin.Shot
	photo       picture.Colors
	class, side []int
}

// spread lays n coins on a mat, a third of them touching another.
func spread(seed uint64, n, width, height int) laid {
	r := rand.New(rand.NewPCG(seed, 0x3a7))
	in := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	const d = 19.05
	px := math.Sqrt(float64(width*height)/float64(n)/3) / d // a third of the mat is coins
	s := simcoin.Scene{
		Ground: []simcoin.Ground{simcoin.Paper, simcoin.Wood, simcoin.Cloth, simcoin.Dark}[r.IntN(4)],
		Camera: simcoin.Camera{
			Width: width, Height: height, PxPerMM: px, Distance: 400, Tilt: in(0, 4), TiltTo: in(0, 360),
			Blur: in(0.6, 1.2), Noise: in(0.004, 0.015),
		},
		Lamps:   []simcoin.Lamp{{From: in(0, 360), Up: in(35, 65), Strength: in(0.5, 0.8), Near: in(500, 2000)}},
		Ambient: 0.3, Seed: seed, Clutter: 0.1 * r.Float64(),
	}
	var l laid
	reachX, reachY := float64(width)/px/2-d*0.6, float64(height)/px/2-d*0.6
	for len(s.Coins) < n {
		p := simcoin.Placed{X: in(-reachX, reachX), Y: in(-reachY, reachY), Turn: in(0, 360)}
		if k := len(s.Coins); k > 0 && r.IntN(3) == 0 {
			o := s.Coins[r.IntN(k)]
			sin, cos := math.Sincos(in(0, 2*math.Pi))
			p.X, p.Y = o.X+d*1.001*cos, o.Y+d*1.001*sin
		}
		fits := math.Abs(p.X) < reachX && math.Abs(p.Y) < reachY
		for _, o := range s.Coins {
			fits = fits && math.Hypot(p.X-o.X, p.Y-o.Y) >= d
		}
		if !fits {
			continue
		}
		class, side := r.IntN(4), r.IntN(2)
		if k := len(s.Coins); k < 8 {
			class, side = k%4, k/4 // each is there to be taught
		}
		m := metals[class]
		m.Gloss = in(0.1, 0.5)
		p.Coin = simcoin.Coin{
			Diameter: d, Thickness: 1.5, Face: struck()[side][r.IntN(2)], Metal: m,
			Tone: in(0, 0.8), Dirt: math.Max(0, in(-0.5, 0.5)), Seed: r.Uint64(),
		}
		s.Coins = append(s.Coins, p)
		l.class, l.side = append(l.class, class), append(l.side, side)
	}
	l.shot = s.Render()
	l.photo, _ = picture.ShrunkColors(l.shot.Pix, width, height, 1)
	return l
}

// truthOf is which coin was found, by what is true, and -1 for none.
func (l laid) truthOf(c mat.Coin) int {
	for k, t := range l.shot.Coins {
		if math.Hypot(c.X-t.Edge.X, c.Y-t.Edge.Y) < 0.15*t.Edge.A {
			return k
		}
	}
	return -1
}

// taught are the first coins: one of each class, and two of each side.
func (l laid) taught() (out []mat.Taught) {
	for k := range 8 {
		t := mat.Taught{X: l.shot.Coins[k].Edge.X + 3, Y: l.shot.Coins[k].Edge.Y - 2}
		if k < 4 {
			t.Class = classes[l.class[k]]
		}
		if k%4 < 2 {
			t.Side = sides[l.side[k]]
		}
		out = append(out, t)
	}
	return out
}

// TestFirstWorld finds, counts and tells apart the coins of whole mats. The default run takes one mat
// of half as many, at the same size of a coin.
func TestFirstWorld(t *testing.T) {
	mats, n, width, height := 1, 24, 1400, 1030
	if os.Getenv("PANSIDE_LONG") != "" {
		mats, n, width, height = 6, 50, 2000, 1500
	}
	var found, falsely, right, wrong, unsure, sideRight, sideWrong, sideUnsure int
	for seed := range uint64(mats) {
		l := spread(seed, n, width, height)
		coins, why := mat.Find(l.photo, 0, nil)
		if why != "" {
			t.Fatalf("mat %d: %q", seed, why)
		}
		taught := l.taught()
		if why := mat.Colors(l.photo, coins, taught); why != "" {
			t.Fatalf("mat %d: colors: %q", seed, why)
		}
		if why := mat.Sides(l.photo, coins, taught, nil); why != "" {
			t.Fatalf("mat %d: sides: %q", seed, why)
		}
		seen := map[int]bool{}
		for i, c := range coins {
			if c.Number != i+1 {
				t.Fatalf("coin %d has number %d", i, c.Number)
			}
			k := l.truthOf(c)
			if k < 0 || seen[k] {
				falsely++
				continue
			}
			seen[k] = true
			found++
			if k >= 4 {
				switch c.Class {
				case classes[l.class[k]]:
					right++
				case "":
					unsure++
				default:
					wrong++
				}
			}
			if k >= 8 || k%4 >= 2 {
				switch c.Side {
				case sides[l.side[k]]:
					sideRight++
				case "":
					sideUnsure++
				default:
					sideWrong++
				}
			}
		}
	}
	t.Logf("%d of %d found, %d false; colors %d right, %d wrong, %d unsure; sides %d right, %d wrong, %d unsure",
		found, mats*n, falsely, right, wrong, unsure, sideRight, sideWrong, sideUnsure)
	if found < mats*n || falsely > 0 {
		t.Errorf("%d of %d found, %d false", found, mats*n, falsely)
	}
	if wrong > 0 || unsure > mats*n/10 {
		t.Errorf("colors: %d wrong, %d unsure", wrong, unsure)
	}
	// Half as many coins hand less on.
	if sideWrong > mats || sideUnsure > mats*n/4 {
		t.Errorf("sides: %d wrong, %d unsure", sideWrong, sideUnsure)
	}
}

// A known radius finds the same coins.
func TestKnownRadius(t *testing.T) {
	l := spread(3, 9, 640, 480)
	a, why := mat.Find(l.photo, 0, nil)
	if why != "" || len(a) != 9 {
		t.Fatalf("%q, %d coins", why, len(a))
	}
	b, why := mat.Find(l.photo, l.shot.Coins[0].Edge.A, nil)
	if why != "" || len(b) != len(a) {
		t.Fatalf("%q, %d coins with a known radius", why, len(b))
	}
	for i := range a {
		if math.Hypot(a[i].X-b[i].X, a[i].Y-b[i].Y) > 3 {
			t.Errorf("coin %d at %v, %v, with a known radius at %v, %v", i, a[i].X, a[i].Y, b[i].X, b[i].Y)
		}
	}
	// Cut out, a coin fills its square; beyond the edge lies the table.
	cut, why := a[0].Cut(l.photo, 64)
	if why != "" || cut.Red.W != 64 {
		t.Errorf("%q, %d pixels", why, cut.Red.W)
	}
	// Told once at each step, and stopped at any.
	var told []float64
	mat.Find(l.photo, 0, func(done float64) bool { told = append(told, done); return true })
	for stop := range told {
		k := -1
		if _, why := mat.Find(l.photo, 0, func(float64) bool { k++; return k < stop }); why != mat.Stopped {
			t.Errorf("stopped at step %d: %q", stop, why)
		}
	}
	if why := mat.Sides(l.photo, a, l.taught(), func(float64) bool { return false }); why != mat.Stopped {
		t.Errorf("sides, stopped: %q", why)
	}
}

func TestNothingToCount(t *testing.T) {
	l := spread(1, 9, 640, 480)
	l.shot.Coins = nil
	s := simcoin.Scene{Ground: simcoin.Wood, Camera: simcoin.Camera{Width: 640, Height: 480, PxPerMM: 5, Blur: 0.8, Noise: 0.01},
		Lamps: []simcoin.Lamp{{From: 90, Up: 50, Strength: 0.7}}, Ambient: 0.3, Seed: 4}
	shot := s.Render()
	empty, _ := picture.ShrunkColors(shot.Pix, 640, 480, 1)
	if coins, why := mat.Find(empty, 0, nil); why != mat.None {
		t.Errorf("an empty table: %q, %d coins", why, len(coins))
	}
	tiny, _ := picture.ShrunkColors(shot.Pix, 640, 480, 4)
	if _, why := mat.Find(tiny, 0, nil); why != mat.Small {
		t.Errorf("a tiny picture: %q", why)
	}
	coins := []mat.Coin{{X: 50, Y: 50, Radius: 20}}
	away := []mat.Taught{{X: 300, Y: 300, Class: "red"}}
	if why := mat.Colors(l.photo, coins, away); why != mat.NotThere {
		t.Errorf("colors taught beside a coin: %q", why)
	}
	if why := mat.Sides(l.photo, coins, away, nil); why != mat.NotThere {
		t.Errorf("sides taught beside a coin: %q", why)
	}
}

func TestWish(t *testing.T) {
	w := mat.Wish{Classes: []string{"grey"}, Side: "heads"}
	for want, c := range map[mat.Act]mat.Coin{
		mat.PickUp: {Class: "grey", Side: "tails"},
		mat.Look:   {Side: "heads"},
		mat.Turn:   {Class: "red", Side: "tails"},
		mat.Leave:  {Class: "red", Side: "heads"},
	} {
		if got := w.For(c); got != want {
			t.Errorf("%+v: %q, want %q", c, got, want)
		}
	}
	if got := w.For(mat.Coin{Class: "red"}); got != mat.Look {
		t.Errorf("an unsure side: %q", got)
	}
	if got := (mat.Wish{}).For(mat.Coin{}); got != mat.Leave {
		t.Errorf("no wish: %q", got)
	}
}

// BenchmarkFifty reads a mat of fifty in a photo of twelve megapixels, bytes to acts, and prints the
// time as a multiple of that of shrinking the photo alone.
func BenchmarkFifty(b *testing.B) {
	l := spread(2, 50, 2000, 1500)
	photo := l.shot.Enlarged(2)
	shrink := func() picture.Colors {
		c, ok := picture.ShrunkColors(photo.Pix, photo.Width, photo.Height, 2)
		if !ok {
			b.Fatal("no picture")
		}
		return c
	}
	const turns = 3
	from := time.Now()
	for range turns {
		shrink()
	}
	base := time.Since(from) / turns
	for b.Loop() {
		half := shrink()
		coins, why := mat.Find(half, 0, nil)
		if why != "" || len(coins) != 50 {
			b.Fatal(why, len(coins))
		}
		if mat.Colors(half, coins, l.taught()) != "" || mat.Sides(half, coins, l.taught(), nil) != "" {
			b.Fatal("not told apart")
		}
	}
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(base), "x-shrinking")
}
