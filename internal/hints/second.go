package hints

import (
	"cmp"
	"math"
	"slices"
)

// How a second image is looked for. Chosen on coins of the first world, 640 px across, with windows of 4
// and 5 cells, bands up to 0.12, 0.2 and 0.35 mm, least widths of 0.1 and 0.2 and shares of the own image of
// 0, 0.3 and 0.5.
const (
	apart   = 0.8  // side of a cell, mm
	window  = 4    // cells that a side of a window has
	nearest = 0.06 // of a second image from the first, mm
	far     = 0.36
	dense   = 0.18 // up to here each pixel is tried
	// busy is the least energy of a window against the coin's busiest tenth.
	busy = 0.25
	// band is the blur, mm, that is taken off: the slopes of a bust are too smooth to tell a shift by.
	band = 0.2
	// own is the least share of a shifted copy that the window itself must leave unexplained.
	own = 0.02
	// inPlace is the least of the first image that a cell must have, against the whole coin's: where it is
	// missing there is no second one, and where the two reliefs err nothing can be told.
	inPlace = 0.5
	// bothWays is the least share of a window's relief that must face across the way that most of it does:
	// a rim's flank or a portrait's edge, which goes on straight, looks like itself a little aside.
	bothWays = 0.2
	// usual is added to the median gain of other windows, so that nothing rests on what is hardly there.
	usual = 0.02
)

// Second is what a window says of a second image.
type Second struct {
	X, Y           float64 // middle of the window, pixels of the pair
	Gain           float64 // as the package says, before it is set against those of other windows
	Score          float64
	ShiftX, ShiftY float64 // mm

	cx, cy int // first cell
	gains  []float64
}

// Seconds gives the score of each window that has relief, the highest first.
func (p *Pair) Seconds(progress func(done float64) (goOn bool)) ([]Second, Why) {
	mine, ordinary := p.ringless(p.banded(p.mine), p.banded(p.ordinary))
	shifts := p.shifts()
	g := grid{side: max(int(math.Round(apart/p.pixel)), 2), copies: len(shifts)}
	g.n = p.w / g.side
	g.cells = make([]sums, g.n*g.n)
	for i := range g.cells {
		if i%g.n == 0 && progress != nil && !progress(float64(i)/float64(len(g.cells))) {
			return nil, Stopped
		}
		x, y := i%g.n*g.side, i/g.n*g.side
		half := float64(g.side) / 2
		if p.within(float64(x)+half, float64(y)+half, half+far/p.pixel/2) {
			g.cells[i] = p.sums(mine, ordinary, x, y, g.side, shifts)
		}
	}
	g.keepInPlace()
	out := g.windows()
	if len(out) < 8 {
		return nil, TooFew
	}
	g.goingOn(out)
	for i := range out {
		s := &out[i]
		s.Gain = math.Inf(-1)
		for k, v := range s.gains {
			if v -= s.gains[len(shifts)-1-k]; v > s.Gain {
				s.Gain = v
				s.ShiftX, s.ShiftY = float64(shifts[k].dx)*p.pixel, float64(shifts[k].dy)*p.pixel
			}
		}
	}
	// Against the median of the windows that have nothing of this one.
	for i := range out {
		var others, all []float64
		for _, o := range out {
			all = append(all, o.Gain)
			if apart := max(abs(o.cx-out[i].cx), abs(o.cy-out[i].cy)); apart >= window+2 {
				others = append(others, o.Gain)
			}
		}
		if len(others) < 6 {
			others = all
		}
		m := median(others)
		out[i].Score = (out[i].Gain - m) / (usual + math.Max(m, 0))
	}
	slices.SortStableFunc(out, func(a, b Second) int { return cmp.Compare(b.Score, a.Score) })
	return out, ""
}

func abs(v int) int { return max(v, -v) }

// shift is one place of a second image, pixels.
type shift struct{ dx, dy int }

// shifts are those tried: each pixel near by, each second one farther off, where the gain changes
// slowly. With each stands its opposite, at the same place from the end.
func (p *Pair) shifts() []shift {
	var out []shift
	reach := int(math.Ceil(far / p.pixel))
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			d := math.Hypot(float64(dx), float64(dy)) * p.pixel
			if d < nearest || d > far || d > dense && (dx%2 != 0 || dy%2 != 0) {
				continue
			}
			out = append(out, shift{dx, dy})
		}
	}
	return out
}

// banded is a field less what is wider than the band.
func (p *Pair) banded(f field) field {
	s := p.softened(f, band/p.pixel)
	for i := range s.right {
		s.right[i] = f.right[i] - s.right[i]
		s.down[i] = f.down[i] - s.down[i]
	}
	return s
}

// grid is a coin's cells, n by n of side pixels.
type grid struct {
	side, n, copies int
	cells           []sums
}

// keepInPlace empties the cells where the first image isn't at its place.
func (g grid) keepInPlace() {
	var all sums
	n := 0.0
	for i := range g.cells {
		if c := &g.cells[i]; c.in {
			all.add(c)
			n++
		}
	}
	for i := range g.cells {
		if c := &g.cells[i]; c.in && c.bb[0][0] > busy*all.bb[0][0]/n && c.bm[0]*all.bb[0][0] < inPlace*all.bm[0]*c.bb[0][0] {
			*c = sums{}
		}
	}
}

// windows are those with enough relief, with the gain of each shift.
func (g grid) windows() []Second {
	var out []Second
	var energy, sorted []float64
	for cy := 0; cy+window <= g.n; cy++ {
		for cx := 0; cx+window <= g.n; cx++ {
			all := sums{copies: make([]copied, g.copies)}
			n := 0
			for i := range window * window {
				if c := &g.cells[(cy+i/window)*g.n+cx+i%window]; c.in {
					all.add(c)
					n++
				}
			}
			if n < window*window/2 {
				continue
			}
			sorted = append(sorted, all.bb[0][0]/float64(n))
			if all.across() < bothWays {
				continue
			}
			energy = append(energy, all.bb[0][0]/float64(n))
			middle := float64(g.side) * window / 2
			out = append(out, Second{X: float64(cx*g.side) + middle, Y: float64(cy*g.side) + middle, cx: cx, cy: cy, gains: all.gains()})
		}
	}
	if len(out) == 0 {
		return nil
	}
	slices.Sort(sorted)
	kept := out[:0]
	for i, s := range out {
		if energy[i] >= busy*sorted[len(sorted)*9/10] {
			kept = append(kept, s)
		}
	}
	return kept
}

// goingOn makes each window's gains the mean with those of its neighbors: a second image goes on from one
// to the next by the same shift.
func (g grid) goingOn(all []Second) {
	means := make([][]float64, len(all))
	for i, s := range all {
		means[i] = make([]float64, g.copies)
		n := 0.0
		for _, o := range all {
			if max(abs(o.cx-s.cx), abs(o.cy-s.cy)) <= 1 {
				n++
				for k, v := range o.gains {
					means[i][k] += v
				}
			}
		}
		for k := range means[i] {
			means[i][k] /= n
		}
	}
	for i := range all {
		all[i].gains = means[i]
	}
}
