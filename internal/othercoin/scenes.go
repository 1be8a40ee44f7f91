package othercoin

import (
	"math"
	"math/rand/v2"
)

// Diameters are those of the coins drawn, mm: dime, cent, nickel, quarter, half and large dollar of
// the United States by the coin book.
var Diameters = []float64{17.91, 19.05, 21.21, 24.26, 30.61, 38.1}

var metals = []Metal{Silver, Nickel, Copper, Brown, Brass, Steel}

// Found is how a coin is met: worn a little or much, scratched, dirty, toned.
func Found(r *rand.Rand) State {
	return State{
		Wear: r.Float64() * r.Float64(), Scratches: r.Float64(), Dirt: 0.7 * r.Float64() * r.Float64(), Tone: r.Float64() * r.Float64(),
		Roughness: between(r, 0.2, 0.45), Flow: 0.8 * r.Float64() * r.Float64(), Film: between(r, 0.03, 0.35),
	}
}

// Snapshot is a coin among others on a table, by a hunter's phone: tilted by up to ten degrees,
// away from the picture's middle, coins touching it or near. The one that is meant lies
// nearest to the middle and is the only one that is whole in the picture.
func Snapshot(seed uint64) *Scene {
	r := rand.New(rand.NewPCG(seed, 0x736e6170))
	d := NewDesign(r.Uint64(), Diameters[r.IntN(len(Diameters))])
	meant, other := d.Obverse, d.Reverse
	if r.IntN(2) == 0 {
		meant, other = other, meant
	}
	c := d.Strike(meant, other, metals[r.IntN(len(metals))], Found(r), r)
	c.Turn = 2 * math.Pi * r.Float64()
	s := &Scene{
		Coins: []*Coin{c}, Table: Tables[r.IntN(len(Tables))], Seed: r.Uint64(), Even: between(r, 0.1, 0.9),
		Sensor: Sensor{Blur: between(r, 0.3, 1.6), Full: math.Exp(between(r, math.Log(1500), math.Log(12000))), Read: between(r, 4, 25), Quality: 70 + r.IntN(26)},
	}
	for range 1 + r.IntN(3) {
		s.Lamps = append(s.Lamps, Around(2*math.Pi*r.Float64(), between(r, 0.35, 1.35), between(r, 150, 1500), between(r, 5, 60), between(r, 0.3, 1)))
	}
	across := between(r, 300, 620)
	s.Camera = Camera{
		Width: 1000, Height: 750, Distance: between(r, 100, 280), Tilt: between(r, 0, 10) * math.Pi / 180,
		Side: 2 * math.Pi * r.Float64(), Roll: between(r, -0.3, 0.3),
	}
	mm := c.Diameter / across // in a pixel
	s.Camera.Focal = s.Camera.Distance / mm
	free := func(size int) float64 { return max(0, float64(size)*0.47-across/2) * mm }
	s.Camera.X, s.Camera.Y = free(s.Camera.Width)*between(r, -1, 1)*0.6, free(s.Camera.Height)*between(r, -1, 1)*0.6
	s.crowd(d, r.IntN(5), mm, r)
	return s
}

// crowd lays coins around the first one, where there is room. A tenth of each at least lies beyond the
// picture: of one that is all but whole nobody could say that it isn't meant.
func (s *Scene) crowd(d *Design, many int, mm float64, r *rand.Rand) {
	c := s.Coins[0]
	e := s.Camera.ready()
	whole := func(x, y, radius float64) bool {
		q := e.ring(x, y, c.Thickness, radius)
		most := 0.8 * q.Long
		return q.X-most > 0 && q.Y-most > 0 && q.X+most < float64(e.Width) && q.Y+most < float64(e.Height)
	}
	for range many {
		for range 20 {
			angle, gap := 2*math.Pi*r.Float64(), 0.0
			if r.IntN(2) == 0 {
				gap = r.ExpFloat64() * 20 * mm
			}
			far := c.Diameter + gap
			x, y := c.X+far*math.Cos(angle), c.Y+far*math.Sin(angle)
			free := !whole(x, y, c.Diameter/2)
			for _, o := range s.Coins[1:] {
				free = free && math.Hypot(x-o.X, y-o.Y) >= c.Diameter
			}
			if free {
				n := d.Strike(d.Reverse, d.Obverse, metals[r.IntN(len(metals))], Found(r), r)
				n.X, n.Y, n.Turn = x, y, 2*math.Pi*r.Float64()
				s.Coins = append(s.Coins, n)
				break
			}
		}
	}
}

// Sided is a still coin under a lamp at so many sides in turn, evenly around, by a camera on a
// stand that trembles by up to half a pixel. A lamp stands off its place by up to off radians. The
// coin is across pixels wide.
func Sided(c *Coin, sides int, across, off float64, seed uint64) []*Scene {
	r := rand.New(rand.NewPCG(seed, 0x73696465))
	size := int(across * 1.16)
	distance := between(r, 150, 300)
	cam := Camera{
		Width: size, Height: size, Distance: distance, Focal: distance * across / c.Diameter,
		X: c.X, Y: c.Y, Tilt: between(r, 0, 3) * math.Pi / 180, Side: 2 * math.Pi * r.Float64(),
	}
	table, start := Tables[r.IntN(len(Tables))], 2*math.Pi*r.Float64()
	height, far := between(r, 0.4, 0.75), between(r, 150, 400)
	blur, full, even := between(r, 0.6, 1.2), between(r, 3000, 10000), between(r, 0.03, 0.2)
	seen := r.Uint64()
	var all []*Scene
	for k := range sides {
		one := cam
		one.ShiftX, one.ShiftY = between(r, -0.5, 0.5)*0.7, between(r, -0.5, 0.5)*0.7
		asked := start + 2*math.Pi*float64(k)/float64(sides)
		azimuth := asked + off*between(r, -1, 1)
		all = append(all, &Scene{
			Coins: []*Coin{c}, Table: table, Seed: seen, Even: even, Camera: one, Asked: asked, Rays: 4,
			Lamps:  []Lamp{Around(azimuth, height+0.1*between(r, -1, 1), far*between(r, 0.85, 1.15), 8, 1)},
			Sensor: Sensor{Blur: blur, Full: full, Read: 8, Quality: 92},
		})
	}
	return all
}

// Bad is a photo in which no one coin can be measured.
type Bad string

// The bad photos.
const (
	Empty   Bad = "no coin"
	Two     Bad = "two coins"
	CutOff  Bad = "a coin cut off"
	Smeared Bad = "out of focus"
)

// Bads are all.
var Bads = []Bad{Empty, Two, CutOff, Smeared}

// Unfit is a Snapshot with something wrong.
func Unfit(what Bad, seed uint64) *Scene {
	s := Snapshot(seed)
	r := rand.New(rand.NewPCG(seed, 0x756e6669))
	s.Coins = s.Coins[:1]
	c := s.Coins[0]
	across := s.Camera.Focal / s.Camera.Distance * c.Diameter
	switch what {
	case Empty:
		s.Coins = nil
	case Two:
		// Side by side and both whole.
		fit := 0.42 * float64(s.Camera.Width) / across
		if fit < 1 {
			s.Camera.Focal *= fit
		}
		two := *c
		two.X, two.Turn = c.X+c.Diameter*between(r, 1, 1.08), 2*math.Pi*r.Float64()
		s.Coins = append(s.Coins, &two)
		s.Camera.X, s.Camera.Y, s.Camera.Roll = (c.X+two.X)/2, 0, 0
	case CutOff:
		// A tenth to a third of the coin lies beyond the picture.
		mm := c.Diameter / across
		beyond := float64(s.Camera.Width)*mm/2 - c.Diameter*(0.5-between(r, 0.1, 0.33))
		s.Camera.X, s.Camera.Y, s.Camera.Roll = beyond, 0, 0
	case Smeared:
		s.Sensor.Blur = across * between(r, 0.05, 0.09)
	}
	return s
}
