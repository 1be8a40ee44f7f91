package othercoin

import (
	"math"
	"math/rand/v2"
)

// Word is an inscription and where it stands: in an arc of the radius Radius around the middle,
// centered at the angle Middle (0 is the top of the face, clockwise), or straight around X, Y where
// Radius is 0. Lengths are mm.
type Word struct {
	Text                 string
	Radius, Middle, X, Y float64
	Size                 float64 // height of its letters
	Upright              bool    // along the lower edge, read from the middle
}

// Box is the part of the face that the word takes: its middle, and half its length and height
// along its own direction.
func (w Word) Box() (x, y, half, tall, angle float64) {
	half = 0.5 * float64(len(w.Text)) * w.advance()
	tall = 0.5 * w.Size
	if w.Radius == 0 {
		return w.X, w.Y, half, tall, 0
	}
	x, y = w.Radius*math.Sin(w.Middle), -w.Radius*math.Cos(w.Middle)
	angle = w.Middle
	if w.Upright {
		angle += math.Pi
	}
	return x, y, half, tall, angle
}

func (w Word) advance() float64 { return 0.95 * w.Size }

// strokes are the word's lines.
func (w Word) strokes() []line {
	var all []line
	n := float64(len(w.Text))
	for i, r := range w.Text {
		along := (float64(i) - (n-1)/2) * w.advance()
		if w.Radius == 0 {
			all = append(all, lines(r, w.X+along, w.Y, w.Size, 1, 0)...)
			continue
		}
		turn := w.Middle + along/w.Radius
		if w.Upright {
			turn = w.Middle - along/w.Radius
		}
		x, y := w.Radius*math.Sin(turn), -w.Radius*math.Cos(turn)
		if w.Upright {
			turn += math.Pi
		}
		s, c := math.Sincos(turn)
		all = append(all, lines(r, x, y, w.Size, c, s)...)
	}
	return all
}

// Side is one side's design, as the die has it: what every coin of the type shares.
type Side struct {
	Words []Word

	radius        float64
	stroke, draft float64 // of letters, mm
	tall          float64 // of letters
	rimWidth, rim float64 // mm
	relief        *field  // without letters and rim
}

// Design is a type of coin.
type Design struct {
	Diameter, Thickness float64
	Obverse, Reverse    *Side
	reeds               int
}

// NewDesign draws the type of a seed. The diameter is in mm.
func NewDesign(seed uint64, diameter float64) *Design {
	r := rand.New(rand.NewPCG(seed, 0x636f696e))
	d := &Design{Diameter: diameter, Thickness: diameter * between(r, 0.06, 0.085)}
	if r.IntN(3) > 0 {
		d.reeds = 90 + r.IntN(60)
	}
	d.Obverse, d.Reverse = newSide(r, diameter/2, true), newSide(r, diameter/2, false)
	return d
}

func between(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

func text(r *rand.Rand, n int) string {
	const letters = "ABCDEFGHIKLMNOPRSTUVWXYZ"
	b := make([]byte, n)
	for i := range b {
		b[i] = letters[r.IntN(len(letters))]
	}
	return string(b)
}

func newSide(r *rand.Rand, radius float64, head bool) *Side {
	s := &Side{
		radius: radius, stroke: between(r, 0.2, 0.32) * radius / 12, draft: between(r, 0.03, 0.06),
		tall: between(r, 0.07, 0.14), rimWidth: radius * between(r, 0.06, 0.11), rim: between(r, 0.14, 0.24),
		relief: newField(radius),
	}
	size := radius * between(r, 0.12, 0.16)
	around := radius - s.rimWidth - size*0.5 - radius*between(r, 0.02, 0.06)
	s.Words = append(s.Words, Word{Text: text(r, 6+r.IntN(4)), Radius: around, Middle: between(r, -0.3, 0.3), Size: size})
	s.Words = append(s.Words, Word{Text: text(r, 5+r.IntN(3)), Radius: around, Middle: math.Pi + between(r, -0.3, 0.3), Size: size, Upright: true})
	date := Word{Text: "19" + string(rune('0'+r.IntN(10))) + string(rune('0'+r.IntN(10))), X: radius * 0.5, Y: radius * 0.3, Size: size * 0.9}
	if !head {
		date.Text = text(r, 4)
		date.X, date.Y = -radius*0.02, radius*between(r, 0.5, 0.58)
		date.Size *= 0.8
	}
	s.Words = append(s.Words, date)
	if head {
		s.head(r)
	} else {
		s.emblem(r)
	}
	return s
}

// head is a head of hills: skull, face, neck, and hair in waves.
func (s *Side) head(r *rand.Rand) {
	f, R := s.relief, s.radius
	tall := between(r, 0.16, 0.3)
	x, y := -R*between(r, 0.08, 0.2), -R*between(r, 0.05, 0.15)
	f.dome(x, y, R*0.34, R*0.42, between(r, -0.3, 0.3), tall, 1)
	f.dome(x+R*0.22, y+R*0.12, R*0.12, R*0.2, -0.3, tall*0.8, 1.3)
	f.dome(x+R*0.3, y+R*0.05, R*0.09, R*0.06, 0.5, tall*0.55, 1)
	f.dome(x-R*0.02, y+R*0.5, R*0.2, R*0.28, 0.2, tall*0.7, 1.5)
	f.dome(x+R*0.2, y+R*0.3, R*0.14, R*0.08, 0.2, tall*0.6, 1.2)
	for range 5 {
		f.dome(x-R*between(r, 0, 0.3), y+R*between(r, -0.3, 0.3), R*between(r, 0.05, 0.14), R*between(r, 0.05, 0.1), 3*r.Float64(), tall*between(r, 0.7, 1.05), 1)
	}
	// Hair: waves on the back of the head.
	wave, slant, bend := R*between(r, 0.03, 0.05), between(r, 0.3, 1.2), between(r, 0.3, 1.5)
	sn, cs := math.Sincos(slant)
	f.each(x-R*0.4, y-R*0.45, x+R*0.12, y+R*0.3, func(i int, px, py float64) {
		if h := float64(f.z[i]); h > 0.3*tall {
			u := (px*cs + py*sn + 0.05*R*math.Sin(bend*6*(py-y)/R)) / wave
			f.z[i] += float32(0.022 * math.Sin(2*math.Pi*u) * smooth((h/tall-0.3)*3))
		}
	})
	s.relief.trim(R - s.rimWidth)
}

// emblem is a house of pillars or a bird of hills.
func (s *Side) emblem(r *rand.Rand) {
	f, R := s.relief, s.radius
	tall := between(r, 0.1, 0.22)
	if r.IntN(2) == 0 {
		w, h := R*between(r, 0.42, 0.52), R*between(r, 0.24, 0.3)
		y0 := -R * 0.05
		blank := newField(R)
		f.raise([]line{{-w, y0 + h, w, y0 + h}, {-w, y0 + h*1.18, w, y0 + h*1.18}, {-w, y0 - h, w, y0 - h}, {-w, y0 - h, 0, y0 - h*1.7}, {0, y0 - h*1.7, w, y0 - h}}, R*0.05, tall, s.draft, blank)
		n := 5 + r.IntN(5)
		for k := range n {
			x := -w*0.9 + 1.8*w*float64(k)/float64(n-1)
			f.raise([]line{{x, y0 - h, x, y0 + h}}, R*0.06, tall*0.8, s.draft*1.5, blank)
		}
	} else {
		f.dome(0, 0, R*0.13, R*0.3, between(r, -0.2, 0.2), tall, 1)
		f.dome(between(r, -0.1, 0.1)*R, -R*0.33, R*0.09, R*0.1, 0, tall*0.9, 1)
		for side := -1.0; side <= 1; side += 2 {
			for k := range 6 {
				a := side * (0.4 + 0.17*float64(k))
				x, y := side*R*0.1, -R*0.05+R*0.04*float64(k)
				f.dome(x+side*R*0.22*math.Cos(a), y+R*0.22*math.Sin(math.Abs(a)), R*0.25, R*0.05, a, tall*between(r, 0.5, 0.8), 1.4)
			}
		}
	}
	s.relief.trim(R - s.rimWidth)
}

// trim takes away what reaches beyond a radius.
func (f *field) trim(radius float64) {
	f.each(-f.radius, -f.radius, f.radius, f.radius, func(i int, x, y float64) {
		if x*x+y*y > radius*radius {
			f.z[i] = 0
		}
	})
}
