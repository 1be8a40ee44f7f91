package segments

import "math"

const (
	// middling is how far from the middle of the digits ink reaches into the rows of a minus and of
	// every digit's bars, as a share of their height.
	middling = 0.22
	// letterGap is how far from a mark another letter of its word stands at most, as a share of its
	// height, and letterCells the least that counts as near.
	letterGap, letterCells = 0.4, 2
	// lowLetter and tallLetter are its least and largest height, as a share of the mark's: x-height
	// beside a tall letter and the other way round.
	lowLetter, tallLetter = 0.45, 2.2
	// inLine is how much of the lower of two letters stands beside the other, as a share.
	inLine = 0.6
)

// compare tells whether the marks of a half-size picture are the taught ones. contrast is its
// gain; left is where its number begins.
//
// Ink that came elsewhere is no other unit by itself: stable signs, batteries and tare marks come
// late. It is one if it touches a taught mark, if one went, however faint, or if it stands beside one
// as a letter does.
func (m *marks) compare(half *raster, contrast float32, left float64) verdict {
	hp := m.high(half, m.hp)
	three := m.diff3(hp, contrast)
	f := fresh{m.came, m.sure}
	clear(f.came)
	clear(f.sure)
	changed, sure := 0, 0
	steady, slope := m.steady[:len(three)], m.slope[:len(three)]
	much, most, some := contrast*freshInk*m.ink, contrast*m.least, contrast*m.least/2
	least := min(much, some)
	for q, d := range three {
		if abs(d) <= least || !steady[q] {
			continue
		}
		edge := 0.4 * contrast * slope[q]
		if abs(d)-edge > much {
			changed++
		}
		rises := -m.sign*d - edge
		if rises <= some {
			continue
		}
		f.came[q] = true
		if m.inside[q] && rises > most {
			f.sure[q] = true
			sure++
		}
	}
	if changed > len(three)/25 {
		return hidden
	}
	if sure >= fewCells {
		hp = m.without(half, f.came, m.diff)
		three = m.diff3(hp, contrast)
	}
	if why := m.missed(hp, three, contrast, sure >= fewCells); why != sameMarks || sure < fewCells {
		return why
	}
	return m.judge(&f, left)
}

// without is a picture, less its surroundings, from which the ink that came is taken: its
// surroundings would be darker by it, and what stands beside it paler.
func (m *marks) without(half *raster, came []bool, diff []float32) []float32 {
	clean := *half
	clean.v = m.clean
	copy(clean.v, half.v)
	for q, c := range came {
		if !c {
			continue
		}
		j, i := q/m.w, q%m.w
		for b := max(j-1, 0); b <= min(j+1, m.h-1); b++ {
			for a := max(i-1, 0); a <= min(i+1, m.w-1); a++ {
				if p := b*m.w + a; m.sign*diff[p] < 0 {
					clean.v[p] = half.v[p] - diff[p]
				}
			}
		}
	}
	return m.high(&clean, m.hp)
}

// missed tells whether a taught mark went, or changed. A faint one counts too, since a small triangle
// beside a printed unit has little ink, and one that merges with the glass's edge is part of a larger
// blob: it went if ink is missing in a place no larger than a mark, or anywhere if other ink came.
func (m *marks) missed(hp, three []float32, contrast float32, came bool) verdict {
	gone, faded := 0, 0
	paler := m.paler
	clear(paler)
	for q, d := range three {
		ink := m.mean[q]
		if m.sign*d <= 0 || !m.inside[q] || ink < m.faint {
			continue
		}
		least := 0.25 * ink
		if least < m.faint {
			least = m.faint
		}
		if m.sign*d > contrast*(least+0.3*m.slope[q]) {
			paler[q] = true
			faded++
		}
		if !m.own[q] && ink > inkOf*m.ink && m.sign*d > contrast*(0.5*ink+0.35*m.slope[q]) {
			gone++
		}
	}
	if gone > fewCells || (came && faded >= fewCells) || (faded > fewCells && m.hasSpot(paler)) {
		return otherMarks
	}
	for k := range m.blobs {
		if !m.stands(&m.blobs[k], hp, contrast) {
			return otherMarks
		}
	}
	return sameMarks
}

// hasSpot reports whether some of these cells are a place no larger than a mark: light and shade
// change more at once.
func (m *marks) hasSpot(in []bool) bool {
	mine := make([]bool, len(in))
	for q, is := range in {
		if !is || mine[q] {
			continue
		}
		if cells, _ := m.flood(q, in, mine); len(cells) > fewCells {
			if at := m.boxOf(cells); at.height() <= m.tallest && at.x1-at.x0 < 2*m.tallest {
				return true
			}
		}
	}
	return false
}

// boxOf holds cells.
func (m *marks) boxOf(cells []int32) box {
	at := box{m.w, m.h, 0, 0}
	for _, c := range cells {
		at = at.with(int(c)%m.w, int(c)/m.w)
	}
	return at
}

// lay lays a blob upon a picture, a cell aside if that is better: by how far, how like it is, and
// how strong.
func (m *marks) lay(b *blob, hp []float32) (by int, like, gain float32) {
	for _, d := range [...]int{0, -1, 1, -m.w, m.w, -m.w - 1, -m.w + 1, m.w - 1, m.w + 1} {
		var ti, ii float32
		for _, q := range b.cells {
			x := hp[int(q)+d]
			ti += m.taught[q] * x
			ii += x * x
		}
		if ii == 0 {
			continue
		}
		if l := ti / float32(math.Sqrt(float64(ii)*float64(b.energy))); l > like {
			by, like, gain = d, l, ti/b.energy
		}
	}
	return by, like, gain
}

// stands reports whether a blob is as it was taught, at the exposure of its own place.
func (m *marks) stands(b *blob, hp []float32, contrast float32) bool {
	by, like, gain := m.lay(b, hp)
	if like < m.alike || gain < 0.5*contrast || gain > 2*contrast {
		return false
	}
	differ, gone := 0, 0
	for _, q := range b.cells {
		var e float32
		for y := -m.w; y <= m.w; y += m.w {
			for x := -1; x <= 1; x++ {
				p := int(q) + y + x
				e += (hp[p+by] - gain*m.taught[p]) / 9
			}
		}
		if abs(e) > gain*(0.3*b.peak+0.3*m.slope[q]) {
			differ++
		}
		if m.inside[q] && m.mean[q] > inkOf*m.ink && m.sign*e > gain*(0.5*m.mean[q]+0.35*m.slope[q]) {
			gone++
		}
	}
	return differ < fewCells && gone <= fewCells
}

// fresh is ink that came: where, and where that is sure.
type fresh struct{ came, sure []bool }

// judge tells whether ink that came touches a mark or is a letter of one, or could be a minus, which
// is wider than high.
func (m *marks) judge(f *fresh, left float64) verdict {
	mine := make([]bool, len(f.came))
	says := sameMarks
	for q := range f.sure {
		if !f.sure[q] || mine[q] {
			continue
		}
		cells, _ := m.flood(q, f.came, mine)
		at, n, middle, touching := m.boxOf(cells), 0, 0, 0
		for _, c := range cells {
			if m.own[c] {
				touching++
			}
			if f.sure[c] {
				n++
				if m.band[c] && m.column[int(c)%m.w] < left {
					middle++
				}
			}
		}
		if n < fewCells {
			continue
		}
		if touching > fewCells {
			return otherMarks
		}
		for k := range m.blobs[:m.units] {
			if m.blobs[k].box.goesOnIn(at) {
				return otherMarks
			}
		}
		if middle >= fewCells && at.x1-at.x0+1 > at.height() {
			says = newMarks
		}
	}
	return says
}

// goesOnIn reports whether another box stands beside this one as a letter of its word does.
func (b box) goesOnIn(o box) bool {
	gap := max(o.x0-b.x1, b.x0-o.x1) - 1
	high, other := b.height(), o.height()
	beside := min(b.y1, o.y1) - max(b.y0, o.y0) + 1
	return float64(gap) <= max(letterGap*float64(high), letterCells) &&
		float64(other) >= lowLetter*float64(high) && float64(other) <= tallLetter*float64(high) &&
		float64(beside) >= inLine*float64(min(high, other))
}
