package align

import "math"

// Which pixels are compared.
const (
	most   = 30000 // at the most; with half of them a lamp 90 degrees off misleads
	fewest = 500
)

// stage is a face's side of a comparison at one size.
type stage struct {
	of    features
	pts   []point
	r     float64 // of the coin, px
	edges *edges  // of even light; nil if only features are compared
}

// newStage takes those pixels of a raster, the coin r px in radius about its middle, that are here, in radii,
// and have the strongest edges.
func newStage(of features, r float64, here func(u, v float64) bool) *stage {
	return &stage{of: of, pts: strongest(&of, r, here), r: r}
}

// point is a pixel that is compared: its place in radii, and the gradients there, in features a radius.
type point struct {
	u, v   float64
	at     int
	sector int
	band   int // bands beyond what counts
	has    [channels]float32
	gx, gy [channels]float32
}

// strongest gives the pixels with the strongest edges, at most so many.
func strongest(a *features, r float64, here func(u, v float64) bool) []point {
	cx, cy := float64(a.w)/2, float64(a.h)/2
	grad := func(c, i int) (x, y float32) {
		v := a.of[c]
		return (v[i+1] - v[i-1]) / 2, (v[i+a.w] - v[i-a.w]) / 2
	}
	energy := make([]float32, a.w*a.h)
	top := float32(0)
	for y := 1; y+1 < a.h; y++ {
		for x := 1; x+1 < a.w; x++ {
			u, v := (float64(x)+0.5-cx)/r, (float64(y)+0.5-cy)/r
			if !here(u, v) {
				continue
			}
			i := y*a.w + x
			for c := range a.of {
				gx, gy := grad(c, i)
				energy[i] += gx*gx + gy*gy
			}
			top = max(top, energy[i])
		}
	}
	if top <= 0 {
		return nil
	}
	const bins = 512
	var count [bins]int
	bin := func(e float32) int { return min(int(bins*math.Sqrt(float64(e/top))), bins-1) }
	for _, e := range energy {
		if e > 0 {
			count[bin(e)]++
		}
	}
	least, n := bins, 0
	for least > 0 && n+count[least-1] <= most {
		least--
		n += count[least]
	}
	out := make([]point, 0, n)
	for i, e := range energy {
		if e <= 0 || bin(e) < least {
			continue
		}
		p := point{u: (float64(i%a.w) + 0.5 - cx) / r, v: (float64(i/a.w) + 0.5 - cy) / r, at: i}
		p.sector = int((math.Atan2(p.v, p.u)/(2*math.Pi)+1)*sectors) % sectors
		if far := math.Hypot(p.u, p.v); far <= ringTo {
			p.band = int(far / pieces)
		} else {
			p.band = bands
		}
		for c := range a.of {
			p.has[c] = a.of[c][i]
			gx, gy := grad(c, i)
			p.gx[c], p.gy[c] = gx*float32(r), gy*float32(r)
		}
		out = append(out, p)
	}
	return out
}
