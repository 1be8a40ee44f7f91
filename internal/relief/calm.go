package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
)

const (
	// together is by how much more than alone the misfits of even light err, since gloss and shadows mislead all strokes
	// alike (TestWideWorld).
	together = 4.0
	// calmest is the least standard deviation, px, that frames are taken to slip by.
	calmest = 0.05
	calming = 6 // rounds
)

// calm draws the moves in to what frames that slip as these do are likely to have slipped. All frames moving toward
// their lamps, or all turning on, looks much like gloss; frames that lie still but for that lie still. So moves
// are taken for normal with a standard deviation of their own, found along with them (empirical Bayes by the EM
// algorithm, Dempster, Laird and Rubin, J. R. Stat. Soc. B 39, 1977), and turns and scales with another:
// with H what is known, the inverse of their covariance, x̂ the moves found and D the prior's precisions,
//
//	x = x̂ − (H + D)⁻¹ D x̂,  σ² = mean of x² and its variance.
//
// w and h are the pictures' size, px. It gives the standard uncertainty, px, of where the least certain frame lies
// over the coin.
func calm(known []float64, maps []align.Affine, w, h float64) float64 {
	k := len(maps)
	n := free * k
	x := movesOf(maps, w, h)
	sd := [free]float64{}
	for a := range 4 {
		square := 0.0
		for j := range k {
			square += x[free*j+a] * x[free*j+a] / float64(k-1)
		}
		sd[a] = math.Sqrt(square) + 0.5
	}
	m := make([]float64, n*n)
	// solved is r over the normal equations with the prior.
	solved := func(r []float64) ([]float64, bool) {
		copy(m, known)
		for i := range n {
			m[i*n+i] += 1 / (sd[i%free] * sd[i%free])
		}
		return r, cholesky.Solve(m, r)
	}
	var d []float64
	for range calming {
		d = make([]float64, n)
		for i := range d {
			d[i] = -x[i] / (sd[i%free] * sd[i%free])
		}
		var ok bool
		if d, ok = solved(d); !ok {
			return math.Inf(1)
		}
		var next [free]float64
		for i := range n {
			e := make([]float64, n)
			e[i] = 1
			e, _ = solved(e)
			next[i%free] += (x[i]+d[i])*(x[i]+d[i]) + e[i]
		}
		for a := range 4 {
			pair := a / 2 * 2 // right and down, scale and turn
			sd[a] = math.Max(math.Sqrt((next[pair]+next[pair+1])/float64(2*k)), calmest)
		}
	}
	u := 0.0
	for j := range k {
		v := 0.0
		for a := range 4 {
			z := make([]float64, n) // against the mean of all
			for l := range k {
				z[free*l+a] = -1 / float64(k)
			}
			z[free*j+a]++
			e, _ := solved(slices.Clone(z))
			for i := range z {
				if a < 2 {
					v += z[i] * e[i]
				} else {
					v += z[i] * e[i] / 4 // u² and v² on the coin are a quarter on average
				}
			}
		}
		u = math.Max(u, math.Sqrt(v))
	}
	for j := range k {
		maps[j] = shift(d[free*j:][:free], 1, w, h).Then(maps[j])
	}
	return u
}

// movesOf is where frames of w by h px lie off their mean: right, down, scale and turn in px at the edge, of each.
func movesOf(maps []align.Affine, w, h float64) []float64 {
	k := len(maps)
	x := make([]float64, free*k)
	for j, m := range maps {
		cx, cy := m.Of(w/2, h/2)
		copy(x[free*j:], []float64{cx - w/2, cy - h/2, ((m.A+m.D)/2 - 1) * w / 2, (m.C - m.B) / 2 * w / 2})
	}
	for a := range free {
		mean := 0.0
		for j := range k {
			mean += x[free*j+a] / float64(k)
		}
		for j := range k {
			x[free*j+a] -= mean
		}
	}
	return x
}

// shift is a small move, px of a level, of a picture of w by h px.
func shift(d []float64, by, w, h float64) align.Affine {
	x, y, z, t := d[0]*by, d[1]*by, d[2]*by/(w/2), d[3]*by/(w/2)
	return align.Moved(-w/2, -h/2).Then(align.Affine{A: 1 + z, B: -t, C: t, D: 1 + z}).Then(align.Moved(w/2+x, h/2+y))
}
