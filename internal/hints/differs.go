package hints

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/picture"
)

// How other differences are looked for.
const (
	spot  = 0.4 // half a side of a square, mm
	spots = 5   // told at the most of a kind
	// clearly is over how many usual differences of a pixel with as much relief a pixel differs.
	clearly = 4.0
	parts   = 12 // classes of relief
)

// Difference is a square that differs.
type Difference struct {
	X, Y  float64 // pixels of the pair
	Score float64 // share of its pixels that differ clearly, 0 to 1
}

// Differences gives the squares that differ the most from the ordinary coin, the highest first and
// none within 2 mm of a higher one: with D = M − aR the difference, the share of pixels whose |D| is
// over four times the median |D| of pixels with as much relief around them ⟨R²⟩ on this same coin. A
// scratch is steep and narrow, so its share is small; a chip or a missing letter fills a square.
func (p *Pair) Differences() ([]Difference, Why) {
	mr, rr := 0.0, 0.0
	for i, v := range p.ordinary.right {
		u := p.ordinary.down[i]
		mr += float64(p.mine.right[i]*v + p.mine.down[i]*u)
		rr += float64(v*v + u*u)
	}
	if !(rr > 0) {
		return nil, TooFew
	}
	a := float32(mr / rr)
	half := max(int(math.Round(spot/p.pixel)), 1)
	around := p.energy(p.ordinary, max(half/3, 1))
	type pixel struct {
		i         int
		has, what float32
	}
	var all []pixel
	for y := range p.h {
		for x := range p.w {
			if i := y*p.w + x; p.within(float64(x), float64(y), 0) {
				r, d := p.mine.right[i]-a*p.ordinary.right[i], p.mine.down[i]-a*p.ordinary.down[i]
				all = append(all, pixel{i, around[i], r*r + d*d})
			}
		}
	}
	if len(all) < 2000 {
		return nil, TooFew
	}
	slices.SortFunc(all, func(a, b pixel) int { return cmp.Or(cmp.Compare(a.has, b.has), cmp.Compare(a.i, b.i)) })
	marked := picture.New(p.w, p.h)
	var what []float32
	for k := range parts {
		part := all[k*len(all)/parts : (k+1)*len(all)/parts]
		what = what[:0]
		for _, q := range part {
			what = append(what, q.what)
		}
		slices.Sort(what)
		bar := clearly * clearly * what[len(what)/2]
		for _, q := range part {
			if q.what > bar {
				marked.Light[q.i] = 1
			}
		}
	}
	share := marked.Mean(half).Light
	var out []Difference
	step := max(half/3, 1)
	for y := half; y < p.h-half; y += step {
		for x := half; x < p.w-half; x += step {
			if p.within(float64(x), float64(y), float64(half)) {
				out = append(out, Difference{float64(x) + 0.5, float64(y) + 0.5, float64(share[y*p.w+x])})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Difference) int { return cmp.Compare(b.Score, a.Score) })
	var kept []Difference
	for _, c := range out {
		if !slices.ContainsFunc(kept, func(k Difference) bool { return math.Hypot(k.X-c.X, k.Y-c.Y) < 2/p.pixel }) {
			if kept = append(kept, c); len(kept) == spots {
				break
			}
		}
	}
	return kept, ""
}
