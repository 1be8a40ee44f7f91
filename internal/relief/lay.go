package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
	"panside/internal/picture"
)

const (
	// free is what is found of where a frame lies: moves in px of the level, scale and turn in px at the edge.
	free = 4
	// patches is into how many squares a side the picture is cut to see how much chance is in what is found.
	patches = 6
	// unsure is by how much more than their spread shows the votes of patches, marks and pairs err (TestWideWorld).
	unsure = 2.0
	// evened is the share of M⁻¹ in the covariance.
	evened = 0.3
	// leastAlike is the least correlation that two frames' gradients are taken to have: less makes steps too long.
	leastAlike = 0.15
	// stride is the longest step, px of the level.
	stride = 3
	// still is the move, px of the level, that no further step is worth.
	still = 0.02
	// sparse is how many places there are to each that is looked at to start with.
	sparse = 4
)

// laying is where frames lie, and how well that is known.
type laying struct {
	maps  []align.Affine // from places to each frame's
	apart float64        // px, of squares of the picture
	// known is the inverse of the covariance of what was found, in px.
	known []float64
	marks marksAt // at full size
	// coarse is what half the size said; nil for pictures that are too small.
	coarse []align.Affine
}

// lay lays frames over each other by their marks: the sum over all pairs of frames and all marks of the
// correlation is made most. With f a mark of mean 0 and spread 1, G its change with a frame's moves, each pair
// i, j votes for how far i lies off j,
//
//	(S_i + S_j)/2 ρ δ = Σ (G_i f_j − f_i G_j)/2,  S = Σ G Gᵀ,  ρ the correlation of both gradients,
//
// which is Newton's step, since a shift costs a correlation nothing to first order but what both have in common; the votes
// of all pairs are put together by least squares with the frames' mean held.
func lay(frames []picture.Picture, on Disc, progress func(float64) bool) (laying, Why) {
	k := len(frames)
	l := laying{maps: make([]align.Affine, k)}
	for i := range l.maps {
		l.maps[i] = align.Identity
	}
	w, h := frames[0].W, frames[0].H
	small := 1
	for w/small > 120 && h/small > 60 {
		small *= 2
	}
	for by := small; by >= 1; by /= 2 {
		m := newMarks(frames, on, by)
		if len(m.places) < 400 {
			return l, Dark
		}
		if by == small {
			l.search(m)
		}
		for range rounds {
			if far := l.step(m, false); !(far >= still) {
				break
			}
		}
		if by > 1 {
			l.coarse = slices.Clone(l.maps)
		}
		if by == 1 {
			l.step(m, true)
			l.marks = m
		}
		if !goesOn(progress, 0.15+0.6/float64(by)) {
			return l, Stopped
		}
	}
	return l, ""
}

// marksAt is the frames' marks at one size.
type marksAt struct {
	by     int
	w, h   float64 // full px
	frames []marked
	even   []picture.Picture
	edges  []edges
	places [][2]float64 // full px
}

func newMarks(frames []picture.Picture, on Disc, by int) marksAt {
	m := marksAt{by: by, w: float64(frames[0].W), h: float64(frames[0].H)}
	small, b := slices.Clone(frames), float64(by)
	if by > 1 {
		for i, f := range frames {
			small[i] = f.Shrink(by)
		}
	}
	m.even = toLay.even(small, Disc{on.X / b, on.Y / b, on.R / b})
	for i, q := range m.even {
		m.edges = append(m.edges, edgesOf(q))
		m.frames = append(m.frames, marks(small[i], q, m.edges[i]))
	}
	m.places = strongest(small[0].W, small[0].H, by, on, func(i int) float32 {
		sum := float32(0)
		for _, e := range m.edges {
			a, b := e.right.Light[i], e.down.Light[i]
			sum += float32(math.Sqrt(float64(a*a + b*b)))
		}
		return sum
	})
	return m
}

// search starts each frame where its marks, moved by whole pixels, agree the best with the first one's.
func (l *laying) search(m marksAt) {
	p, b := m.frames[0][0][0], float64(m.by)
	most := int(math.Ceil(reach * float64(p.W)))
	for k := 1; k < len(m.frames); k++ {
		best := math.Inf(-1)
		for dy := -most; dy <= most; dy++ {
			for dx := -most; dx <= most; dx++ {
				total := 0.0
				for q, first := range m.frames[0] {
					var sa, sb, aa, bb, ab, n float64
					for c, fa := range first {
						fb := m.frames[k][q][c]
						for i := 0; i < len(m.places); i += sparse {
							x, y := int(m.places[i][0]/b), int(m.places[i][1]/b)
							u, v := float64(fa.Light[y*p.W+x]), float64(fb.At(x+dx, y+dy))
							sa, sb, aa, bb, ab, n = sa+u, sb+v, aa+u*u, bb+v*v, ab+u*v, n+1
						}
					}
					total += (ab - sa*sb/n) / math.Sqrt(math.Max((aa-sa*sa/n)*(bb-sb*sb/n), 1e-12))
				}
				if total > best {
					best = total
					l.maps[k] = align.Moved(float64(dx)*b, float64(dy)*b)
				}
			}
		}
	}
}

// step improves the maps once, and gives the largest move, px of the level. The last one finds how
// well they are known, and moves nothing.
func (l *laying) step(m marksAt, last bool) (far float64) {
	v := l.votes(m, last)
	k, n := len(l.maps), free*len(l.maps)
	normal := v.normal()
	hold(normal, k, []float64{stride, stride, stride, stride})
	if last {
		l.judge(v, normal, m.w, m.h)
		return 0
	}
	d := make([]float64, n)
	for _, g := range v.patch {
		for i, x := range g {
			d[i] += x
		}
	}
	if !cholesky.Solve(normal, d) {
		return 0
	}
	for i := range k {
		e := d[free*i:][:free]
		far = math.Max(far, math.Hypot(e[0], e[1])+math.Hypot(e[2], e[3]))
	}
	for i := range k {
		e := d[free*i:][:free]
		if far > stride {
			for a := range e {
				e[a] *= stride / far
			}
		}
		l.maps[i] = shift(e, float64(m.by), m.w, m.h).Then(l.maps[i])
	}
	return far
}
