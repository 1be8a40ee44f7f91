package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
)

// votes is which way marks pull the frames: the gradient of the sum of correlations, by who says so.
type votes struct {
	k                  int
	patch, mark, pairs [][]float64 // pairs for the last step only
	self               [][]float64 // S of each frame
	cross              []float64   // of the gradients of frames i > j, at k i + j
	square             []square
}

// square is a part of the picture: moves alone.
type square struct {
	n    int
	pull []float64
	self [][]float64
}

// scaled is how a raster becomes one of mean 0, all those of a mark together of spread 1.
type scaled struct{ mean, by float64 }

func scales(f marked, places [][2]float64, at align.Affine, by float64) (out [][]scaled) {
	for _, mark := range f {
		var all []scaled
		spread := 0.0
		for _, c := range mark {
			var sum, squares, n float64
			for j := 0; j < len(places); j += 4 {
				x, y := at.Of(places[j][0], places[j][1])
				v := float64(c.Sample(x/by, y/by))
				sum, squares, n = sum+v, squares+v*v, n+1
			}
			all = append(all, scaled{mean: sum / n})
			spread += squares/n - sum/n*sum/n
		}
		for c := range all {
			all[c].by = 1 / (math.Sqrt(math.Max(spread, 0)) + 1e-9)
		}
		out = append(out, all)
	}
	return out
}

func vectors(n, long int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, long)
	}
	return out
}

// votes counts them at all places. With F = Σ f_j and H = Σ G_j the pull on frame i of all its pairs is
// Σ (G_i f_j − f_i G_j)/2 = (G_i F − f_i H)/2.
func (l *laying) votes(m marksAt, last bool) votes {
	k, b := len(m.frames), float64(m.by)
	n := free * k
	v := votes{k: k, patch: vectors(patches*patches, n), mark: vectors(len(m.frames[0]), n), self: vectors(k, free*free),
		cross: make([]float64, k*k), square: make([]square, squares*squares)}
	if last {
		v.pairs = vectors(k*k, n)
	}
	for i := range v.square {
		v.square[i] = square{pull: make([]float64, 2*k), self: vectors(k, 4)}
	}
	scale := make([][][]scaled, k)
	for i, f := range m.frames {
		scale[i] = scales(f, m.places, l.maps[i], b)
	}
	p := m.frames[0][0][0]
	f, g, at := make([]float64, k), make([][free]float64, k), make([][5]four, k)
	for _, place := range m.places {
		right, down := (place[0]-m.w/2)/(m.w/2), (place[1]-m.h/2)/(m.w/2)
		within := func(n int) int {
			return min(int(place[1]*float64(n)/m.h), n-1)*n + min(int(place[0]*float64(n)/m.w), n-1)
		}
		patch, sq := v.patch[within(patches)], &v.square[within(squares)]
		sq.n++
		for i := range k {
			x, y := l.maps[i].Of(place[0], place[1])
			x, y = x/b, y/b
			at[i] = [5]four{between(p, x, y), between(p, x+1, y), between(p, x-1, y), between(p, x, y+1), between(p, x, y-1)}
		}
		for q, mark := range v.mark {
			for c := range m.frames[0][q] {
				sum, all := 0.0, [free]float64{}
				for i := range k {
					r, s, a := m.frames[i][q][c], scale[i][q][c], &at[i]
					f[i] = (a[0].of(r) - s.mean) * s.by
					gx, gy := (a[1].of(r)-a[2].of(r))/2*s.by, (a[3].of(r)-a[4].of(r))/2*s.by
					g[i] = [free]float64{gx, gy, gx*right + gy*down, gy*right - gx*down}
					sum += f[i]
					for d := range all {
						all[d] += g[i][d]
					}
				}
				for i := range k {
					for d := range free {
						e := (g[i][d]*sum - f[i]*all[d]) / 2
						patch[free*i+d] += e
						mark[free*i+d] += e
						if d < 2 {
							sq.pull[2*i+d] += e
						}
						for z := range free {
							v.self[i][free*d+z] += g[i][d] * g[i][z]
						}
					}
					own := sq.self[i]
					own[0], own[1], own[3] = own[0]+g[i][0]*g[i][0], own[1]+g[i][0]*g[i][1], own[3]+g[i][1]*g[i][1]
					for j := range i {
						v.cross[k*i+j] += g[i][0]*g[j][0] + g[i][1]*g[j][1]
						if !last {
							continue
						}
						pair := v.pairs[k*i+j]
						for d := range free {
							e := (g[i][d]*f[j] - f[i]*g[j][d]) / 2
							pair[free*i+d] += e
							pair[free*j+d] -= e
						}
					}
				}
			}
		}
	}
	for i := range v.square {
		for _, s := range v.square[i].self {
			s[2] = s[1]
		}
	}
	return v
}

// normal is the normal equations of all pairs' votes.
func (v votes) normal() []float64 { return v.sum(v.self, free) }

// sum puts together what each pair says of each frame's first per moves, with self that of each frame.
func (v votes) sum(self [][]float64, per int) []float64 {
	n := per * v.k
	m := make([]float64, n*n)
	for i := range v.k {
		for j := range i {
			si, sj := v.self[i], v.self[j]
			alike := math.Max(v.cross[v.k*i+j]/math.Sqrt((si[0]+si[free+1])*(sj[0]+sj[free+1])), leastAlike)
			for y := range per {
				for z := range per {
					d := alike * (self[i][per*y+z] + self[j][per*y+z]) / 2
					m[(per*i+y)*n+per*i+z] += d
					m[(per*j+y)*n+per*j+z] += d
					m[(per*i+y)*n+per*j+z] -= d
					m[(per*j+y)*n+per*i+z] -= d
				}
			}
		}
	}
	return m
}

// judge finds, at the end, how well the frames' places are known: votes of patches, of marks, and of pairs of
// frames (whose moves around a triangle must come to nothing) pull against each other, and with M the normal equations
// a part of the votes g moves the frames by M⁻¹ g. So Σ M⁻¹ g gᵀ M⁻¹ over the parts is the covariance
// (Huber, Proc. 5th Berkeley Symp. 1, 1967), once for each way to part them; they err for different reasons,
// so all are summed, with the square of what frames at half the size said otherwise: gloss that wanders
// with the lamp is another there.
//
// Squares of the picture show, each for itself, how far apart the frames still lie.
func (l *laying) judge(v votes, normal []float64, w, h float64) {
	l.apart, l.known = math.Inf(1), make([]float64, len(normal))
	squareSum, count := 0.0, 0
	for _, s := range v.square {
		if s.n < 100 {
			continue
		}
		m, pull := v.sum(s.self, 2), slices.Clone(s.pull)
		hold(m, v.k, []float64{1, 1})
		if cholesky.Solve(m, pull) {
			for _, d := range pull {
				squareSum += d * d
			}
			count += v.k
		}
	}
	if count > 0 {
		l.apart = math.Sqrt(squareSum / float64(count))
	}
	n := free * v.k
	inverse := make([]float64, n*n) // of M, its columns
	for i := range n {
		e := inverse[i*n:][:n]
		e[i] = 1
		if !cholesky.Solve(slices.Clone(normal), e) {
			return
		}
	}
	covariance := make([]float64, n*n)
	for _, parted := range []struct {
		parts [][]float64
		spent int // of the parts, by what was found
	}{{v.patch, 1}, {v.mark, 1}, {v.pairs, v.k - 1}} {
		parts := slices.DeleteFunc(parted.parts, func(g []float64) bool {
			return !slices.ContainsFunc(g, func(x float64) bool { return x != 0 })
		})
		more := unsure * unsure * float64(len(parts)) / float64(max(len(parts)-parted.spent, 1))
		for _, g := range parts {
			spread(covariance, times(inverse, g), more)
		}
	}
	if l.coarse != nil {
		x := movesOf(l.maps, w, h)
		for i, y := range movesOf(l.coarse, w, h) {
			x[i] -= y
		}
		spread(covariance, x, 1)
	}
	// A few parts don't err in every way: what they say in all is spread as M has it, in part.
	trace, all := 0.0, 0.0
	for i := range n {
		trace, all = trace+covariance[i*n+i], all+inverse[i*n+i]
	}
	for i := range covariance {
		covariance[i] = (1-evened)*covariance[i] + evened*trace/all*inverse[i]
	}
	for i := range n {
		e := l.known[i*n:][:n]
		e[i] = 1
		if !cholesky.Solve(slices.Clone(covariance), e) {
			e[i] = 0
		}
	}
}

// spread adds by times x xᵀ to the covariance.
func spread(covariance, x []float64, by float64) {
	for i, u := range x {
		for j, v := range x {
			covariance[i*len(x)+j] += by * u * v
		}
	}
}

// times is a symmetric matrix times a vector.
func times(m, x []float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range out {
		for j, v := range m[i*n:][:n] {
			out[i] += v * x[j]
		}
	}
	return out
}
