package align

import (
	"cmp"
	"math"
	"slices"
)

// How the best of all near maps is searched for.
const (
	searchTurn  = 4.0   // degrees to either side of the rings' turn
	searchStep  = 0.5   // degrees
	searchMove  = 0.024 // of the radius, along both axes
	searchHop   = 0.012
	searchEvery = 10    // of the pixels compared one is taken
	climbEvery  = 3     // and one to climb by
	searchTops  = 4     // places that are climbed from
	searchSize  = 0.006 // by how much the sizes of two rims may differ
	climbLeast  = 1e-4  // radii: a smaller step ends a climb
)

// rigid is a map by its turn, radians counterclockwise, its move and its size less 1, in radii.
type rigid [4]float64

func (q rigid) affine() Affine {
	return Scaled(1 + q[3]).Then(Turned(q[0] * 180 / math.Pi)).Then(Moved(q[1], q[2]))
}

// found is a map with how well light under two lamps agrees there.
type found struct {
	q             rigid
	crossed, rest float64
}

// search gives the maps near the identity at which the crossed light has its tops, the best first. Of a and b the edges
// of light blurred widely come first, in which it starts.
func (s *stage) search(wideA, wideB, b *edges) []found {
	few := every(s.pts, searchEvery)
	var all []found
	for by := -searchTurn; by <= searchTurn; by += searchStep {
		top := found{rest: math.Inf(-1)}
		for x := -searchMove; x < 1.01*searchMove; x += searchHop {
			for y := -searchMove; y < 1.01*searchMove; y += searchHop {
				f := found{q: rigid{by * math.Pi / 180, x, y, 0}}
				if f.crossed, f.rest = crossed(few, wideA, wideB, s.r, f.q.affine()); f.rest > top.rest {
					top = f
				}
			}
		}
		all = append(all, top)
	}
	var tops []found
	for i, f := range all {
		if (i == 0 || all[i-1].rest <= f.rest) && (i+1 == len(all) || all[i+1].rest < f.rest) {
			tops = append(tops, f)
		}
	}
	slices.SortFunc(tops, func(a, b found) int { return cmp.Compare(b.rest, a.rest) })
	tops = tops[:min(len(tops), searchTops)]
	some := every(s.pts, climbEvery)
	for i := range tops {
		tops[i] = s.climb(some, b, tops[i].q, searchHop/3, 8*climbLeast)
	}
	best := func(a, b found) int { return cmp.Compare(b.crossed+b.rest, a.crossed+a.rest) }
	slices.SortFunc(tops, best)
	for i, f := range tops {
		if f.crossed < tops[0].crossed-asGood {
			continue
		}
		tops[i] = s.climb(s.pts, b, f.q, 8*climbLeast, climbLeast)
	}
	slices.SortFunc(tops, best)
	return tops
}

// every takes each n-th of the pixels compared.
func every(pts []point, n int) (out []point) {
	for i := 0; i < len(pts); i += n {
		out = append(out, pts[i])
	}
	return out
}

// climb goes up to the nearest top of the crossed light along turn, move and size, by steps halved until one is the least
// (Hooke and Jeeves, Direct search, J. ACM 8, 1961; from memory).
func (s *stage) climb(pts []point, b *edges, from rigid, step, least float64) found {
	at := found{q: from}
	at.crossed, at.rest = crossed(pts, s.edges, b, s.r, from.affine())
	for ; step > least; step /= 2 {
		for better := true; better; {
			better = false
			for k := range at.q {
				for _, by := range [2]float64{-step, step} {
					to := found{q: at.q}
					to.q[k] += by
					if math.Abs(to.q[3]) > searchSize {
						continue
					}
					if to.crossed, to.rest = crossed(pts, s.edges, b, s.r, to.q.affine()); to.crossed > at.crossed {
						at, better = to, true
						break
					}
				}
			}
		}
	}
	return at
}
