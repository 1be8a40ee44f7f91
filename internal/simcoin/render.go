package simcoin

import (
	"math"
	"math/rand/v2"
)

// cell is the side of the squares of the picture that know which coins are near, px.
const cell = 32

// Render takes the photo.
func (s Scene) Render() Shot {
	w, h := s.Camera.Width, s.Camera.Height
	v := s.Camera.view()
	shot := Shot{Width: w, Height: h}
	for _, p := range s.Coins {
		p.Face.slopes()
		t := v.truth(p)
		t.Lamps = s.Lamps
		shot.Coins = append(shot.Coins, t)
	}
	table := newTable(s)
	light := [3][]float32{make([]float32, w*h), make([]float32, w*h), make([]float32, w*h)}
	cellsAcross := (w + cell - 1) / cell
	near := make([][]int, cellsAcross*((h+cell-1)/cell))
	for k, t := range shot.Coins {
		reach := t.Edge.A*1.3 + 6*s.Coins[k].Thickness*t.PxPerMM + cell
		for i := range near {
			x, y := (float64(i%cellsAcross)+0.5)*cell, (float64(i/cellsAcross)+0.5)*cell
			if math.Hypot(x-t.Edge.X, y-t.Edge.Y) < reach {
				near[i] = append(near[i], k)
			}
		}
	}
	for py := range h {
		for px := range w {
			coins := near[py/cell*cellsAcross+px/cell]
			n := 1
			for _, k := range coins {
				x, y := v.meets(v.ray(float64(px)+0.5, float64(py)+0.5), s.Coins[k].Thickness)
				off := math.Hypot(x-s.Coins[k].X, y-s.Coins[k].Y) - s.Coins[k].Diameter/2
				if off > -1.5/s.Camera.PxPerMM && off < 1.5/s.Camera.PxPerMM+0.3*s.Coins[k].Thickness {
					n = 3 // the edge falls between pixels
				}
			}
			var sum [3]float64
			for j := range n {
				for i := range n {
					c := s.seen(v, table, coins, float64(px)+(float64(i)+0.5)/float64(n), float64(py)+(float64(j)+0.5)/float64(n))
					for k := range sum {
						sum[k] += c[k]
					}
				}
			}
			for k := range sum {
				light[k][py*w+px] = float32(sum[k] / float64(n*n))
			}
		}
	}
	for k := range light {
		light[k] = s.Camera.blurred(light[k])
	}
	shot.Pix = s.Camera.developed(light, rand.New(rand.NewPCG(s.Seed, 0xca3e7a)))
	return shot
}

// seen is the light of a place of the picture.
func (s Scene) seen(v view, table *table, coins []int, px, py float64) [3]float64 {
	ray := v.ray(px, py)
	tx, ty := v.meets(ray, 0)
	for _, k := range coins {
		p := s.Coins[k]
		x, y := v.meets(ray, p.Thickness)
		dx, dy := turned(x-p.X, y-p.Y, -p.Turn)
		if p.Holds(dx, dy) {
			return s.top(v, p, x, y, dx, dy)
		}
		if bx, by := turned(tx-p.X, ty-p.Y, -p.Turn); p.Holds(bx, by) {
			return s.wall(v, p, dx, dy, bx, by)
		}
	}
	return s.ground(table, coins, tx, ty)
}

// metal is the light that a surface of that normal sends to the camera.
func (s Scene) metal(v view, m Metal, n vec, x, y, z float64, shade func(lx, ly, lz float64) float64) [3]float64 {
	eye := unit(vec{v.at[0] - x, v.at[1] - y, v.at[2] - z})
	k := 2 * dot(n, eye)
	back := vec{k*n[0] - eye[0], k*n[1] - eye[1], k*n[2] - eye[2]}
	// A room is brighter above than at its sides.
	dull := s.Ambient * (0.75 + 0.25*n[2]) * (1 - 0.5*m.Gloss)
	gloss := s.Ambient * 0.5 * m.Gloss * (0.8 + 0.4*back[2])
	power := 8 + 40*m.Gloss
	for _, lamp := range s.Lamps {
		lx, ly, lz, strength := lamp.toward(x, y, z)
		l := vec{lx, ly, lz}
		facing := dot(n, l)
		if facing <= 0 {
			continue
		}
		if shade != nil {
			strength *= shade(lx, ly, lz)
		}
		dull += strength * facing * (1 - 0.6*m.Gloss)
		if toMirror := dot(back, l); toMirror > 0 {
			gloss += strength * m.Gloss * 0.9 * math.Pow(toMirror, power)
		}
	}
	return [3]float64{m.Red * (dull + gloss), m.Green * (dull + gloss), m.Blue * (dull + gloss)}
}

// top is the light of a place of a coin's top: x, y on the table, dx, dy on the coin.
func (s Scene) top(v view, p Placed, x, y, dx, dy float64) [3]float64 {
	sx, sy := turned(p.Face.at(p.Face.slopeX, dx, dy), p.Face.at(p.Face.slopeY, dx, dy), p.Turn)
	m := p.Metal
	if p.Tone > 0 {
		k := 1 + 0.5*p.Tone*(speckle(dx*0.35, dy*0.35, p.Seed)-0.5)
		m.Red, m.Green, m.Blue = m.Red*k, m.Green*k*(1+0.1*p.Tone*(k-1)), m.Blue*k*(1+0.4*p.Tone*(1-k))
	}
	if p.Dirt > 0 {
		cover := p.cover(dx, dy, p.Face.HeightAt(dx, dy))
		m = Metal{m.Red*(1-cover) + 0.09*cover, m.Green*(1-cover) + 0.08*cover, m.Blue*(1-cover) + 0.06*cover, m.Gloss * (1 - cover)}
	}
	var shade func(lx, ly, lz float64) float64
	if s.Shadows {
		shade = func(lx, ly, lz float64) float64 {
			ax, ay := turned(lx, ly, -p.Turn)
			return p.Face.open(dx, dy, p.Face.HeightAt(dx, dy), ax, ay, lz, 0.35)
		}
	}
	return s.metal(v, m, unit(vec{-sx, -sy, 1}), x, y, p.Thickness, shade)
}

// wall is the light of a place of a coin's wall, between the place where the ray passes the top's
// level outside and that where it would meet the table beneath the coin.
func (s Scene) wall(v view, p Placed, ax, ay, bx, by float64) [3]float64 {
	lo, hi := 0.0, 1.0
	for range 12 {
		mid := (lo + hi) / 2
		if p.Holds(ax+mid*(bx-ax), ay+mid*(by-ay)) {
			hi = mid
		} else {
			lo = mid
		}
	}
	x, y := ax+hi*(bx-ax), ay+hi*(by-ay)
	far := math.Hypot(x, y)
	nx, ny := x/far, y/far
	if p.Reeds > 0 {
		lean := 0.7 * math.Sin(float64(p.Reeds)*math.Atan2(y, x))
		n := unit(vec{nx - lean*ny, ny + lean*nx, 0})
		nx, ny = n[0], n[1]
	}
	nx, ny = turned(nx, ny, p.Turn)
	x, y = turned(x, y, p.Turn)
	c := s.metal(v, p.Metal, vec{nx, ny, 0}, p.X+x, p.Y+y, p.Thickness*(1-hi), nil)
	for k := range c {
		c[k] *= 1 - 0.5*hi // it is darker where wall and table meet
	}
	return c
}

// ground is the light of a place of the table, with the coins' shadows.
func (s Scene) ground(table *table, coins []int, x, y float64) [3]float64 {
	bright := s.Ambient
	for _, k := range coins {
		p := s.Coins[k]
		bright *= 0.45 + 0.55*smooth(0, 1.2*p.Thickness+0.1, math.Hypot(x-p.X, y-p.Y)-p.Diameter/2)
	}
	for _, lamp := range s.Lamps {
		lx, ly, lz, strength := lamp.toward(x, y, 0)
		lit := 1.0
		for _, k := range coins {
			p := s.Coins[k]
			// How far within the coin the ray to the lamp comes before it is above it.
			for _, up := range [3]float64{0.25, 0.6, 1} {
				z := up * p.Thickness
				in := p.Diameter/2 - math.Hypot(x+lx/lz*z-p.X, y+ly/lz*z-p.Y)
				lit = min(lit, 1-smooth(-0.12*p.Thickness-0.02, 0.12*p.Thickness+0.02, in))
			}
		}
		bright += strength * lz * lit
	}
	c := table.color(x, y)
	return [3]float64{c[0] * bright, c[1] * bright, c[2] * bright}
}
