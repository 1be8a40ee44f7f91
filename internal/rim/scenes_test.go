package rim_test

import (
	"math"
	"math/rand/v2"

	"panside/internal/simcoin"
)

// faces are struck once; striking takes longer than a photo.
var faces = map[[2]int]*simcoin.Face{}

func face(diameter float64, kind int) *simcoin.Face {
	key := [2]int{int(diameter), kind}
	if f := faces[key]; f != nil {
		return f
	}
	d := simcoin.Obverse(float64(key[0]), uint64(kind))
	if kind%2 == 1 {
		d = simcoin.Reverse(float64(key[0]), uint64(kind))
	}
	if kind%4 >= 2 {
		d.Ring, d.Beads = 0.42*d.Diameter, 0 // a line close to the rim
	}
	f := d.Strike(20)
	if kind >= 4 {
		f.Wear(0.5)
	}
	faces[key] = f
	return f
}

// scene is one of the photos that the finder must cope with: tilt to 10 degrees, noise, clutter,
// dirt, a neighbor that touches now and then.
func scene(seed uint64) simcoin.Scene {
	r := rand.New(rand.NewPCG(seed, 0x51))
	in := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	metals := []simcoin.Metal{simcoin.RedCopper, simcoin.Brown, simcoin.White, simcoin.Grey}
	coin := func() simcoin.Coin {
		d := math.Floor(in(17, 39))
		m := metals[r.IntN(4)]
		m.Gloss = in(0.1, 0.8)
		c := simcoin.Coin{
			Diameter: d, Thickness: in(1.2, 2.2) * math.Sqrt(d/24), Face: face(d, r.IntN(8)),
			Metal: m, Tone: r.Float64(), Dirt: math.Max(0, in(-0.5, 0.8)), Seed: r.Uint64(),
		}
		if r.IntN(2) == 0 {
			c.Reeds = 110
		}
		return c
	}
	c := coin()
	const w, h = 800, 600
	px := in(250, 520) // of the coin
	s := simcoin.Scene{
		Ground: []simcoin.Ground{simcoin.Paper, simcoin.Wood, simcoin.Cloth, simcoin.Dark}[r.IntN(4)],
		Camera: simcoin.Camera{
			Width: w, Height: h, PxPerMM: px / c.Diameter, Tilt: in(0, 10), TiltTo: in(0, 360),
			Distance: in(150, 400), Blur: in(0.6, 2), Noise: in(0.003, 0.03),
		},
		Ambient: in(0.15, 0.4), Seed: r.Uint64(),
	}
	if r.IntN(4) > 0 {
		s.Clutter = r.Float64()
	}
	for range 1 + r.IntN(2) {
		s.Lamps = append(s.Lamps, simcoin.Lamp{From: in(0, 360), Up: in(25, 75), Strength: in(0.4, 0.8)})
	}
	freeX, freeY := (w-px)/2-12, (h-px)/2-12
	at := simcoin.Placed{Coin: c, X: in(-freeX, freeX) / s.Camera.PxPerMM, Y: in(-freeY, freeY) / s.Camera.PxPerMM, Turn: in(0, 360)}
	s.Coins = append(s.Coins, at)
	if r.IntN(3) == 0 {
		// A neighbor that touches, to the side where it leaves the picture.
		o := coin()
		far := (c.Diameter + o.Diameter) / 2
		side := math.Copysign(1, at.X)
		lean := in(-0.3, 0.3)
		s.Coins = append(s.Coins, simcoin.Placed{Coin: o, X: at.X + side*far*math.Cos(lean), Y: at.Y + far*math.Sin(lean), Turn: in(0, 360)})
	}
	return s
}
