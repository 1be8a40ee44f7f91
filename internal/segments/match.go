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
	at    [maxCells][]Point
	basis [3][patchN]float32 // an orthonormal basis of the planes over a patch
	known []sample
	sign  float32
}

func newMatcher(l *layout, cells int, sign float32) matcher {
	m := matcher{cells: cells, sign: sign}
	mu := 0.6 * l.stroke / l.width
	mv := 0.6 * l.stroke / l.height
	for c := range cells {
		for j := range patchH {
			for i := range patchW {
				u := -mu + (1+2*mu)*(float64(i)+0.5)/patchW
				v := -mv + (1+2*mv)*(float64(j)+0.5)/patchH
				m.at[c] = append(m.at[c], l.at(c, u, v))
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

func dot(a, b *[patchN]float32) float32 {
	var sum float32
	for k := range a {
		sum += a[k] * b[k]
	}
	return sum
}

// unit scales to length one and gives the length before.
func unit(a *[patchN]float32) float32 {
	n := float32(math.Sqrt(float64(dot(a, a))))
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
	for k, at := range m.at[cell] {
		p[k] = -m.sign * r.at(at)
	}
	return p
}

// level takes the plane out of a patch: shade over a digit isn't ink.
func (m *matcher) level(p *[patchN]float32) {
	for b := range m.basis {
		d := dot(p, &m.basis[b])
		for k := range p {
			p[k] -= d * m.basis[b][k]
		}
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
			in := k.see(&lessons[i].pic)
			soft := lessons[i].pic.blurred(1)
			p := m.patch(&soft, c)
			m.level(&p)
			if biggest(&p) > 0.45*in.full*in.unit[c] {
				return c
			}
		}
	}
	return m.cells
}

// model is how much of a segment covers each cell of a patch, by the layout alone.
func (m *matcher) model(l *layout) (f [nSegments][patchN]float32) {
	mu, mv := 0.6*l.stroke/l.width, 0.6*l.stroke/l.height
	for s, b := range l.bars() {
		ax, ay, bx, by := b.u0*l.width, b.v0*l.height, b.u1*l.width, b.v1*l.height
		for j := range patchH {
			for i := range patchW {
				x := (-mu + (1+2*mu)*(float64(i)+0.5)/patchW) * l.width
				y := (-mv + (1+2*mv)*(float64(j)+0.5)/patchH) * l.height
				dx, dy := bx-ax, by-ay
				t := min(max(((x-ax)*dx+(y-ay)*dy)/(dx*dx+dy*dy), 0), 1)
				d := math.Hypot(x-ax-t*dx, y-ay-t*dy) / l.stroke
				f[s][j*patchW+i] = float32(min(max(1.25-1.5*d, 0), 1))
			}
		}
	}
	return f
}

// learn makes the templates: each segment's picture is what explains the taught digits best,
//
//	F = argmin Σ (y − Σ_s lit_s·F_s)² + λ·Σ_s (F_s − model_s)²
//
// cell by cell of the patch, so that segments which were never lit look as the layout says.
func (m *matcher) learn(l *layout, k *ink, lessons []lesson, forms *[10]glyph) {
	const lambda = 0.3
	model := m.model(l)
	var gram [nSegments][nSegments]float64
	var right [nSegments][patchN]float64
	for s := range gram {
		gram[s][s] = lambda
		for q := range right[s] {
			right[s][q] = lambda * float64(model[s][q])
		}
	}
	for i := range lessons {
		le := &lessons[i]
		in := k.see(&le.pic)
		if in.full <= 0 {
			continue
		}
		soft := le.pic.blurred(1)
		for c := range le.shown.digits {
			if c >= m.cells {
				break
			}
			lit := le.lit(c, forms)
			p := m.patch(&soft, c)
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
	inv, ok := inverse(gram)
	if !ok {
		return
	}
	var seg [nSegments][patchN]float32
	for s := range seg {
		for q := range seg[s] {
			var x float64
			for t := range inv[s] {
				x += inv[s][t] * right[t][q]
			}
			seg[s][q] = float32(x)
		}
	}
	m.known = nil
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
			m.known = append(m.known, t)
		}
	}
}

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

// inverse of a positive definite matrix, by elimination.
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
	ratio float32 // of what the digit leaves unexplained to what the next best one leaves
	left  float32 // the largest ink left unexplained, as a share of full ink
}

// match compares a cell with all templates; full is the ink of lit segments.
func (m *matcher) match(soft *raster, cell int, full float32) matched {
	p := m.patch(soft, cell)
	m.level(&p)
	all := dot(&p, &p)
	best, bestLeft, nextLeft := -1, float32(math.Inf(1)), float32(math.Inf(1))
	var amount float32
	for k := range m.known {
		a := dot(&p, &m.known[k].v)
		left := all - a*a
		if a < 0 {
			left = all
		}
		switch {
		case left < bestLeft:
			if best < 0 || m.known[k].digit != m.known[best].digit {
				nextLeft = bestLeft
			}
			best, bestLeft, amount = k, left, a
		case left < nextLeft && m.known[k].digit != m.known[best].digit:
			nextLeft = left
		}
	}
	if best < 0 {
		return matched{digit: -2}
	}
	size := amount / m.known[best].size / full
	if size < 0.3 && biggest(&p) < 0.35*full {
		return matched{digit: -1}
	}
	for q := range p {
		p[q] -= amount * m.known[best].v[q]
	}
	out := matched{digit: m.known[best].digit, ratio: bestLeft / nextLeft, left: biggest(&p) / full}
	if size < 0.6 || size > 1.5 {
		out.digit = -2
	}
	return out
}

// biggest is the largest mean over three by three cells of a patch, by size.
func biggest(p *[patchN]float32) float32 {
	var most float32
	for j := 1; j < patchH-1; j++ {
		for i := 1; i < patchW-1; i++ {
			var sum float32
			for b := -1; b <= 1; b++ {
				k := (j+b)*patchW + i
				sum += p[k-1] + p[k] + p[k+1]
			}
			most = max(most, sum/9, -sum/9)
		}
	}
	return most
}
