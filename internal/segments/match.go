package segments

import "math"

// The second way of reading compares each cell's picture as a whole with what the digits looked
// like when they were taught; it knows no segments by then.
const (
	patchW, patchH = 13, 20
	patchN         = patchW * patchH
)

// sample is a template: a digit's picture less its own plane, of length one.
type sample struct {
	digit int
	v     [patchN]float32
	size  float32 // its length before
}

// matcher holds the templates and where the cells' pictures are taken.
type matcher struct {
	cells int
	at    [maxCells]taps
	basis [3][patchN]float32 // an orthonormal basis of the planes over a patch
	seg   [nSegments][patchN]float32
	known []sample
	gram  [][]float32 // the products of the templates as long as they are
	sign  float32
	along []float32 // of each template
}

func newMatcher(l *layout, cells int, sign float32, r *raster) matcher {
	m := matcher{cells: cells, sign: sign}
	for c := range cells {
		for j := range patchH {
			for i := range patchW {
				u, v := l.ofSpot(i, j)
				m.at[c].add(r, l.at(c, u, v))
			}
		}
	}
	for j := range patchH {
		for i := range patchW {
			k := j*patchW + i
			m.basis[0][k] = 1
			m.basis[1][k] = float32(i) - float32(patchW-1)/2
			m.basis[2][k] = float32(j) - float32(patchH-1)/2
		}
	}
	for b := range m.basis {
		unit(&m.basis[b])
	}
	return m
}

// margins are how far a patch reaches beyond its digit, as shares of its width and height: not into
// its neighbors, nor far over a point between them.
func (l *layout) margins() (mu, mv float64) {
	return min(0.6*l.stroke, 0.3*(l.pitch-l.width)) / l.width, 0.6 * l.stroke / l.height
}

// spot is where a place in a cell lies in its patch.
func (l *layout) spot(u, v float64) (x, y float64) {
	mu, mv := l.margins()
	return (u+mu)/(1+2*mu)*patchW - 0.5, (v+mv)/(1+2*mv)*patchH - 0.5
}

// ofSpot is the place in a cell of a spot of its patch.
func (l *layout) ofSpot(i, j int) (u, v float64) {
	mu, mv := l.margins()
	return -mu + (1+2*mu)*(float64(i)+0.5)/patchW, -mv + (1+2*mv)*(float64(j)+0.5)/patchH
}

// unit scales to length one and gives the length before.
func unit(a *[patchN]float32) float32 {
	n := float32(math.Sqrt(float64(dot(a[:], a[:]))))
	if n > 0 {
		for k := range a {
			a[k] /= n
		}
	}
	return n
}

// patch is a cell's picture, ink above zero.
func (m *matcher) patch(r *raster, cell int) [patchN]float32 {
	var p [patchN]float32
	on := m.at[cell].on
	for k := range on {
		p[k] = -m.sign * r.on(&on[k])
	}
	return p
}

// level takes the plane out of a patch: shade over a digit isn't ink.
func (m *matcher) level(p *[patchN]float32) {
	for b := range m.basis {
		v := m.basis[b][:]
		mix(p[:], 1, v, -dot(p[:], v))
	}
}

// rooms is how many cells can hold digits: beyond those used in the lessons, a cell that shows ink
// which digits leave blank is the place of a mark.
func (m *matcher) rooms(k *ink, lessons []lesson, used int) int {
	for c := used; c < m.cells; c++ {
		for i := range lessons {
			if lessons[i].allLit {
				continue
			}
			in := k.see(&lessons[i].soft)
			if m.match(&lessons[i].soft, c, in.full*in.unit[c]).digit != -1 {
				return c
			}
		}
	}
	return m.cells
}

// model is how much of a segment covers each cell of a patch, by the layout alone.
func (m *matcher) model(l *layout) (f [nSegments][patchN]float32) {
	for s, b := range l.bars() {
		from, to := Point{b.u0 * l.width, b.v0 * l.height}, Point{b.u1 * l.width, b.v1 * l.height}
		for j := range patchH {
			for i := range patchW {
				u, v := l.ofSpot(i, j)
				d := distance(Point{u * l.width, v * l.height}, from, to) / l.stroke
				f[s][j*patchW+i] = float32(min(max(1.25-1.5*d, 0), 1))
			}
		}
	}
	return f
}

// asSeen is the model as sharp and strong as the lessons show segments: the sum of it and of its
// blurred self that explains them best.
func (m *matcher) asSeen(model [nSegments][patchN]float32, k *ink, lessons []lesson, forms *[10]glyph) [nSegments][patchN]float32 {
	var soft [nSegments][patchN]float32
	for s := range model {
		r := raster{w: patchW, h: patchH, v: model[s][:]}
		copy(soft[s][:], r.blurred(1).v)
	}
	var aa, ab, bb, ay, by float64
	for i := range lessons {
		le := &lessons[i]
		in := k.see(&le.soft)
		if in.full <= 0 {
			continue
		}
		for c := range min(len(le.shown.digits), m.cells) {
			var a, b [patchN]float32
			for s := range model {
				if le.lit(c, forms)&(1<<s) != 0 {
					for q := range a {
						a[q] += model[s][q]
						b[q] += soft[s][q]
					}
				}
			}
			p := m.patch(&le.soft, c)
			for _, v := range []*[patchN]float32{&a, &b, &p} {
				m.level(v)
			}
			scale := float64(1 / in.full / in.unit[c])
			aa += float64(dot(a[:], a[:]))
			ab += float64(dot(a[:], b[:]))
			bb += float64(dot(b[:], b[:]))
			ay += float64(dot(a[:], p[:])) * scale
			by += float64(dot(b[:], p[:])) * scale
		}
	}
	det := aa*bb - ab*ab
	if det < 1e-6*aa*bb || aa == 0 {
		return model
	}
	x, y := float32((bb*ay-ab*by)/det), float32((aa*by-ab*ay)/det)
	for s := range model {
		for q := range model[s] {
			model[s][q] = x*model[s][q] + y*soft[s][q]
		}
	}
	return model
}

// learn makes the templates: each segment's picture is what explains the taught digits best,
//
//	F = argmin Σ (y − Σ_s lit_s·F_s)² + Σ_s λ_s·(F_s − model_s)²
//
// cell by cell of the patch, so that segments which were never lit look as the layout says. λ is
// large away from a segment, so that one which was never lit without another stays its own.
func (m *matcher) learn(l *layout, k *ink, lessons []lesson, forms *[10]glyph) {
	model := m.model(l)
	var close [nSegments][patchN]bool
	for s := range model {
		for q, x := range model[s] {
			close[s][q] = x > 0
		}
	}
	model = m.asSeen(model, k, lessons, forms)
	var gram [nSegments][nSegments]float64
	var right [nSegments][patchN]float64
	for i := range lessons {
		le := &lessons[i]
		in := k.see(&le.soft)
		if in.full <= 0 {
			continue
		}
		for c := range le.shown.digits {
			if c >= m.cells {
				break
			}
			lit := le.lit(c, forms)
			p := m.patch(&le.soft, c)
			for s := range gram {
				if lit&(1<<s) == 0 {
					continue
				}
				for t := range gram {
					if lit&(1<<t) != 0 {
						gram[s][t]++
					}
				}
				for q := range p {
					right[s][q] += float64((p[q] + m.sign*in.paper[c]) / in.full / in.unit[c])
				}
			}
		}
	}
	var seg [nSegments][patchN]float32
	for q := range patchN {
		held := gram
		var y [nSegments]float64
		for s := range held {
			lambda := afar
			if close[s][q] {
				lambda = nearby
			}
			held[s][s] += lambda
			y[s] = right[s][q] + lambda*float64(model[s][q])
		}
		inv, ok := inverse(held)
		if !ok {
			return
		}
		for s := range seg {
			var x float64
			for t := range inv[s] {
				x += inv[s][t] * y[t]
			}
			seg[s][q] = float32(x)
		}
	}
	m.seg = seg
	m.known, m.along = nil, nil
	for d, fs := range tailed(lessons, forms) {
		for _, f := range fs {
			t := sample{digit: d}
			for s := range seg {
				if f&(1<<s) == 0 {
					continue
				}
				for q := range t.v {
					t.v[q] += seg[s][q]
				}
			}
			m.level(&t.v)
			t.size = unit(&t.v)
			m.known, m.along = append(m.known, t), append(m.along, 0)
		}
	}
	m.gram = nil
	for i := range m.known {
		var row []float32
		for j := range m.known {
			row = append(row, dot(m.known[i].v[:], m.known[j].v[:])*m.known[i].size*m.known[j].size)
		}
		m.gram = append(m.gram, row)
	}
}

// How firmly a segment's picture is held to the model where it lies, and away from it; a taught
// digit holds with 1.
const nearby, afar = 0.2, 10.0

// tailed are the forms a display's digits can have: the taught one where it was taught, else all.
func tailed(lessons []lesson, chosen *[10]glyph) [10][]glyph {
	out := forms
	for _, le := range lessons {
		if le.allLit {
			continue
		}
		for _, d := range le.shown.digits {
			out[d] = []glyph{chosen[d]}
		}
	}
	return out
}

// inverse of a matrix whose diagonal is strong, by elimination.
func inverse(a [nSegments][nSegments]float64) (inv [nSegments][nSegments]float64, ok bool) {
	for i := range inv {
		inv[i][i] = 1
	}
	for i := range a {
		p := a[i][i]
		if p < 1e-9 {
			return inv, false
		}
		for j := range a {
			a[i][j] /= p
			inv[i][j] /= p
		}
		for r := range a {
			if r == i {
				continue
			}
			x := a[r][i]
			for j := range a {
				a[r][j] -= x * a[i][j]
				inv[r][j] -= x * inv[i][j]
			}
		}
	}
	return inv, true
}

// matched is what the second way says of one cell.
type matched struct {
	digit int     // −1 for blank, −2 for nothing it knows
	sure  float32 // where the cell lies between the next likely digit, 0, and this one, 1
	left  float32 // the largest ink left unexplained, as a share of full ink
}

// match compares a cell with all templates; full is the ink of lit segments. How sure it is of a
// digit k against another n is told along the line between their templates,
//
//	t = (p − a·u_n)·(u_k − u_n) / (a·|u_k − u_n|²)
//
// so that what neither of them explains doesn't count.
func (m *matcher) match(soft *raster, cell int, full float32) matched {
	p := m.patch(soft, cell)
	m.level(&p)
	best, most, along := -1, float32(0), m.along[:len(m.known)]
	for k := range m.known {
		along[k] = dot(p[:], m.known[k].v[:])
		if along[k] > most {
			best, most = k, along[k]
		}
	}
	ink := biggest(&p) / full
	if best < 0 {
		if ink < blankInk {
			return matched{digit: -1}
		}
		return matched{digit: -2}
	}
	b := &m.known[best]
	amount := most / b.size
	if amount/full < 0.3 && ink < blankInk {
		return matched{digit: -1}
	}
	out := matched{digit: b.digit, sure: 1}
	for k := range m.known {
		if n := &m.known[k]; n.digit != b.digit {
			cross := m.gram[best][k]
			num := along[best]*b.size - along[k]*n.size - amount*(cross-n.size*n.size)
			out.sure = min(out.sure, num/(amount*(b.size*b.size-2*cross+n.size*n.size)))
		}
	}
	mix(p[:], 1, b.v[:], -most)
	out.left = biggest(&p) / full
	if amount/full < leastAmount || amount/full > mostAmount {
		out.digit = -2
	}
	return out
}

// leastAmount and mostAmount are how strong a digit is, as a share of a lit segment's ink: glare
// brightens the paper that ink is measured by. The first way looks at each segment's own.
const leastAmount, mostAmount = 0.5, 1.6

// blankInk is the most ink of a blank cell, as a share of a lit segment's.
const blankInk = 0.35

// biggest is the largest mean over three by three cells of a patch, by size.
func biggest(p *[patchN]float32) float32 {
	var most float32
	for j := range patchH - 2 {
		k := j * patchW
		above, here, below := p[k:k+patchW], p[k+patchW:k+2*patchW], p[k+2*patchW:k+3*patchW]
		left, middle := above[0]+here[0]+below[0], above[1]+here[1]+below[1]
		for i := 2; i < patchW; i++ {
			right := above[i] + here[i] + below[i]
			if sum := abs(left + middle + right); sum > most {
				most = sum
			}
			left, middle = middle, right
		}
	}
	return most / 9
}
