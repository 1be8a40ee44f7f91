package simcoin

import (
	"math"
	"math/rand/v2"
)

// speckle is a smooth random field from 0 to 1 with a feature a unit.
func speckle(x, y float64, seed uint64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	i, j := int64(fx), int64(fy)
	tx, ty := x-fx, y-fy
	tx, ty = tx*tx*(3-2*tx), ty*ty*(3-2*ty)
	a := hashed(i, j, seed) + tx*(hashed(i+1, j, seed)-hashed(i, j, seed))
	b := hashed(i, j+1, seed) + tx*(hashed(i+1, j+1, seed)-hashed(i, j+1, seed))
	return a + ty*(b-a)
}

func hashed(i, j int64, seed uint64) float64 {
	h := uint64(i)*0x9e3779b97f4a7c15 ^ uint64(j)*0xc2b2ae3d27d4eb4f ^ seed*0x165667b19e3779f9
	h ^= h >> 31
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 29
	return float64(h>>11) / (1 << 53)
}

// table is the ground with what lies on it.
type table struct {
	ground Ground
	base   [3]float64
	grain  float64 // degrees
	seed   uint64
	marks  []mark
}

// mark is a piece of clutter: a line, a ring, a sheet or a crumb.
type mark struct {
	kind       byte // 'l', 'r', 's', 'c'
	x, y       float64
	dx, dy     float64 // direction of a line or a sheet's side
	long, wide float64
	color      [3]float64
	cover      float64
}

func newTable(s Scene) *table {
	r := rand.New(rand.NewPCG(s.Seed, 0x7ab1e))
	t := &table{ground: s.Ground, grain: 360 * r.Float64(), seed: s.Seed}
	switch s.Ground {
	case Paper:
		v := 0.75 + 0.15*r.Float64()
		t.base = [3]float64{v, v, v * (0.92 + 0.08*r.Float64())}
	case Wood:
		v := 0.18 + 0.3*r.Float64()
		t.base = [3]float64{v, v * 0.68, v * 0.42}
	case Cloth:
		t.base = [3]float64{0.1 + 0.4*r.Float64(), 0.1 + 0.4*r.Float64(), 0.1 + 0.4*r.Float64()}
	default:
		v := 0.03 + 0.05*r.Float64()
		t.base = [3]float64{v, v, v * 1.1}
	}
	reach := math.Hypot(float64(s.Camera.Width), float64(s.Camera.Height)) / s.Camera.PxPerMM / 2
	gray := func() [3]float64 {
		v := 0.03 + 0.85*r.Float64()*r.Float64()
		return [3]float64{v * (0.8 + 0.4*r.Float64()), v, v * (0.8 + 0.4*r.Float64())}
	}
	add := func(n float64, kind byte, long, wide, cover float64) {
		for range int(n*s.Clutter + r.Float64()) {
			x, y := direction(360 * r.Float64())
			far := reach * math.Sqrt(r.Float64())
			dx, dy := direction(360 * r.Float64())
			t.marks = append(t.marks, mark{
				kind: kind, x: x * far, y: y * far, dx: dx, dy: dy,
				long: long * (0.4 + r.Float64()), wide: wide * (0.4 + r.Float64()), color: gray(), cover: cover * (0.5 + 0.5*r.Float64()),
			})
		}
	}
	if s.Clutter > 0 {
		add(3, 's', reach*0.8, reach*0.5, 1)
		add(14, 'l', reach, 0.25, 0.9)
		add(2.5, 'r', reach*0.7, 0.8, 0.5)
		add(50, 'c', 0, 0.5, 1)
	}
	return t
}

func (t *table) color(x, y float64) [3]float64 {
	k := 1.0
	switch t.ground {
	case Paper:
		k += 0.03 * (speckle(8*x, 8*y, t.seed) - 0.5)
	case Wood:
		u, v := turned(x, y, t.grain)
		k += 0.5*(speckle(0.04*u, 1.1*v+0.8*speckle(0.07*u, 0.1*v, t.seed), t.seed+1)-0.5) + 0.2*(speckle(0.5*u, 7*v, t.seed+2)-0.5)
	case Cloth:
		u, v := turned(x, y, t.grain)
		k += 0.22*math.Sin(9*u)*math.Sin(9*v) + 0.25*(speckle(2*u, 2*v, t.seed)-0.5)
	default:
		k += 0.4 * (speckle(6*x, 6*y, t.seed) - 0.5)
	}
	c := [3]float64{t.base[0] * k, t.base[1] * k, t.base[2] * k}
	for _, m := range t.marks {
		in := m.holds(x, y) * m.cover
		if in > 0 {
			for i := range c {
				c[i] += in * (m.color[i] - c[i])
			}
		}
	}
	return c
}

// holds is how much of a place the mark covers, 0 to 1.
func (m mark) holds(x, y float64) float64 {
	x, y = x-m.x, y-m.y
	switch m.kind {
	case 'c':
		if x*x+y*y > 4*m.wide*m.wide {
			return 0
		}
		return 1 - smooth(m.wide-0.05, m.wide+0.05, math.Hypot(x, y))
	case 'r':
		return 1 - smooth(m.wide/2, m.wide/2+0.3, math.Abs(math.Hypot(x, y)-m.long))
	}
	u, v := math.Abs(x*m.dx+y*m.dy), math.Abs(-x*m.dy+y*m.dx)
	if u > m.long || v > m.wide {
		return 0
	}
	return 1
}
