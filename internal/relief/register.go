package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
	"panside/internal/picture"
)

// How frames are laid over each other.
const (
	// allowed is how far frames may still lie apart, px. Beyond it a small doubling is lost
	// (TestRegistrationHoldsItsLimit).
	allowed = 0.7
	// halfSeen makes up for what one step of a square, held back by its own prior, doesn't find.
	// TestRegistrationHoldsItsLimit holds the two together.
	halfSeen = 2.0
	// reach is how far a frame may have slipped, of the picture's width.
	reach = 0.08
	// compared is how many pixels are looked at, those with the strongest edges.
	compared = 8000
	// inner is the share of the coin's radius that is compared: rims fit whatever coin they are of.
	inner = 0.88
	// squares is into how many squares a side the picture is cut to see what is left.
	squares = 3
	rounds  = 10
	// largest is the width, px, of the frames as they are compared. At half of it frames of bare metal that lie within
	// 0.3 px seem to lie 0.8 px apart, since what is left of a square's misfit counts in larger pixels.
	largest = 1000
	// dull is how much of what differs between frames Lambert's law may leave open, of what it leaves open
	// of frames that have nothing to do with each other, before gloss is assumed.
	dull = 0.3
	// sameCoin is how well edges must agree within the share middle of the radius: of one coin by 0.48 and more, of two
	// with the same letters by 0.40 at most (TestAnotherBust). A middle with less than the share bare of the
	// coin's edges isn't compared.
	sameCoin, middle, bare = 0.44, 0.4, 0.25
	// doubtful is the most that the uncertainty, px, times what the other frames don't foretell may be
	// (TestWideWorld).
	doubtful = 0.15
)

// movedFrames is where the frames lie: maps from the first frame's places to each frame's.
type movedFrames struct {
	maps  []align.Affine
	lamps [][3]float64 // as they were found to stand
	apart float64
	u     float64 // standard uncertainty of where the least certain frame lies, px
}

func (m movedFrames) slips(p picture.Picture) []Slip {
	var out []Slip
	for _, a := range m.maps {
		x, y := a.Of(float64(p.W)/2, float64(p.H)/2)
		out = append(out, Slip{x - float64(p.W)/2, y - float64(p.H)/2, a.Degrees()})
	}
	return out
}

// register finds how frames slipped, of even light (even.go). One shape must explain
// them all: with L the lamps' parts across, the part of a pixel's values that no slope explains is P I,
// P = 1 − L (LᵀL)⁻¹ Lᵀ (K lamps leave K − 2 such parts). Moving frame k by d changes it by P's column k
// times ∇I_k·d, so the moves that make Σ |P I|² least come from Gauss and Newton's normal equations, with
// a similarity a frame and the frames' mean held.
//
// Tone isn't free as it is in Lambert's law: with four lamps that would leave I0 + I2 − I1 − I3 alone, which
// hardly changes when 0 and 2 move against 1 and 3, or all of them toward their lamps, as edges of gloss do.
// Here opposite lamps must give opposite values in one place.
//
// The slopes must be those of a surface, too: their curl ∂p/∂y − ∂q/∂x, with p and q linear in the frames,
// is made least together with the rest, each set against its own spread.
//
// Lamps aren't where they are said to be, which looks like a slip: so each lamp's side and how
// steeply it rakes are found together with the moves, near what was said (∂(P I) = −P ∂L g).
//
// Unlike a comparison of two frames it isn't led astray by the light on another side of each stroke.
func register(frames []picture.Picture, lamps [][3]float64, on Disc, progress func(float64) bool) (movedFrames, Why) {
	g := newGroup(slices.Clone(lamps))
	w, h := float64(frames[0].W), float64(frames[0].H)
	maps := make([]align.Affine, len(frames))
	for k := range maps {
		maps[k] = align.Identity
	}
	apart := 0.0
	small := 1
	for frames[0].W/small > 120 && frames[0].H/small > 60 {
		small *= 2
	}
	for by := small; by >= 1; by /= 2 {
		lv := newLevel(frames, on, by)
		// What was found of the lamps while frames lay apart is no good start.
		*g = *newGroup(slices.Clone(lamps))
		if len(lv.points) < 400 {
			return movedFrames{maps: maps}, Dark
		}
		for range rounds {
			var far float64
			if far, apart = g.step(lv, maps, w, h, lamps); far < 0.01 {
				break
			}
		}
		if !goesOn(progress, 0.15+0.6/float64(by)) {
			return movedFrames{maps: maps}, Stopped
		}
		apart *= float64(by)
	}
	u := calm(g.normal, maps, w, h)
	// The first frame stays where it is.
	back := maps[0].Back()
	for k := range maps {
		maps[k] = back.Then(maps[k])
	}
	maps[0] = align.Identity
	return movedFrames{maps: maps, lamps: g.lamps, apart: apart, u: u}, ""
}

// grown is the same in frames that are by times as large.
func (m movedFrames) grown(by float64) movedFrames {
	maps := slices.Clone(m.maps)
	for k := range maps {
		maps[k].X, maps[k].Y = by*maps[k].X, by*maps[k].Y
	}
	return movedFrames{maps, m.lamps, by * m.apart, by * m.u}
}

// tooFar reports whether frames of p's size slipped farther than is looked for, or still lie apart.
func (m movedFrames) tooFar(p picture.Picture) bool {
	return !(m.apart <= allowed) || slices.ContainsFunc(m.slips(p), func(s Slip) bool {
		return !(math.Hypot(s.X, s.Y) <= reach*float64(p.W)) || math.Abs(s.Degrees) > 3
	})
}

// group is what the lamps say: the projection P, and how slopes come of the frames.
type group struct {
	k     int
	lamps [][3]float64
	p     []float64
	pinv  [][2]float64
	// normal is the normal equations of the last step.
	normal []float64
}

// What is found of each frame, and how far from what was said it is thought to be (one standard
// deviation): moves in px of the level, turn and scale in px at the edge, the lamp's side in radians
// and the share by which it rakes more.
const found = 6

var thought = [found]float64{3, 3, 3, 3, 0.1, 0.1}

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

// level is the frames at one size.
type level struct {
	by          int
	frames      []picture.Picture
	right, down []picture.Picture
	bends       []bend
	points      [][2]float64 // places in full pixels
}

// bend is by how much a frame's gradient changes a pixel.
type bend struct{ xx, xy, yy picture.Picture }

func newLevel(frames []picture.Picture, on Disc, by int) level {
	lv := level{by: by}
	for _, f := range frames {
		s := f
		if by > 1 {
			s = f.Shrink(by)
		}
		s = s.Blur(1)
		r, d := s.Gradient()
		lv.frames, lv.right, lv.down = append(lv.frames, s), append(lv.right, r), append(lv.down, d)
		var b bend
		b.xx, b.xy = r.Gradient()
		_, b.yy = d.Gradient()
		lv.bends = append(lv.bends, b)
	}
	w, h := lv.frames[0].W, lv.frames[0].H
	energy := make([]float32, w*h)
	for k := range lv.frames {
		for i := range energy {
			energy[i] += lv.right[k].Light[i]*lv.right[k].Light[i] + lv.down[k].Light[i]*lv.down[k].Light[i]
		}
	}
	// The strongest edges of every square of the picture, so that none is without.
	const cells = 8
	for cy := range cells {
		for cx := range cells {
			var in []int
			for y := max(cy*h/cells, 2); y < min((cy+1)*h/cells, h-2); y++ {
				for x := max(cx*w/cells, 2); x < min((cx+1)*w/cells, w-2); x++ {
					if on.holds((float64(x)+0.5)*float64(by), (float64(y)+0.5)*float64(by), inner) {
						in = append(in, y*w+x)
					}
				}
			}
			values := make([]float32, len(in))
			for i, at := range in {
				values[i] = energy[at]
			}
			slices.Sort(values)
			want := compared / (cells * cells)
			least := float32(0)
			if len(values) > want {
				least = values[len(values)-want]
			}
			for _, at := range in {
				if energy[at] >= least && energy[at] > 0 {
					lv.points = append(lv.points, [2]float64{(float64(at%w) + 0.5) * float64(by), (float64(at/w) + 0.5) * float64(by)})
				}
			}
		}
	}
	return lv
}

// step improves the maps once and gives the largest move, and how far the frames lay apart before, both
// in px of the level.
func (g *group) step(lv level, maps []align.Affine, w, h float64, said [][3]float64) (far, apart float64) {
	k := g.k
	n := found * k
	type sums struct {
		m, r []float64 // of a square: translations alone
		n    int
	}
	local := make([]sums, squares*squares)
	for i := range local {
		local[i] = sums{make([]float64, 4*k*k), make([]float64, 2*k), 0}
	}
	m, r := make([]float64, n*n), make([]float64, n)
	in, gx, gy, res := make([]float64, k), make([]float64, k), make([]float64, k), make([]float64, k)
	at, rows := make([]four, k), make([]float64, n)
	scale, curls := g.spread(lv, maps)
	turn := make([]float64, n)
	by := float64(lv.by)
	for _, pt := range lv.points {
		sq := &local[min(int(pt[1]*squares/h), squares-1)*squares+min(int(pt[0]*squares/w), squares-1)]
		for j := range k {
			x, y := maps[j].Of(pt[0], pt[1])
			b := between(lv.frames[j], x/by, y/by)
			at[j], in[j], gx[j], gy[j] = b, b.of(lv.frames[j]), b.of(lv.right[j]), b.of(lv.down[j])
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
		sq.n++
		// The normal here, and by how much its parts change to the right and down.
		var normal, nx, ny [2]float64
		for i := range k {
			e, b := &lv.bends[i], at[i]
			px, py := g.pinv[i][0], g.pinv[i][1]
			xy := b.of(e.xy)
			dx, dy := px*xy-py*b.of(e.xx), px*b.of(e.yy)-py*xy
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
			for a := range 2 {
				ra := wgt * rows[found*i+a]
				rc := wc * turn[found*i+a]
				sq.r[2*i+a] -= ra*res[i] + rc*curl
				for j := range k {
					q := ra * g.p[i*k+j]
					sq.m[(2*i+a)*2*k+2*j] += q*rows[found*j] + rc*turn[found*j]
					sq.m[(2*i+a)*2*k+2*j+1] += q*rows[found*j+1] + rc*turn[found*j+1]
				}
			}
		}
	}
	for i := range n {
		for j := i + 1; j < n; j++ {
			m[i*n+j] = m[j*n+i]
		}
	}
	// What the squares would still move by, each for itself, less what chance moves them by.
	sum, count := 0.0, 0.0
	for _, q := range local {
		if q.n < 100 {
			continue
		}
		hold(q.m, k, []float64{1, 1})
		if !cholesky.Solve(q.m, q.r) {
			continue
		}
		for _, d := range q.r {
			sum += d * d
		}
		count += float64(k)
	}
	apart = math.Inf(1)
	if count > 0 {
		apart = halfSeen * math.Sqrt(sum/count)
	}
	g.normal = slices.Clone(m)
	hold(m, k, thought[:])
	for j, l := range g.lamps {
		// What was found of the lamp before pulls back too.
		side := math.Atan2(said[j][0]*l[1]-said[j][1]*l[0], said[j][0]*l[0]+said[j][1]*l[1])
		rake := math.Hypot(l[0], l[1])/math.Hypot(said[j][0], said[j][1]) - 1
		r[found*j+4] += side / (thought[4] * thought[4])
		r[found*j+5] += rake / (thought[5] * thought[5])
	}
	if !cholesky.Solve(m, r) {
		return 0, math.Inf(1)
	}
	lamps := make([][3]float64, k)
	for j := range k {
		d := r[found*j:][:found]
		far = math.Max(far, math.Hypot(d[0], d[1])+math.Hypot(d[2], d[3]))
		// d is in px of the level at the picture's middle, with u and v half widths from there.
		maps[j] = shift(d, by, w, h).Then(maps[j])
		// A lamp's own part is what the light lacks: it goes the other way.
		side, rake := math.Min(math.Max(-d[4], -0.1), 0.1), math.Min(math.Max(1-d[5], 0.9), 1.1)
		c, sn := math.Cos(side), math.Sin(side)
		l := g.lamps[j]
		lamps[j] = [3]float64{rake * (c*l[0] - sn*l[1]), rake * (sn*l[0] + c*l[1]), l[2]}
	}
	next := newGroup(lamps)
	next.normal = g.normal
	*g = *next
	return far, apart
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
		x, y = x/float64(lv.by), y/float64(lv.by)
		sum += g.pinv[i][0]*float64(lv.down[i].Sample(x, y)) - g.pinv[i][1]*float64(lv.right[i].Sample(x, y))
	}
	return sum
}

// spread is the typical size of what no relief explains, and of the curl.
func (g *group) spread(lv level, maps []align.Affine) (left, curl float64) {
	k := g.k
	var all, curls []float64
	in := make([]float64, k)
	by := float64(lv.by)
	for i := 0; i < len(lv.points); i += 8 {
		pt := lv.points[i]
		for j := range k {
			x, y := maps[j].Of(pt[0], pt[1])
			in[j] = float64(lv.frames[j].Sample(x/by, y/by))
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
