package simcoin

import (
	"math"
	"math/rand/v2"
)

// Design is what a pair of dies strikes on one side, on a coin of Diameter mm.
type Design struct {
	Diameter float64
	// Rim is the raised rim's width and height over the field, mm; 0 for a coin without one.
	Rim, RimHeight float64
	// Words stand WordHeight over the field, their strokes Stroke wide, mm.
	Words              []Word
	Stroke, WordHeight float64
	// Flank is half the width of the flanks of strokes, mm; 0.09 if 0 is given. Round strokes are rounded
	// over all their width instead of flat on top.
	Flank float64
	Round bool
	// Bust is the height of a bust of blobs, mm, 0 for none; BustSize its width as a share of the
	// diameter; BustSeed makes it this one and no other.
	Bust, BustSize float64
	BustSeed       uint64
	// Hair is the count of fine raised lines on the bust.
	Hair int
	// Ring is the radius of a raised ring of beads or line within the rim, mm, which an eye for
	// circles may take for the edge; 0 for none. Beads is their count, 0 for a line.
	Ring  float64
	Beads int
	// Teeth is the count of a border's teeth, that stand inward from the rim all around, TeethLong mm; 0 for none.
	Teeth     int
	TeethLong float64
	// OffX, OffY is how far off the middle all was struck, mm.
	OffX, OffY float64
}

// Obverse is an ordinary obverse: a rim, words around, a date, a bust.
func Obverse(diameter float64, seed uint64) Design {
	s := diameter / 24
	return Design{
		Diameter: diameter, Rim: 0.9 * s, RimHeight: 0.13, Stroke: 0.26 * s, WordHeight: 0.09,
		Bust: 0.22, BustSize: 0.5, BustSeed: seed,
		Words: []Word{
			{Text: "HOMESTEAD", Size: 1.7 * s, Arc: 9.6 * s, At: 90},
			{Text: "GOOD LUCK", Size: 1.2 * s, Arc: 9.4 * s, At: 200},
			{Text: "1987", Size: 1.6 * s, X: 6.4 * s, Y: 6 * s},
			{Text: "D", Size: 1.1 * s, X: 7.4 * s, Y: 3.6 * s},
		},
	}
}

// Reverse is an ordinary reverse: another bust, other words, a ring of beads.
func Reverse(diameter float64, seed uint64) Design {
	s := diameter / 24
	return Design{
		Diameter: diameter, Rim: 0.9 * s, RimHeight: 0.13, Stroke: 0.26 * s, WordHeight: 0.09,
		Bust: 0.18, BustSize: 0.36, BustSeed: seed ^ 0x5eed, Ring: 7.7 * s, Beads: 60,
		Words: []Word{
			{Text: "KITCHEN TABLE", Size: 1.6 * s, Arc: 9.6 * s, At: 90},
			{Text: "ONE TOKEN", Size: 1.6 * s, Arc: 9.6 * s, At: 270},
		},
	}
}

// Face is a struck side: heights in mm over the field on a grid of Step mm around the middle, N
// by N nodes. Change it before it is rendered first.
type Face struct {
	N      int
	Step   float64
	Height []float32
	// Words are those of the design, for whoever needs to know where they stand.
	Words []Word

	slopeX, slopeY []float32
}

// Strike makes the face with perMM nodes a mm. 40 is enough for a picture of 1000 pixels of a
// coin of 24 mm.
func (d Design) Strike(perMM float64) *Face {
	reach := d.Diameter/2 + 0.3
	f := &Face{N: 2*int(math.Ceil(reach*perMM)) + 1, Step: 1 / perMM, Words: d.Words}
	f.Height = make([]float32, f.N*f.N)
	f.bust(d)
	for _, w := range d.Words {
		for _, l := range w.lines() {
			f.stroke(l, d, d.WordHeight, d.OffX, d.OffY)
		}
		if w.DoubledX != 0 || w.DoubledY != 0 {
			share := w.SecondHeight
			if share == 0 {
				share = 0.8
			}
			for _, l := range w.lines() {
				f.stroke(l, d, share*d.WordHeight, d.OffX+w.DoubledX, d.OffY+w.DoubledY)
			}
		}
	}
	r := d.Diameter / 2
	for i := range f.Height {
		x, y := f.place(i)
		at := math.Hypot(x-d.OffX, y-d.OffY)
		if d.Rim > 0 {
			f.raise(i, d.RimHeight*smooth(r-d.Rim-0.12, r-d.Rim+0.12, at))
		}
		if d.Ring > 0 {
			off := math.Abs(at - d.Ring)
			if d.Beads > 0 {
				pitch := 2 * math.Pi / float64(d.Beads)
				off = math.Hypot(off, math.Remainder(math.Atan2(y-d.OffY, x-d.OffX), pitch)*d.Ring)
			}
			f.raise(i, 0.07*(1-smooth(0.08, 0.26, off)))
		}
		if d.Teeth > 0 {
			pitch := 2 * math.Pi / float64(d.Teeth)
			aside := math.Abs(math.Remainder(math.Atan2(y-d.OffY, x-d.OffX), pitch)) / pitch
			in := smooth(r-d.Rim-d.TeethLong-0.1, r-d.Rim-d.TeethLong+0.1, at)
			f.raise(i, 0.1*in*(1-smooth(0.15, 0.45, aside)))
		}
		// The edge of the round itself is broken, whatever was struck on it.
		if d.Rim > 0 {
			f.Height[i] -= float32(0.12 * smooth(r-0.25, r+0.05, math.Hypot(x, y)))
		}
	}
	return f
}

// place is where a node lies, mm from the middle.
func (f *Face) place(i int) (x, y float64) {
	return float64(i%f.N-f.N/2) * f.Step, float64(i/f.N-f.N/2) * f.Step
}

func (f *Face) raise(i int, h float64) { f.Height[i] = max(f.Height[i], float32(h)) }

// stroke raises a line with sloped flanks.
func (f *Face) stroke(l [4]float64, d Design, height, offX, offY float64) {
	width, flank := d.Stroke, d.Flank
	if flank == 0 {
		flank = 0.09
	}
	reach := width/2 + flank
	x0, y0, x1, y1 := l[0]+offX, l[1]+offY, l[2]+offX, l[3]+offY
	half := f.N / 2
	cell := func(v float64) int { return min(max(int(math.Round(v/f.Step))+half, 0), f.N-1) }
	dx, dy := x1-x0, y1-y0
	long := dx*dx + dy*dy
	for row := cell(min(y0, y1) - reach); row <= cell(max(y0, y1)+reach); row++ {
		for col := cell(min(x0, x1) - reach); col <= cell(max(x0, x1)+reach); col++ {
			x, y := float64(col-half)*f.Step-x0, float64(row-half)*f.Step-y0
			t := 0.0
			if long > 0 {
				t = min(max((x*dx+y*dy)/long, 0), 1)
			}
			off := math.Hypot(x-t*dx, y-t*dy)
			if d.Round {
				f.raise(row*f.N+col, height*math.Sqrt(math.Max(1-off*off/(reach*reach), 0)))
				continue
			}
			f.raise(row*f.N+col, height*(1-smooth(width/2-flank, width/2+flank, off)))
		}
	}
}

// bust heaps blobs to something with a head, a neck and curls.
func (f *Face) bust(d Design) {
	if d.Bust <= 0 {
		return
	}
	r := rand.New(rand.NewPCG(d.BustSeed, 7))
	size := d.BustSize * d.Diameter / 2
	type blob struct{ x, y, a, b, sin, cos, h float64 }
	var all []blob
	add := func(x, y, a, b, deg, h float64) {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		all = append(all, blob{x * size, y * size, a * size, b * size, sin, cos, h * d.Bust})
	}
	add(0.05*r.NormFloat64(), -0.25, 0.62, 0.72, 40*r.NormFloat64(), 1)
	add(0.1, 0.65, 0.42+0.1*r.Float64(), 0.55, 10*r.NormFloat64(), 0.7)
	for range 14 {
		add(0.5*r.NormFloat64(), 0.55*r.NormFloat64(), 0.1+0.22*r.Float64(), 0.05+0.12*r.Float64(), 360*r.Float64(), 0.35+0.4*r.Float64())
	}
	for i := range f.Height {
		px, py := f.place(i)
		if math.Hypot(px, py) > 2*size+1 {
			continue
		}
		h := 0.0
		for k, b := range all {
			x, y := px-d.OffX-b.x, py-d.OffY-b.y
			x, y = (x*b.cos+y*b.sin)/b.a, (-x*b.sin+y*b.cos)/b.b
			if q := x*x + y*y; q < 1 {
				if k < 2 {
					h = math.Max(h, b.h*math.Sqrt(1-q))
				} else {
					h += 0.35 * b.h * (1 - q) * (1 - q)
				}
			}
		}
		f.raise(i, 0.9*h)
	}
	f.hair(d, r, size)
}

// hair combs waves of fine lines into the bust.
func (f *Face) hair(d Design, r *rand.Rand, size float64) {
	for range d.Hair {
		x, y, deg := 0.6*size*r.NormFloat64(), 0.6*size*r.NormFloat64(), 360*r.Float64()
		bend, h := 8*r.NormFloat64(), 0.03+0.05*r.Float64()
		for range 30 {
			dx, dy := direction(deg)
			x, y, deg = x+0.1*dx, y+0.1*dy, deg+bend
			if math.Hypot(x, y) > 1.4*size {
				break
			}
			f.lift(x+d.OffX, y+d.OffY, 0.13, h*0.3)
		}
	}
}

// lift adds a small round lump on what is there.
func (f *Face) lift(x, y, radius, height float64) {
	half := f.N / 2
	cell := func(v float64) int { return min(max(int(math.Round(v/f.Step))+half, 0), f.N-1) }
	for row := cell(y - radius); row <= cell(y+radius); row++ {
		for col := cell(x - radius); col <= cell(x+radius); col++ {
			px, py := float64(col-half)*f.Step-x, float64(row-half)*f.Step-y
			if q := 1 - (px*px+py*py)/(radius*radius); q > 0 {
				f.Height[row*f.N+col] += float32(height * q * q)
			}
		}
	}
}

// Copy gives a face of its own, to be changed.
func (f *Face) Copy() *Face {
	c := &Face{N: f.N, Step: f.Step, Words: f.Words}
	c.Height = append([]float32(nil), f.Height...)
	return c
}

// at is the height at a place, mm, between the nodes.
func (f *Face) at(values []float32, x, y float64) float64 {
	x, y = x/f.Step+float64(f.N/2), y/f.Step+float64(f.N/2)
	if x < 0 || y < 0 || x >= float64(f.N-1) || y >= float64(f.N-1) {
		return 0
	}
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	v := values[j*f.N+i:]
	return (1-fy)*((1-fx)*float64(v[0])+fx*float64(v[1])) + fy*((1-fx)*float64(v[f.N])+fx*float64(v[f.N+1]))
}

// HeightAt is the height over the field at a place on the coin, mm.
func (f *Face) HeightAt(x, y float64) float64 { return f.at(f.Height, x, y) }

// open is the share of a lamp's light that the relief lets through to a place at the height base; the
// lamp stands toward ax, ay, up in the face's own directions. What stands reach mm over base, or more, isn't
// looked for.
func (f *Face) open(x, y, base, ax, ay, up, reach float64) float64 {
	flat := math.Hypot(ax, ay)
	if flat < 1e-6 {
		return 1
	}
	ax, ay = ax/flat, ay/flat
	open := 1.0
	for far := 1.5 * f.Step; far < reach*flat/up && open > 0; far += 1.5 * f.Step {
		over := f.HeightAt(x+far*ax, y+far*ay) - base - far*up/flat
		open = min(open, 1-smooth(-0.004, 0.004, over))
	}
	return open
}

// Clash sinks the other side's design, mirrored and turned by that many degrees, into the field
// by depth mm, where the own design leaves the field bare. The reverse of a coin held up and
// turned over left to right lies mirrored behind the obverse.
func (f *Face) Clash(other *Face, depth, turn float64) {
	for i := range f.Height {
		if f.Height[i] > 0.02 {
			continue
		}
		x, y := f.place(i)
		ox, oy := turned(-x, y, turn)
		bare := 1 - smooth(0.002, 0.02, float64(f.Height[i]))
		f.Height[i] -= float32(depth * bare * smooth(0.01, 0.05, other.HeightAt(ox, oy)))
	}
}

// Wear takes the tops down: 0 is as struck, 1 leaves a quarter of the relief, and the finest of it
// is smeared.
func (f *Face) Wear(wear float64) {
	if wear <= 0 {
		return
	}
	top := float32(0)
	for _, h := range f.Height {
		top = max(top, h)
	}
	limit := float64(top) * (1 - 0.75*wear)
	for i, h := range f.Height {
		if h > 0 {
			f.Height[i] = float32(limit * math.Tanh(float64(h)/limit))
		}
	}
	f.smear(0.10 * wear / f.Step)
}

// smear blurs the heights by two passes of a running mean.
func (f *Face) smear(nodes float64) {
	w := int(math.Round(nodes))
	if w < 1 {
		return
	}
	line := make([]float32, f.N)
	run := func(start, stride int) {
		for k := range f.N {
			line[k] = f.Height[start+k*stride]
		}
		sum, n := float32(0), float32(0)
		for k := range min(w, f.N) {
			sum += line[k]
			n++
		}
		for k := range f.N {
			if k+w < f.N {
				sum += line[k+w]
				n++
			}
			if k-w-1 >= 0 {
				sum -= line[k-w-1]
				n--
			}
			f.Height[start+k*stride] = sum / n
		}
	}
	for range 2 {
		for row := range f.N {
			run(row*f.N, 1)
		}
		for col := range f.N {
			run(col, f.N)
		}
	}
}

// Scratch cuts that many hairlines.
func (f *Face) Scratch(n int, r *rand.Rand) {
	reach := float64(f.N/2) * f.Step
	for range n {
		x, y := (2*r.Float64()-1)*reach, (2*r.Float64()-1)*reach
		dx, dy := direction(360 * r.Float64())
		long, deep := reach*(0.05+0.4*r.Float64()), 0.004+0.012*r.Float64()
		for s := 0.0; s < long; s += f.Step / 2 {
			col, row := int((x+s*dx)/f.Step)+f.N/2, int((y+s*dy)/f.Step)+f.N/2
			if col >= 0 && row >= 0 && col < f.N && row < f.N {
				f.Height[row*f.N+col] -= float32(deep) / 2
			}
		}
	}
}

// Raise adds a lump like a cud or a die chip: a disc of that middle, radius and height, mm.
func (f *Face) Raise(x, y, radius, height float64) {
	for i := range f.Height {
		px, py := f.place(i)
		f.Height[i] = max(f.Height[i], float32(height*(1-smooth(radius-0.1, radius+0.1, math.Hypot(px-x, py-y)))))
	}
}

// slopes makes the slopes once.
func (f *Face) slopes() {
	if f.slopeX != nil {
		return
	}
	f.slopeX, f.slopeY = make([]float32, len(f.Height)), make([]float32, len(f.Height))
	by := float32(0.5 / f.Step)
	for row := 1; row+1 < f.N; row++ {
		for i := row*f.N + 1; i < (row+1)*f.N-1; i++ {
			f.slopeX[i] = (f.Height[i+1] - f.Height[i-1]) * by
			f.slopeY[i] = (f.Height[i+f.N] - f.Height[i-f.N]) * by
		}
	}
}
