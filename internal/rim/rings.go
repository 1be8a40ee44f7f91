package rim

import (
	"math"
	"math/rand/v2"

	"panside/internal/cholesky"
	"panside/internal/picture"
)

const (
	// rays are the angles at which the edge is sought: every 8 px of an edge of 300 px radius, several
	// times what blur ties together.
	rays = 240
	// sharp is the half width of the band around a ring in which an edge belongs to it, as a share
	// of the radius, and sharpPX in pixels beside.
	sharp, sharpPX = 0.004, 0.8
	// facing is the cosine by which an edge must lie across the ray.
	facing = 0.85
	// hopeless is the mean strength below which a ring isn't looked at closer.
	hopeless = 0.06
	// faintest gradient of the tone, a pixel, that counts as an edge.
	faintest = 0.004
)

// hit is an edge along a ray.
type hit struct {
	r        float64
	strength float64 // 0 to 1
}

// polar lists the edges around a middle.
type polar struct {
	mid  Point
	hits [rays][]hit
	// within is how far each ray goes before it leaves the picture, px.
	within [rays]float64
	// near[ray][r] is the strongest edge within the band, by whole pixels.
	near    [rays][]float32
	largest int
}

// around are the directions of the rays, and of twice their angle.
var around = func() (t [rays][4]float64) {
	for i := range t {
		t[i][1], t[i][0] = math.Sincos(2 * math.Pi * float64(i) / rays)
		t[i][3], t[i][2] = math.Sincos(4 * math.Pi * float64(i) / rays)
	}
	return t
}()

func ray(i int) (dx, dy float64) { return around[i][0], around[i][1] }

func newPolar(e picture.Edges, mid Point, least, largest float64) *polar {
	p := &polar{mid: mid, largest: int(largest)}
	floor := math.Max(1.2*e.Usual, faintest)
	soft := 3*e.Usual + 3*faintest
	along := make([]float64, p.largest+2)
	cover := make([]float32, rays*(p.largest+2))
	for i := range rays {
		dx, dy := ray(i)
		p.near[i] = cover[i*(p.largest+2) : (i+1)*(p.largest+2)]
		first := int(least)
		last := p.largest + 1
		for r := range along {
			along[r] = 0
			if r < first {
				continue
			}
			x, y := mid.X+float64(r)*dx, mid.Y+float64(r)*dy
			if x < 2 || y < 2 || x > float64(e.Right.W-2) || y > float64(e.Right.H-2) {
				last = r - 1
				break
			}
			g, size := e.Across(x, y, dx, dy)
			if math.Abs(g) > facing*size {
				along[r] = math.Abs(g)
			}
		}
		p.within[i] = float64(last)
		for r := first + 1; r < last; r++ {
			a, b, c := along[r-1], along[r], along[r+1]
			if b < floor || b < a || b <= c {
				continue
			}
			off := 0.0
			if d := a - 2*b + c; d < 0 {
				off = (a - c) / 2 / d
			}
			h := hit{float64(r) + math.Min(math.Max(off, -0.5), 0.5), b / (b + soft)}
			p.hits[i] = append(p.hits[i], h)
			band := sharp*h.r + sharpPX
			for k := max(int(h.r-band), 0); k <= min(int(h.r+band+0.5), p.largest); k++ {
				p.near[i][k] = max(p.near[i][k], float32(h.strength))
			}
		}
	}
	return p
}

// ring is r(φ) by its five numbers: mean, first and second harmonics.
type ring [5]float64

func (g ring) at(i int) float64 {
	a := &around[i]
	return g[0] + g[1]*a[0] + g[2]*a[1] + g[3]*a[2] + g[4]*a[3]
}

// rough is a ring's strength by the raster, in sum over every other ray.
func (p *polar) rough(g ring) float64 {
	sum := float32(0)
	for i := 0; i < rays; i += 2 {
		if r := int(g.at(i) + 0.5); r >= 0 && r <= p.largest {
			sum += p.near[i][r]
		}
	}
	return float64(sum)
}

// seek gives the best ring of each narrow range of radii.
func (p *polar) seek(rnd *rand.Rand, least, farOff float64) []ring {
	type found struct {
		ring
		sum float64
	}
	best := map[int]found{}
	bin := func(r float64) int { return int(math.Log(r/least) / math.Log(1.03)) }
	for range triples {
		i := rnd.IntN(rays)
		j, k := (i+rays/4+rnd.IntN(rays/6))%rays, (i+rays/2+rays/12+rnd.IntN(rays/4))%rays
		if len(p.hits[i]) == 0 || len(p.hits[j]) == 0 || len(p.hits[k]) == 0 {
			continue
		}
		a := p.hits[i][rnd.IntN(len(p.hits[i]))]
		b, ok1 := p.pick(j, a.r, 1.2*farOff*a.r, rnd)
		c, ok2 := p.pick(k, a.r, 1.2*farOff*a.r, rnd)
		if !ok1 || !ok2 {
			continue
		}
		g, ok := through(i, j, k, a.r, b.r, c.r)
		if !ok || g[0] < least || math.Hypot(g[1], g[2]) > farOff*g[0] {
			continue
		}
		if s, n := p.rough(g), bin(g[0]); s > best[n].sum {
			best[n] = found{g, s}
		}
	}
	var out []ring
	for n := 0; n <= bin(float64(p.largest)); n++ {
		if f, ok := best[n]; ok && f.sum > hopeless*rays/2 {
			out = append(out, f.ring)
		}
	}
	return out
}

// pick draws an edge of a ray whose radius is near another's.
func (p *polar) pick(i int, near, band float64, rnd *rand.Rand) (hit, bool) {
	all := p.hits[i]
	from := rnd.IntN(len(all))
	for k := range all {
		if h := all[(from+k)%len(all)]; math.Abs(h.r-near) < band {
			return h, true
		}
	}
	return hit{}, false
}

// through gives the ring of mean and first harmonic through three edges.
func through(i, j, k int, a, b, c float64) (ring, bool) {
	ci, si := ray(i)
	cj, sj := ray(j)
	ck, sk := ray(k)
	// Differences take the mean out.
	m00, m01, v0 := cj-ci, sj-si, b-a
	m10, m11, v1 := ck-ci, sk-si, c-a
	det := m00*m11 - m01*m10
	if math.Abs(det) < 0.2 {
		return ring{}, false
	}
	x, y := (v0*m11-v1*m01)/det, (m00*v1-m10*v0)/det
	return ring{a - x*ci - y*si, x, y}, true
}

// refined fits the ring to the edges near it, step by step closer.
func (p *polar) refined(g ring) ring {
	const n = len(ring{})
	for _, wide := range [...]float64{0.02, 0.014, 0.01, 0.008, 0.006, 0.006} {
		var m [n * n]float64
		var next ring
		used := 0
		for i := range rays {
			r := g.at(i)
			h, ok := p.closest(i, r, wide*g[0]+sharpPX)
			if !ok {
				continue
			}
			used++
			row := [n]float64{1, around[i][0], around[i][1], around[i][2], around[i][3]}
			off := (h.r - r) / (wide*g[0] + sharpPX)
			w := h.strength * (1 - off*off) * (1 - off*off) // Tukey's biweight
			for a := range row {
				for b := range a + 1 {
					m[a*n+b] += w * row[a] * row[b]
				}
				next[a] += w * row[a] * h.r
			}
		}
		if used < 12 {
			return g
		}
		// Where little is seen the second harmonic is held to that of a round coin.
		for a := 3; a < n; a++ {
			m[a*n+a] += 0.02 * m[0]
		}
		if !cholesky.Solve(m[:], next[:]) {
			return g
		}
		g = next
	}
	return g
}

func (p *polar) closest(i int, r, band float64) (hit, bool) {
	var best hit
	ok := false
	for _, h := range p.hits[i] {
		if off := math.Abs(h.r - r); off < band {
			best, band, ok = h, off, true
		}
	}
	return best, ok
}
