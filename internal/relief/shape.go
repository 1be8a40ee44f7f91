package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
	"panside/internal/picture"
)

// group is what the lamps say: the projection P, and how slopes come of the frames.
type group struct {
	k     int
	lamps [][3]float64
	p     []float64
	pinv  [][2]float64
	// normal is the normal equations of the moves in the last step.
	normal []float64
}

// What is found of each frame: where it lies, its lamp's side in radians and the share by which that rakes more.
const found = free + 2

// thought is how far a lamp is thought to stand from what was said, one standard deviation.
var thought = [2]float64{0.1, 0.1}

func newGroup(lamps [][3]float64) *group {
	k := len(lamps)
	g := &group{k: k, lamps: lamps, p: make([]float64, k*k), pinv: make([][2]float64, k)}
	var xx, xy, yy float64
	for _, l := range lamps {
		xx, xy, yy = xx+l[0]*l[0], xy+l[0]*l[1], yy+l[1]*l[1]
	}
	det := xx*yy - xy*xy
	for j, l := range lamps {
		g.pinv[j] = [2]float64{(yy*l[0] - xy*l[1]) / det, (xx*l[1] - xy*l[0]) / det}
	}
	for i := range k {
		for j := range k {
			v := lamps[i][0]*g.pinv[j][0] + lamps[i][1]*g.pinv[j][1]
			g.p[i*k+j] = -v
			if i == j {
				g.p[i*k+j]++
			}
		}
	}
	return g
}

// level is the edges of frames of even light.
type level struct {
	edges  []edges
	places [][2]float64
}

// step improves the lamps once, and the maps if the light has weight against what is known of them, gone px ago.
func (g *group) step(lv level, maps []align.Affine, said [][3]float64, weight float64, known, gone []float64) {
	k := g.k
	n := found * k
	w, h := float64(lv.edges[0].light.W), float64(lv.edges[0].light.H)
	m, r := make([]float64, n*n), make([]float64, n)
	in, gx, gy, res := make([]float64, k), make([]float64, k), make([]float64, k), make([]float64, k)
	bends, rows := make([]bend, k), make([]float64, n)
	scale, curls := g.spread(lv, maps)
	turn := make([]float64, n)
	for _, pt := range lv.places {
		for j := range k {
			x, y := maps[j].Of(pt[0], pt[1])
			e := &lv.edges[j]
			b := between(e.light, x, y)
			in[j], gx[j], gy[j] = b.of(e.light), b.of(e.right), b.of(e.down)
			bends[j] = e.bend(x, y)
		}
		norm := 0.0
		for i := range k {
			res[i] = 0
			for j := range k {
				res[i] += g.p[i*k+j] * in[j]
			}
			norm += res[i] * res[i]
		}
		wgt := 1 / (1 + norm/(scale*scale)) / (scale * scale)
		u, v := (pt[0]-w/2)/(w/2), (pt[1]-h/2)/(w/2)
		// The normal here, and by how much its parts change to the right and down.
		var normal, nx, ny [2]float64
		for i := range k {
			b := bends[i]
			px, py := g.pinv[i][0], g.pinv[i][1]
			dx, dy := px*b.xy-py*b.xx, px*b.yy-py*b.xy
			turn[found*i], turn[found*i+1], turn[found*i+2], turn[found*i+3] = dx, dy, dx*u+dy*v, dy*u-dx*v
			for c, q := range g.pinv[i] {
				normal[c] += q * in[i]
				nx[c] += q * gx[i]
				ny[c] += q * gy[i]
			}
		}
		curl := ny[0] - nx[1]
		wc := 1 / (1 + curl*curl/(curls*curls)) / (curls * curls)
		for i, l := range g.lamps {
			px, py := g.pinv[i][0], g.pinv[i][1]
			turn[found*i+4] = px*(l[0]*ny[1]-l[1]*ny[0]) - py*(l[0]*nx[1]-l[1]*nx[0])
			turn[found*i+5] = px*(l[0]*ny[0]+l[1]*ny[1]) - py*(l[0]*nx[0]+l[1]*nx[1])
		}
		// P is its own square, so Jᵀ J has P[i][j] ∇I_i ∇I_jᵀ, and Jᵀ r is ∇I_i (P I)_i.
		for i := range k {
			rows[found*i], rows[found*i+1] = gx[i], gy[i]
			rows[found*i+2] = gx[i]*u + gy[i]*v
			rows[found*i+3] = gy[i]*u - gx[i]*v
			l := g.lamps[i]
			rows[found*i+4] = l[0]*normal[1] - l[1]*normal[0]
			rows[found*i+5] = l[0]*normal[0] + l[1]*normal[1]
		}
		for i := range k {
			for a := range found {
				ra := wgt * rows[found*i+a]
				r[found*i+a] -= ra * res[i]
				rc := wc * turn[found*i+a]
				r[found*i+a] -= rc * curl
				for j := range i + 1 {
					q := ra * g.p[i*k+j]
					row, to, tc := m[(found*i+a)*n+found*j:][:found], rows[found*j:][:found], turn[found*j:][:found]
					for b := range row {
						row[b] += q*to[b] + rc*tc[b]
					}
				}
			}
		}
	}
	for i := range n {
		for j := i + 1; j < n; j++ {
			m[i*n+j] = m[j*n+i]
		}
	}
	// part is the equations of what is found from the index from on.
	part := func(from, per int) (pm, pr []float64) {
		pm, pr = make([]float64, per*k*per*k), make([]float64, per*k)
		for i := range per * k {
			at := found*(i/per) + from + i%per
			pr[i] = r[at]
			for j := range per * k {
				pm[i*per*k+j] = m[at*n+found*(j/per)+from+j%per]
			}
		}
		return pm, pr
	}
	g.normal = g.moves(part, maps, weight, known, gone, w, h)
	lm, lr := part(free, 2)
	hold(lm, k, thought[:])
	for j, l := range g.lamps {
		// What was found of the lamp before pulls back too.
		side := math.Atan2(said[j][0]*l[1]-said[j][1]*l[0], said[j][0]*l[0]+said[j][1]*l[1])
		rake := math.Hypot(l[0], l[1])/math.Hypot(said[j][0], said[j][1]) - 1
		lr[2*j] += side / (thought[0] * thought[0])
		lr[2*j+1] += rake / (thought[1] * thought[1])
	}
	if !cholesky.Solve(lm, lr) {
		return
	}
	lamps := make([][3]float64, k)
	for j, l := range g.lamps {
		// A lamp's own part is what the light lacks: it goes the other way.
		side, rake := math.Min(math.Max(-lr[2*j], -0.1), 0.1), math.Min(math.Max(1-lr[2*j+1], 0.9), 1.1)
		c, sn := math.Cos(side), math.Sin(side)
		lamps[j] = [3]float64{rake * (c*l[0] - sn*l[1]), rake * (sn*l[0] + c*l[1]), l[2]}
	}
	next := newGroup(lamps)
	next.normal = g.normal
	*g = *next
}

// moves moves the maps once, and gives the normal equations of the light.
func (g *group) moves(part func(from, per int) (m, r []float64), maps []align.Affine, weight float64, known, gone []float64, w, h float64) []float64 {
	m, d := part(0, free)
	if weight == 0 {
		return m
	}
	n := len(d)
	both := make([]float64, n*n)
	for i := range n {
		d[i] *= weight
		for j := range n {
			both[i*n+j] = weight*m[i*n+j] + known[i*n+j]
			d[i] -= known[i*n+j] * gone[j]
		}
	}
	if !cholesky.Solve(both, d) {
		return m
	}
	for j := range maps {
		maps[j] = shift(d[free*j:][:free], 1, w, h).Then(maps[j])
	}
	for i := range d {
		gone[i] += d[i]
	}
	return m
}

// bend is by how much a gradient changes a pixel.
type bend struct{ xx, xy, yy float64 }

func (e *edges) bend(x, y float64) bend {
	left, right := between(e.right, x-1, y), between(e.right, x+1, y)
	up, down := between(e.right, x, y-1), between(e.right, x, y+1)
	return bend{(right.of(e.right) - left.of(e.right)) / 2, (down.of(e.right) - up.of(e.right)) / 2, (down.of(e.down) - up.of(e.down)) / 2}
}

// four is the four pixels around a place, with their weights: what picture.Sample does, for several
// rasters at one place.
type four struct {
	i, right, down int
	w              [4]float32
}

func between(p picture.Picture, x, y float64) four {
	x, y = min(max(x-0.5, 0), float64(p.W-1)), min(max(y-0.5, 0), float64(p.H-1))
	i, j := int(x), int(y)
	f := four{i: j*p.W + i}
	if i+1 < p.W {
		f.right = 1
	}
	if j+1 < p.H {
		f.down = p.W
	}
	u, v := float32(x-float64(i)), float32(y-float64(j))
	f.w = [4]float32{(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v}
	return f
}

func (f four) of(p picture.Picture) float64 {
	v := p.Light
	return float64(f.w[0]*v[f.i] + f.w[1]*v[f.i+f.right] + f.w[2]*v[f.i+f.down] + f.w[3]*v[f.i+f.down+f.right])
}

// hold keeps the frames' mean where it is, and each frame from moving far on little evidence: a prior.
func hold(m []float64, k int, sd []float64) {
	per := len(sd)
	n := k * per
	for a := range per {
		big := 0.0
		for i := range k {
			big = math.Max(big, m[(per*i+a)*n+per*i+a])
		}
		for i := range k {
			for j := range k {
				m[(per*i+a)*n+per*j+a] += big
			}
		}
	}
	for i := range n {
		m[i*n+i] += 1 / (sd[i%per] * sd[i%per])
	}
}

// curl is that of the slopes at a place.
func (g *group) curl(lv level, maps []align.Affine, pt [2]float64) float64 {
	sum := 0.0
	for i := range g.k {
		x, y := maps[i].Of(pt[0], pt[1])
		sum += g.pinv[i][0]*float64(lv.edges[i].down.Sample(x, y)) - g.pinv[i][1]*float64(lv.edges[i].right.Sample(x, y))
	}
	return sum
}

// spread is the typical size of what no relief explains, and of the curl.
func (g *group) spread(lv level, maps []align.Affine) (left, curl float64) {
	k := g.k
	var all, curls []float64
	in := make([]float64, k)
	for i := 0; i < len(lv.places); i += 8 {
		pt := lv.places[i]
		for j := range k {
			x, y := maps[j].Of(pt[0], pt[1])
			in[j] = float64(lv.edges[j].light.Sample(x, y))
		}
		norm := 0.0
		for i := range k {
			v := 0.0
			for j := range k {
				v += g.p[i*k+j] * in[j]
			}
			norm += v * v
		}
		all = append(all, math.Sqrt(norm))
		curls = append(curls, math.Abs(g.curl(lv, maps, pt)))
	}
	if len(all) == 0 {
		return 1, 1
	}
	slices.Sort(all)
	slices.Sort(curls)
	return math.Max(1.5*all[len(all)/2], 1e-4), math.Max(1.5*curls[len(curls)/2], 1e-5)
}
