package simcoin

import (
	"math"
	"math/rand/v2"
)

// Stand is a camera on a stand, straight above one coin that lies still on dark cloth, as for
// photos with the lamp on several sides. It sees along parallel rays, which makes it much quicker
// than a Scene; light on the metal is the same, in grey.
type Stand struct {
	Coin
	// Size of the picture, px on a side, and the coin's share of it.
	Size  int
	Share float64
	// Turn of the coin, degrees counterclockwise, and where its middle lies off the picture's, px.
	Turn, OffX, OffY float64
	// Zoom over Share: a close-up has the same size in px and shows less. 1 if 0 is given.
	Zoom float64
	// Blur of the lens, px; it grows by Soft px for each mm that a place lies off the level Focus, mm
	// over the field.
	Blur, Soft, Focus float64
	Noise             float64
	Ambient           float64
	Shadows           bool
	// Polish makes the coin bare metal in place of Metal's gloss; nil for none. Its film of dirt and tarnish
	// sends dull light by Dull of Metal's shares. The camera then sets its own exposure, so that White
	// of the picture comes out white, a hundredth if 0 is given.
	Polish      *Polish
	Dull, White float64
	// Vignette is the share of light that the lens loses in the picture's corners. Contrast is by how much
	// a camera steepens the middle of its tones, and Sharpen how much of what a blur of 1.5 px takes off it
	// adds again; 0 for none.
	Vignette, Contrast, Sharpen float64
}

// standReach is how far over its own level relief may throw a shadow under a stand, mm.
const standReach = 0.25

// Truth is where the coin lies: middle and radius, px.
func (s Stand) Truth() (x, y, r float64) {
	return float64(s.Size)/2 + s.OffX, float64(s.Size)/2 + s.OffY, s.perMM() * s.Diameter / 2
}

func (s Stand) perMM() float64 {
	zoom := s.Zoom
	if zoom == 0 {
		zoom = 1
	}
	return zoom * s.Share * float64(s.Size) / s.Diameter
}

// Shoot takes the photo with lamps where they are. seed is that of the noise.
func (s Stand) Shoot(seed uint64, lamps ...Lamp) Shot {
	n := s.Size
	light, heights := s.light(lamps)
	if s.Polish != nil {
		white := s.White
		if white == 0 {
			white = 0.01
		}
		exposed(light, white)
	}
	blurred := s.softened(light, heights)
	s.handled(blurred)
	c := Camera{Width: n, Height: n, Noise: s.Noise}
	pix := c.developed([3][]float32{blurred, blurred, blurred}, rand.New(rand.NewPCG(seed, 0x51de)))
	// Grey is one channel's noise less than three's.
	for i := 0; i < len(pix); i += 4 {
		pix[i], pix[i+2] = pix[i+1], pix[i+1]
	}
	return Shot{Width: n, Height: n, Pix: pix}
}

// light is that of every pixel before the lens, and the height there, mm.
func (s Stand) light(lamps []Lamp) (light, heights []float32) {
	n, per := s.Size, s.perMM()
	x0, y0, _ := s.Truth()
	light, heights = make([]float32, n*n), make([]float32, n*n)
	s.Face.slopes()
	eye := vec{0, 0, 1}
	for py := range n {
		for px := range n {
			x, y := (float64(px)+0.5-x0)/per, (float64(py)+0.5-y0)/per
			i := py*n + px
			if x*x+y*y > s.Diameter*s.Diameter/4 {
				light[i] = 0.03
				continue
			}
			dx, dy := turned(x, y, -s.Turn)
			sx, sy := turned(s.Face.at(s.Face.slopeX, dx, dy), s.Face.at(s.Face.slopeY, dx, dy), s.Turn)
			h := s.Face.HeightAt(dx, dy)
			heights[i] = float32(h)
			normal := unit(vec{-sx, -sy, 1})
			if s.Polish != nil {
				light[i] = float32(s.polished(place{x, y, dx, dy, h}, normal, lamps))
				continue
			}
			shine, gloss := s.surface(dx, dy, h)
			k := 2 * dot(normal, eye)
			back := vec{k * normal[0], k * normal[1], k*normal[2] - 1}
			sum := s.Ambient * ((0.75+0.25*normal[2])*(1-0.5*gloss) + 0.5*gloss*(0.8+0.4*back[2]))
			for _, lamp := range lamps {
				lx, ly, lz, strength := lamp.toward(x, y, 0)
				facing := normal[0]*lx + normal[1]*ly + normal[2]*lz
				if facing <= 0 {
					continue
				}
				if s.Shadows {
					ax, ay := turned(lx, ly, -s.Turn)
					strength *= s.Face.open(dx, dy, h, ax, ay, lz, standReach)
				}
				sum += strength * facing * (1 - 0.6*gloss)
				if to := back[0]*lx + back[1]*ly + back[2]*lz; to > 0.5 && gloss > 0 {
					sum += strength * gloss * 0.9 * math.Pow(to, 8+40*gloss)
				}
			}
			light[i] = float32(shine * sum)
		}
	}
	return light, heights
}

// handled does to the light what lens and camera do: lost corners, sharpening, and a curve of tones
// of their own, v + Contrast·(v²(3 − 2v) − v) of the root v of the light.
func (s Stand) handled(light []float32) {
	n := s.Size
	if s.Vignette > 0 {
		for i := range light {
			x, y := 2*float64(i%n)/float64(n)-1, 2*float64(i/n)/float64(n)-1
			light[i] *= float32(1 - s.Vignette*(x*x+y*y)/2)
		}
	}
	if s.Sharpen > 0 {
		soft := Camera{Width: n, Height: n, Blur: 1.5}.blurred(light)
		for i, v := range light {
			light[i] = max(v+float32(s.Sharpen)*(v-soft[i]), 0)
		}
	}
	if s.Contrast > 0 {
		for i, l := range light {
			v := math.Sqrt(math.Min(float64(l), 1))
			v += s.Contrast * (v*v*(3-2*v) - v)
			light[i] = float32(v * v)
		}
	}
}

// surface is how much light a place of the coin throws back, and its gloss, with tone and dirt.
func (s Stand) surface(dx, dy, h float64) (shine, gloss float64) {
	m := s.Metal
	shine, gloss = 0.2126*m.Red+0.7152*m.Green+0.0722*m.Blue, m.Gloss
	if s.Tone > 0 {
		shine *= 1 + 0.5*s.Tone*(speckle(dx*0.35, dy*0.35, s.Seed)-0.5)
	}
	cover := s.cover(dx, dy, h)
	return shine*(1-cover) + 0.08*cover, gloss * (1 - cover)
}

// softened blurs by the lens, each place by how far it lies off the level in focus: three blurs
// are mixed.
func (s Stand) softened(light, heights []float32) []float32 {
	c := Camera{Width: s.Size, Height: s.Size, Blur: s.Blur}
	sharp := c.blurred(light)
	if s.Soft == 0 {
		return sharp
	}
	levels := []float64{s.Blur, s.Blur + 1, s.Blur + 2.2, s.Blur + 4, s.Blur + 7}
	all := [][]float32{sharp}
	for _, b := range levels[1:] {
		c.Blur = b
		all = append(all, c.blurred(light))
	}
	out := make([]float32, len(light))
	for i, h := range heights {
		want := math.Min(s.Blur+s.Soft*math.Abs(float64(h)-s.Focus), levels[len(levels)-1]-1e-6)
		k := 0
		for want >= levels[k+1] {
			k++
		}
		part := float32((want - levels[k]) / (levels[k+1] - levels[k]))
		out[i] = (1-part)*all[k][i] + part*all[k+1][i]
	}
	return out
}
