package align

import "math"

// How the parts of a coin are asked apart.
const (
	sectors = 12 // around the middle
	thirds  = 3
	bands   = 9   // from the middle outward
	pieces  = 0.1 // width of a band, of the radius
)

// spread is the standard uncertainty of the turn, degrees. Each third of the coin's sectors, every third one, is
// laid over by itself from the map q of all, with a middle and a size of its own, since what the middle errs goes into
// the turn; of three turns that are independent of each other the mean has
//
//	u² = Σ (θ_k − mean θ)² / (3·2).
//
// A lamp that lights other flanks of the same strokes leads letters and bust to other turns, and a
// fit by chance leads each third somewhere else.
func (s *stage) spread(b *edges, q rigid) float64 {
	var turns [thirds]float64
	sum := 0.0
	for k := range turns {
		var pts []point
		for _, p := range s.pts {
			if p.sector%thirds == k {
				pts = append(pts, p)
			}
		}
		turns[k] = s.climb(pts, b, q, searchHop/3, 4*climbLeast).q[0]
		sum += turns[k]
	}
	v := 0.0
	for _, t := range turns {
		v += (t - sum/thirds) * (t - sum/thirds)
	}
	return math.Sqrt(v/(thirds*(thirds-1))) * 180 / math.Pi
}

// tally is what a correlation takes.
type tally struct{ n, a, b, aa, ab, bb float64 }

func (t *tally) add(a, b float64) {
	t.n++
	t.a += a
	t.b += b
	t.aa += a * a
	t.ab += a * b
	t.bb += b * b
}

func (t *tally) correlation() float64 {
	va, vb := t.aa-t.a*t.a/t.n, t.bb-t.b*t.b/t.n
	if !(va > 0 && vb > 0) {
		return 0
	}
	return (t.ab - t.a*t.b/t.n) / math.Sqrt(va*vb)
}

// agreeOf is the mean over the channels of the correlation over all pixels compared. b's angles are turned
// counterclockwise before, as the map turns.
func (s *stage) agreeOf(b *features, m Affine) float64 {
	sin, cos := math.Sincos(2 * m.Degrees() * math.Pi / 180)
	s2, c2 := float32(sin), float32(cos)
	r := s.r
	bx, by := float64(b.w)/2, float64(b.h)/2
	var got [channels]float32
	var all [channels]tally
	for i := range s.pts {
		p := &s.pts[i]
		x, y := m.Of(p.u, p.v)
		if p.band == bands || !b.sample(bx+x*r, by+y*r, &got) {
			continue // any two coins' rims agree
		}
		got[angleRe], got[angleIm] = c2*got[angleRe]-s2*got[angleIm], c2*got[angleIm]+s2*got[angleRe]
		for c := range got {
			all[c].add(float64(p.has[c]), float64(got[c]))
		}
	}
	sum := 0.0
	for c := range all {
		sum += all[c].correlation()
	}
	return sum / channels
}
