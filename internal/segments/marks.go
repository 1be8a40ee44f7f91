package segments

import "math"

// marks is all that isn't digits: unit, other signs, print, the housing's edge.
type marks struct {
	w, h   int
	free   []float32 // 1 where no digit or point can be
	shares []float32 // one over the share of free cells about a free one, else 0
	around *boxes
	pictures
	steady  []bool    // free, and never came or went
	stays   []float32 // 1 where it is steady
	inside  []bool    // steady, and well inside the window
	taught  []float32 // less its surroundings
	slope   []float32 // the size of its gradient
	mean    []float32 // its ink over three by three cells
	sign    float32
	ink     float32 // a lit segment's, in brightness
	deep    []bool  // inside, and further from the border than print on it
	blobs   []blob
	units   int     // how many of them stand free of the border
	least   float32 // the least ink of one that comes
	faint   float32 // the least ink of one that is missed
	noise   float32 // of the mean of a few frames
	tallest int     // how high a mark is at most
	own     []bool  // of a blob, and the ground about it
	band    []bool  // as high as a minus or the middle of a digit
	column  []float64
	// alike is the least correlation at which a blob is as it was taught.
	alike float32
}

// blob is ink that stood beside the digits all through the teaching: the unit is one.
type blob struct {
	cells  []int32 // with some ground about it
	box    box     // of its ink
	peak   float32
	energy float32
}

// box is columns and rows, the last ones included.
type box struct{ x0, y0, x1, y1 int }

func (b box) height() int { return b.y1 - b.y0 + 1 }

func (b box) with(i, j int) box {
	return box{min(b.x0, i), min(b.y0, j), max(b.x1, i), max(b.y1, j)}
}

// verdict is what a frame's marks say.
type verdict int

const (
	sameMarks  verdict = iota
	otherMarks         // a taught one is gone or has another letter
	newMarks           // another stands where a minus or digit could
	hidden             // too much has changed
)

const (
	// edge is how near the window's border a mark may be and still count as the unit's: nearer, it
	// may be the housing.
	edge = 0.03
	// deepEdge is how near to it ink that touches it belongs to it.
	deepEdge = 0.12
	// inkOf is the least ink of a mark, as a share of a lit segment's: its strokes are thin.
	inkOf = 0.15
	// unitCells and unitInk are the least size and ink of a mark that can be told from another.
	unitCells, unitInk = 5, 0.28
	// freshInk is the least ink of one that wasn't there.
	freshInk = 0.24
	// freshShare is that beside a mark, as a share of its own: letters of one unit are alike in strength.
	freshShare = 0.5
	// faintInk is the least ink of one that is missed when it goes while another comes.
	faintInk = 0.07
	// tallMark is how high a mark is at most, as a share of a digit's height.
	tallMark = 0.7
	// fewCells is how many cells must differ.
	fewCells = 2
)

// high writes a half-size picture less its surroundings, over the free cells.
func (m *marks) high(half *raster, into []float32) []float32 {
	times(half.v, m.free, m.masked)
	for j := range m.h {
		m.around.row(m.masked, j, into[j*m.w:(j+1)*m.w])
	}
	times(into, m.shares, into)
	mix(into, -1, m.masked, 1)
	return into
}

// threes are the means over three by three cells.
func (m *marks) threes(v, into []float32) []float32 {
	threes(v, into, m.w, m.h, box{0, 0, m.w - 1, m.h - 1})
	return into
}

// pictures are of the marks' size, used anew for each frame.
type pictures struct {
	masked, hp, diff, three, clean []float32
	came, sure, paler              []bool
}

func newPictures(n int) pictures {
	var p pictures
	for _, v := range []*[]float32{&p.masked, &p.hp, &p.diff, &p.three, &p.clean} {
		*v = make([]float32, n)
	}
	for _, v := range []*[]bool{&p.came, &p.sure, &p.paler} {
		*v = make([]bool, n)
	}
	return p
}

// learnMarks learns the marks from the frames of the teaching.
func (r *Reader) learnMarks(seen []raster, lessons []lesson) Why {
	l, first := &r.layout, &r.eye.half.raster
	m := &r.marks
	m.w, m.h, m.sign, m.ink = first.w, first.h, r.ink.sign, r.brightness(lessons)
	n := m.w * m.h
	m.free, m.steady, m.inside = make([]float32, n), make([]bool, n), make([]bool, n)
	m.tallest = int(tallMark * l.height * first.scale)
	m.deep, m.own, m.band, m.column = make([]bool, n), make([]bool, n), make([]bool, n), make([]float64, m.w)
	for j := range m.h {
		for i := range m.w {
			p := first.place(i, j)
			if !l.covers(p, r.cells, &r.point) {
				m.free[j*m.w+i] = 1
			}
			m.column[i] = p.X
			middle := l.y + l.tilt*(p.X-l.x)
			m.band[j*m.w+i] = math.Abs(p.Y-middle) < middling*l.height
		}
	}
	free := raster{w: m.w, h: m.h, v: m.free}
	near := free.blurred(around)
	m.shares = near.v
	for q, x := range m.shares {
		if m.free[q] > 0 && x > 0 {
			m.shares[q] = 1 / x
		} else {
			m.shares[q] = 0
		}
	}
	m.around, m.pictures = newBoxes(m.w, m.h, around), newPictures(n)
	highs := make([][]float32, len(seen))
	for k := range seen {
		highs[k] = m.high(&seen[k], make([]float32, n))
	}
	m.average(highs)
	m.findSteady(highs, first, r.eye.plane.aspect)
	m.findBlobs()
	if m.units == 0 {
		return NoUnit
	}
	least := float32(1)
	for i := range lessons {
		if lessons[i].allLit {
			continue
		}
		half := lessons[i].pic.halved()
		hp := m.high(&half, m.hp)
		for k := range m.blobs {
			_, like, _ := m.lay(&m.blobs[k], hp)
			least = min(least, like)
		}
	}
	m.alike = min(max(least-0.15, 0.6), 0.8)
	return ""
}

// average makes the taught picture and its slope.
func (m *marks) average(highs [][]float32) {
	n := m.w * m.h
	m.taught, m.slope = make([]float32, n), make([]float32, n)
	for k := range highs {
		for q, x := range highs[k] {
			m.taught[q] += x / float32(len(highs))
		}
	}
	for j := 1; j < m.h-1; j++ {
		for i := 1; i < m.w-1; i++ {
			q := j*m.w + i
			if m.free[q] == 0 || m.free[q-1] == 0 || m.free[q+1] == 0 || m.free[q-m.w] == 0 || m.free[q+m.w] == 0 {
				continue
			}
			gx, gy := (m.taught[q+1]-m.taught[q-1])/2, (m.taught[q+m.w]-m.taught[q-m.w])/2
			m.slope[q] = float32(math.Hypot(float64(gx), float64(gy)))
		}
	}
}

// goes is how much of a mark's ink must change for it to count as come or gone.
const goes = 0.3

// together is of how many frames a mean is taken before marks count as come or gone.
const together = 3

// findSteady tells the cells in which no mark came or went.
func (m *marks) findSteady(highs [][]float32, first *raster, aspect float64) {
	n := m.w * m.h
	m.stays = make([]float32, n)
	lo, hi := make([]float32, n), make([]float32, n)
	var rough tallyOf
	var was []float32
	for k := 0; k+together <= len(highs); k++ {
		mean := make([]float32, n)
		for _, v := range highs[k : k+together] {
			for q, x := range v {
				mean[q] += x / together
			}
		}
		mean = m.threes(mean, make([]float32, n))
		for q, x := range mean {
			if k == 0 || x < lo[q] {
				lo[q] = x
			}
			if k == 0 || x > hi[q] {
				hi[q] = x
			}
			if was != nil && m.free[q] > 0 {
				rough.add(abs(x - was[q]))
			}
		}
		was = mean
	}
	// Neighboring means share all but one frame at each end, so their differences are about
	// √(2/3) of their spread, and 0.8 of that on average.
	noise := 1.5 * rough.mean()
	// A mark that goes takes most of its ink along; the exposure and the lens take a share of it.
	came := func(p int) bool {
		most := max(-m.sign*lo[p], -m.sign*hi[p])
		return hi[p]-lo[p] > max(0.15*m.ink+0.8*m.slope[p], 6*noise, goes*most)
	}
	m.noise = noise
	for j := range m.h {
		for i := range m.w {
			q := j*m.w + i
			moved := false
			for b := max(j-2, 0); b <= min(j+2, m.h-1); b++ {
				for a := max(i-2, 0); a <= min(i+2, m.w-1); a++ {
					moved = moved || came(b*m.w+a)
				}
			}
			p := first.place(i, j)
			m.steady[q] = m.free[q] > 0 && !moved
			if m.steady[q] {
				m.stays[q] = 1
			}
			depth := min(p.X, p.Y, 1-p.Y, aspect-p.X)
			m.inside[q] = m.steady[q] && depth > edge
			m.deep[q] = m.steady[q] && depth > deepEdge
		}
	}
}

// findBlobs finds steady ink inside the window that doesn't reach its border.
func (m *marks) findBlobs() {
	n := m.w * m.h
	mean := m.threes(m.taught, make([]float32, n))
	m.mean = make([]float32, n)
	for q, x := range mean {
		m.mean[q] = -m.sign * x
	}
	inked := make([]bool, n)
	for q := range inked {
		inked[q] = m.steady[q] && -m.sign*mean[q] > inkOf*m.ink
	}
	mine := make([]bool, n) // the cells of blobs
	rest := make([]bool, n)
	for q := range inked {
		if !inked[q] || mine[q] {
			continue
		}
		cells, whole := m.flood(q, inked, mine)
		if b := m.newBlob(cells, mean); whole && len(cells) >= unitCells && b.peak > unitInk*m.ink {
			m.blobs = append(m.blobs, b)
		}
		for _, c := range cells {
			rest[c] = !whole && m.deep[c]
		}
	}
	m.units = len(m.blobs)
	m.least, m.faint = freshInk*m.ink, max(faintInk*m.ink, 6*m.noise)
	for k := range m.blobs {
		m.least = min(m.least, freshShare*m.blobs[k].peak)
	}
	m.least = max(m.least, m.faint)
	// What touches the border may be marks that merge with it: their inner parts must stay too.
	clear(mine)
	for q := range rest {
		if rest[q] && !mine[q] {
			if cells, _ := m.flood(q, rest, mine); len(cells) >= 3 {
				m.blobs = append(m.blobs, m.newBlob(cells, mean))
			}
		}
	}
	for k := range m.blobs {
		for _, c := range m.blobs[k].cells {
			m.own[c] = true
		}
	}
}

// flood gathers the inked cells within two of each other, and notes them in mine; whole is false
// if they aren't all steady and inside.
func (m *marks) flood(from int, inked, mine []bool) (cells []int32, whole bool) {
	whole = true
	todo := []int{from}
	mine[from] = true
	for len(todo) > 0 {
		q := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		cells = append(cells, int32(q))
		whole = whole && m.inside[q]
		j, i := q/m.w, q%m.w
		for b := max(j-2, 0); b <= min(j+2, m.h-1); b++ {
			for a := max(i-2, 0); a <= min(i+2, m.w-1); a++ {
				if p := b*m.w + a; inked[p] && !mine[p] {
					mine[p] = true
					todo = append(todo, p)
				}
			}
		}
	}
	return cells, whole
}

func (m *marks) newBlob(core []int32, mean []float32) blob {
	b := blob{box: box{m.w, m.h, 0, 0}}
	has := map[int32]bool{}
	for _, c := range core {
		b.peak = max(b.peak, abs(mean[c]))
		j, i := int(c)/m.w, int(c)%m.w
		b.box = b.box.with(i, j)
		for y := max(j-2, 2); y <= min(j+2, m.h-3); y++ {
			for x := max(i-2, 2); x <= min(i+2, m.w-3); x++ {
				q := int32(y*m.w + x)
				if !has[q] && m.free[q] > 0 {
					has[q] = true
					b.cells = append(b.cells, q)
					b.energy += m.taught[q] * m.taught[q]
				}
			}
		}
	}
	return b
}

// covers reports whether a place may have ink of a digit or point.
func (l *layout) covers(p Point, cells int, pt *point) bool {
	m := 0.7 * l.stroke
	for c := range cells {
		d := -float64(c)*l.pitch - l.width/2
		h := l.height * (1 + l.taper*d)
		v := (p.Y - (l.y + l.tilt*d)) / h // −0.5 to 0.5
		mid := l.x + d - l.slant*v*h
		if math.Abs(p.X-mid) < l.width/2+m && math.Abs(v)*h < h/2+m {
			return true
		}
		if pt != nil && c > 0 && math.Abs(v-0.5)*h < 2.2*l.stroke {
			at := l.at(c, pt.u, pt.v)
			if math.Abs(p.X-at.X) < 1.3*l.stroke {
				return true
			}
		}
	}
	return false
}

// diff3 is what a picture has over the taught one, in steady cells, over three by three of them.
func (m *marks) diff3(hp []float32, contrast float32) []float32 {
	copy(m.diff, hp)
	mix(m.diff, 1, m.taught, -contrast)
	times(m.diff, m.stays, m.diff)
	return m.threes(m.diff, m.three)
}

// covered reports whether much of a half-size picture isn't as taught.
func (m *marks) covered(half *raster, contrast float32) bool {
	changed := 0
	for q, d := range m.diff3(m.high(half, m.hp), contrast) {
		if m.steady[q] && abs(d) > contrast*(freshInk*m.ink+0.4*m.slope[q]) {
			changed++
		}
	}
	return changed > m.w*m.h/25
}

// abs is written so because max is a call in WebAssembly.
func abs(x float32) float32 { return float32(math.Abs(float64(x))) }
