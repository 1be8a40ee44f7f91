package othercoin

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Metal is a color by red, green and blue, linear, as light falls on it straight.
type Metal [3]float64

// Metals as coins show them. From memory; worn metal has an oxide's color.
var (
	Silver = Metal{0.88, 0.86, 0.81}
	Nickel = Metal{0.63, 0.59, 0.54}
	Copper = Metal{0.82, 0.50, 0.36}
	Brown  = Metal{0.36, 0.21, 0.14}
	Brass  = Metal{0.78, 0.63, 0.36}
	Steel  = Metal{0.54, 0.55, 0.57}
)

// State is what happened to one coin since it was struck, each from 0 for not at all to 1, and
// what happened to its die.
type State struct {
	Wear, Scratches, Dirt, Tone float64
	Roughness                   float64 // 0 stands for 0.3
	Flow                        float64 // of metal from the middle out: luster
	Film                        float64 // share of the light that tarnish scatters evenly

	// Double is how far the word of that number is struck a second time, mm to the right and down;
	// Twice is the second image's height against the first's.
	Double           int // number of the word, from 1; 0 for none
	DoubleX, DoubleY float64
	Twice            float64

	// Clash is how deep the other side's die has hit this one's, mm. Behind is how far the other
	// side is turned behind this one, in radians: 0 if it is upright when the coin is turned about
	// its vertical axis.
	Clash, Behind float64
}

// Coin is one side of a coin, up.
type Coin struct {
	Diameter, Thickness float64
	Metal               Metal
	X, Y                float64 // of its middle on the table, mm
	Turn                float64 // radians, clockwise as seen

	face      *field
	dirt      []float32 // share of the surface, where the field's points are
	tone      patches   // exponent e of the metal's color, by a factor 2^-e, on every eighth point
	roughness float64
	flow      float64
	film      float64
	reeds     int
	sin, cos  float64 // of Turn, while it is photographed
}

// Strike strikes a coin with a side up. other is the opposite side, wanted for a clash only.
func (d *Design) Strike(side, other *Side, metal Metal, st State, r *rand.Rand) *Coin {
	c := &Coin{Diameter: d.Diameter, Thickness: d.Thickness, Metal: metal, roughness: st.Roughness, flow: st.Flow, film: st.Film, reeds: d.reeds}
	if c.roughness == 0 {
		c.roughness = 0.3
	}
	if metal == Brown {
		c.film = min(1, c.film+0.35) // the oxide on a brown cent is a coat that scatters by itself
	}
	f := side.relief.copied()
	side.letter(f, st)
	if st.Clash > 0 {
		side.clash(f, other, st)
	}
	side.edge(f)
	wear(f, st.Wear)
	c.scratch(f, st.Scratches, r)
	c.stain(f, st, r)
	f.finish()
	c.face = f
	return c
}

// letter strikes the words.
func (s *Side) letter(f *field, st State) {
	ground := f.copied()
	for i, w := range s.Words {
		all := w.strokes()
		f.raise(all, s.stroke, s.tall, s.draft, ground)
		if st.Double == i+1 {
			for k := range all {
				all[k].x1, all[k].x2 = all[k].x1+st.DoubleX, all[k].x2+st.DoubleX
				all[k].y1, all[k].y2 = all[k].y1+st.DoubleY, all[k].y2+st.DoubleY
			}
			f.raise(all, s.stroke, s.tall*st.Twice, s.draft, ground)
		}
	}
}

// clash sinks the outlines of the other side, as it lies behind this one, into the field.
func (s *Side) clash(f *field, other *Side, st State) {
	hit := other.relief.copied()
	other.letter(hit, State{})
	sn, cs := math.Sincos(st.Behind)
	own := f.copied()
	limit := min(s.radius-s.rimWidth, other.radius-other.rimWidth)
	f.each(-limit, -limit, limit, limit, func(i int, x, y float64) {
		if x*x+y*y > limit*limit {
			return
		}
		u, v := -(x*cs + y*sn), -x*sn+y*cs
		deep := smooth(hit.height(u, v)/0.03) * (1 - smooth(float64(own.z[i])/0.02))
		f.z[i] -= float32(st.Clash * deep)
	})
}

// edge raises the rim, rounds the coin's edge and dishes the field a little.
func (s *Side) edge(f *field) {
	const rounding = 0.12
	inner := s.radius - s.rimWidth
	f.each(-s.radius, -s.radius, s.radius, s.radius, func(i int, x, y float64) {
		r := math.Hypot(x, y)
		f.z[i] += float32(0.03 * (r * r / (s.radius * s.radius)))
		h := s.rim * smooth((r-inner)/(0.25*s.rimWidth))
		if out := r - (s.radius - rounding); out > 0 {
			out = min(out, rounding)
			h -= rounding - math.Sqrt(rounding*rounding-out*out)
		}
		if r > inner {
			f.z[i] = max(f.z[i]*float32(1-smooth((r-inner)/(0.25*s.rimWidth))), 0) + float32(h)
		}
	})
}

// wear takes from what stands above its surroundings, more from what stands highest of all, and
// rounds.
func wear(f *field, much float64) {
	if much <= 0 {
		return
	}
	around := append([]float32(nil), f.z...)
	soften(around, int(0.5/f.pitch))
	top := slices.Max(f.z)
	for i, z := range f.z {
		f.z[i] -= float32(0.3*much) * z * z / top
		if p := z - around[i]; p > 0 {
			f.z[i] -= float32(0.55*much) * p
		}
	}
	soften(f.z, int(0.05*much/f.pitch+0.5))
}

// scratch cuts grooves, and leaves the fine unevenness that every struck surface has.
func (c *Coin) scratch(f *field, much float64, r *rand.Rand) {
	fine := make([]float32, grid*grid)
	seed := uint32(r.Uint64())
	for i := range fine {
		seed = seed*1664525 + 1013904223
		fine[i] = float32(seed>>8)/(1<<24) - 0.5
	}
	n := int(0.05/f.pitch + 0.5)
	soften(fine, n)
	// Two means over 2n+1 points leave about 1/(2n+1) of the spread, 0.29 of what is uniform.
	up := float32(0.0003 / 0.29 * float64(2*n+1))
	waves := f.patches(1.3, clouds(r.Uint64()), 1)
	for i := range f.z {
		f.z[i] += up*fine[i] + 0.0025*waves.at(i)
	}
	blank := newField(f.radius)
	for range int(much * 90) {
		x, y := f.radius*between(r, -1, 1), f.radius*between(r, -1, 1)
		a, l := 2*math.Pi*r.Float64(), f.radius*0.25*r.ExpFloat64()
		deep := between(r, 0.001, 0.008)
		width := between(r, 0.015, 0.05)
		blank.raise([]line{{x, y, x + l*math.Cos(a), y + l*math.Sin(a)}}, width, deep, width, blankGround)
	}
	for i, g := range blank.z {
		f.z[i] -= g
	}
}

// blankGround is a plane to strike from; its radius doesn't matter.
var blankGround = newField(1)

// stain lays dirt into the recesses and in blots, and tones.
func (c *Coin) stain(f *field, st State, r *rand.Rand) {
	c.dirt = make([]float32, grid*grid)
	around := append([]float32(nil), f.z...)
	soften(around, int(0.25/f.pitch))
	blots, tones := f.patches(f.radius*between(r, 0.15, 0.5), clouds(r.Uint64()), 4), f.patches(f.radius*0.6, clouds(r.Uint64()), 3)
	for i, z := range f.z {
		recess := smooth(float64(around[i]-z) / 0.04)
		blot := smooth((float64(blots.at(i)) - 0.35 + 0.3*st.Dirt) * 5)
		c.dirt[i] = float32(min(0.95, st.Dirt*(0.9*recess+0.6*blot)))
	}
	for i, v := range tones {
		tones[i] = float32(1.15 * st.Tone * smooth(0.5+0.8*float64(v)))
	}
	c.tone = tones
}

// patches are clouds over a face, with lumps of the size given, on every eighth point.
type patches []float32

const (
	coarse = 8
	wide   = grid/coarse + 1
)

func (f *field) patches(size float64, seed clouds, octaves int) patches {
	all := make(patches, wide*wide)
	step := coarse * f.pitch / size
	for i := range all {
		all[i] = float32(2 * seed.rough(float64(i%wide)*step, float64(i/wide)*step, octaves))
	}
	if octaves > 1 {
		for i := range all {
			all[i] /= 2
		}
	}
	return all
}

// at is between the points, where the field's point i lies.
func (p patches) at(i int) float32 {
	c, r := i%grid, i/grid
	u, v := float32(c%coarse)/coarse, float32(r%coarse)/coarse
	k := r/coarse*wide + c/coarse
	top := p[k] + u*(p[k+1]-p[k])
	low := p[k+wide] + u*(p[k+wide+1]-p[k+wide])
	return top + v*(low-top)
}

// height is the surface's above the table at a place on it, in the coin's own directions.
func (c *Coin) height(x, y float64) float64 { return c.Thickness + c.face.height(x, y) }

// Slopes are by how much the face rises to the right and down at a place on it, in the coin's own
// directions.
func (c *Coin) Slopes(x, y float64) (right, down float64) { return c.face.slopes(x, y) }

// own takes a place of the table to the coin's own directions.
func (c *Coin) own(x, y float64) (float64, float64) {
	x, y = x-c.X, y-c.Y
	return x*c.cos + y*c.sin, -x*c.sin + y*c.cos
}
