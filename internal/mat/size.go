package mat

import (
	"math"

	"panside/internal/picture"
)

const (
	// pixels that coins are sought on: less than a megapixel, as with one coin.
	pixels = 750_000
	// smallest and largest radius that is sought, in shorter sides of the picture: some 500 coins, or
	// a handful.
	smallest, largest = 0.018, 0.2
	// step between radii that are tried, and between those that vote when it is known: perspective
	// makes coins in a corner a few per cent smaller.
	step = 1.04
	// nearly is the sum of votes against the best at which a larger radius is the rims'.
	nearly = 0.72
	// heap is how many of a full circle's votes make a heap.
	heap = 0.3
)

// faintest is how steep an edge must be: above noise and texture, and what eight bits can tell.
func faintest(e picture.Edges) float64 { return math.Max(1.3*e.Usual, 0.004) }

// votes are for middles at those distances along the gradient, both ways, as a share of a full
// circle's.
func votes(w, h int, edges []picture.Crest, radii ...float64) picture.Picture {
	v := picture.New(w, h)
	for _, r := range radii {
		one := float32(1 / (2 * math.Pi * r))
		for _, c := range edges {
			for _, far := range [2]float32{float32(r), float32(-r)} {
				x, y := int(c.X+far*c.Right), int(c.Y+far*c.Down)
				if x >= 0 && y >= 0 && x < w && y < h {
					v.Light[y*w+x] += one
				}
			}
		}
	}
	// A heap is as broad as the directions are unsure.
	sigma := 1 + 0.03*radii[0]
	v = v.Blur(sigma)
	for i := range v.Light {
		v.Light[i] *= float32(2 * math.Pi * sigma * sigma)
	}
	return v
}

// radius of the coins, px of the picture, 0 if none stands out.
func radius(e picture.Edges) float64 {
	by := 2
	edges := e.Crests(by, faintest(e))
	w, h := e.Right.W/by, e.Right.H/by
	short := float64(min(w, h))
	var sums, radii []float64
	best := 0.0
	for r := smallest * short; r < largest*short; r *= step {
		sum := 0.0
		votes(w, h, edges, r).Peaks(heap, func(_, _ int, v float32) {
			// Area counts too, or many small holes would beat few coins.
			sum += float64(v*v) * r
		})
		sums, radii = append(sums, sum), append(radii, r)
		best = math.Max(best, sum)
	}
	found := 0.0
	for k, s := range sums {
		if s > nearly*best && best > 0 && s >= sums[max(k-1, 0)] && s >= sums[min(k+1, len(sums)-1)] {
			found = radii[k] * float64(by)
		}
	}
	return found
}
