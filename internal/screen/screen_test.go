package screen_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/fourier"
	"panside/internal/picture"
	"panside/internal/screen"
	"panside/internal/simcoin"
)

// photo renders a coin of some 270 px radius with all that makes a real one uneven.
func photo(seed uint64) (picture.Picture, simcoin.Ellipse) {
	grounds := []simcoin.Ground{simcoin.Paper, simcoin.Wood, simcoin.Cloth, simcoin.Dark}
	metals := []simcoin.Metal{simcoin.RedCopper, simcoin.Brown, simcoin.White, simcoin.Grey}
	d := simcoin.Obverse(24, seed)
	if seed%2 == 1 {
		d = simcoin.Reverse(24, seed)
	}
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: d.Strike(20), Metal: metals[seed%4], Dirt: 0.4, Tone: 0.6, Seed: seed}
	s := simcoin.Simple(c, 580, 0.92, seed)
	s.Ground, s.Coins[0].Turn = grounds[seed/2%4], float64(37*seed)
	shot := s.Render()
	p, _ := picture.FromRGBA(shot.Pix, shot.Width, shot.Height)
	return p, shot.Coins[0].Edge
}

// onScreen shows a picture on a display and photographs that: pixels of three stripes with dark seams,
// pitch px of the photo apart and turned by some degrees, through a lens that blurs by 0.8 px.
func onScreen(p picture.Picture, pitch, turn float64, seed uint64) picture.Picture {
	r := rand.New(rand.NewPCG(seed, 9))
	out := picture.New(p.W, p.H)
	sn, c := math.Sincos(turn * math.Pi / 180)
	stripes := [3]float64{0.21, 0.72, 0.07} // what red, green and blue are of light
	const fine = 3
	for y := range p.H {
		for x := range p.W {
			sum := 0.0
			for i := range fine * fine {
				px, py := float64(x)+(float64(i%fine)+0.5)/fine, float64(y)+(float64(i/fine)+0.5)/fine
				u, v := (px*c-py*sn)/pitch, (px*sn+py*c)/pitch
				cell := [2]float64{math.Floor(u) + 0.5, math.Floor(v) + 0.5}
				fu, fv := u-math.Floor(u), v-math.Floor(v)
				if fv < 0.1 || math.Mod(3*fu, 1) < 0.12 {
					continue
				}
				shown := p.Sample(pitch*(cell[0]*c+cell[1]*sn), pitch*(cell[1]*c-cell[0]*sn))
				sum += 3 * stripes[min(int(3*fu), 2)] * float64(shown)
			}
			out.Light[y*p.W+x] = float32(sum / fine / fine)
		}
	}
	out = out.Blur(0.8)
	for i := range out.Light {
		out.Light[i] = max(0, out.Light[i]+float32(0.01*r.NormFloat64()))
	}
	return out
}

// shows looks at the whole picture's coin.
func shows(p picture.Picture, x, y, r float64) bool {
	var pieces []picture.Picture
	for _, at := range screen.Places(p.W, p.H, x, y, r) {
		pieces = append(pieces, p.Crop(at[0], at[1], screen.Side, screen.Side))
	}
	return screen.Shows(pieces)
}

func TestScreensAreTold(t *testing.T) {
	p, e := photo(2)
	for _, pitch := range []float64{3, 5.7, 13} {
		for _, turn := range []float64{0, 11} {
			if !shows(onScreen(p, pitch, turn, 4), e.X, e.Y, e.A) {
				t.Errorf("pitch of %v px turned by %v degrees: not told", pitch, turn)
			}
		}
	}
}

func TestCoinsAreNoScreens(t *testing.T) {
	for seed := range uint64(8) {
		p, e := photo(seed)
		if shows(p, e.X, e.Y, e.A) {
			t.Errorf("coin %d is taken for a screen", seed)
		}
	}
	p, e := photo(1)
	if shows(onScreen(p, 5, 3, 1), e.X, e.Y, 100) {
		t.Error("told of fewer pixels than a piece has")
	}
	flat := picture.New(900, 900)
	if shows(flat, 450, 450, 400) {
		t.Error("a black picture is a screen")
	}
}

// BenchmarkShows is beside the bare transforms of its three pieces.
func BenchmarkShows(b *testing.B) {
	p, e := photo(1)
	b.Run("bare", func(b *testing.B) {
		plane := fourier.NewPlane(screen.Side, screen.Side)
		re, im := make([]float32, screen.Side*screen.Side), make([]float32, screen.Side*screen.Side)
		for b.Loop() {
			for range 3 {
				plane.Forward(re, im)
			}
		}
	})
	b.Run("shows", func(b *testing.B) {
		for b.Loop() {
			shows(p, e.X, e.Y, e.A)
		}
	})
}
