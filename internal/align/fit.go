package align

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/stats"
)

// How a fit is refined.
const (
	fineR   = 380.0 // radius of the faces in the last step, px
	within  = 0.97  // what lies beyond, of the radius, is not compared
	most    = 30000 // pixels compared; with half of them a lamp 90 degrees off misleads
	steps   = 25    // of the iteration at the most, on each size
	settled = 0.01  // px: a smaller step ends it
	huber   = 1.5   // residuals over so many of their median count less
	square  = 0.15  // side of a square that errs together, of the radius
)

// lampMoved is the standard uncertainty, degrees, that a lamp on quite another side adds: it lights
// other flanks of the same strokes, all around the coin alike, which squares of it don't show.
// TestByLamp holds it.
const lampMoved = 0.2

// agree is how well features must agree for a fit. TestOthersAreRefused and TestByLamp
// hold it from both sides.
const agree = 0.22

// Lamps on opposite sides light opposite flanks, and a turn of two degrees may lay one over the other. So a fit that
// agrees by less than sure is tried from turns nearby too, degrees, the best is taken, and if another that
// agrees as well but for asGood differs by more than told degrees, the turn can't be told. TestWideTurns
// holds it.
const (
	sure, asGood = 0.3, 0.03
	nearby, told = 2.0, 0.7
)

// Fit is how one face lies over another.
type Fit struct {
	// Map takes places of the first face, px, to those of the second.
	Map Affine
	// Degrees is by how much the second must be turned counterclockwise to lie over the first, U its
	// standard uncertainty.
	Degrees, U float64
	// Agree is the correlation of the features where both have some: 1 is the same picture.
	Agree float64
	// Light is the correlation of the brightness itself. Near 1 the lamps stood alike, and only then a
	// difference of the two pictures shows what differs on the coins.
	Light float64
}

// SameLight is the Light from which a difference picture shows coins and not lamps.
// TestByLamp holds it: the same side gets there, 45 degrees apart never.
const SameLight = 0.75

// Over lays b over a: the turn by rings, then an affine map by the relief itself. progress may be
// nil; when it answers false, the work stops.
func Over(a, b Face, progress func(done float64) (goOn bool)) (Fit, Why) {
	t, why := TurnOf(a, b, false)
	if why != "" {
		return Fit{Degrees: t.Degrees}, why
	}
	if !goesOn(progress, 0.3) {
		return Fit{}, Stopped
	}
	return Refine(a, b, Laid(a, b, t.Degrees, false), progress)
}

// Refine is [Over] from a map that is nearly right: within 3 degrees and a thirtieth of the radius.
func Refine(a, b Face, nearly Affine, progress func(done float64) (goOn bool)) (Fit, Why) {
	for _, f := range []Face{a, b} {
		if why := f.sound(); why != "" {
			return Fit{}, why
		}
	}
	toB := b.units().Back()
	start := a.units().Then(nearly).Then(toB) // in radii
	f, why := refineFrom(a, b, start, progress)
	if why != "" {
		return Fit{}, why
	}
	ambiguous := false
	if f.agree < sure {
		all := []refined{f}
		for _, by := range []float64{-nearby, nearby} {
			g, why := refineFrom(a, b, start.Then(Turned(by)), progress)
			if why == Stopped {
				return Fit{}, why
			}
			if why == "" {
				all = append(all, g)
			}
		}
		f = slices.MaxFunc(all, func(a, b refined) int { return cmp.Compare(a.agree, b.agree) })
		ambiguous = slices.ContainsFunc(all, func(g refined) bool {
			return g.agree > f.agree-asGood && math.Abs(g.m.Then(f.m.Back()).Degrees()) > told
		})
	}
	m := f.m
	light := lightAgrees(a.at(coarseR, Identity), b.at(coarseR, m))
	out := Fit{Light: light, Map: a.units().Back().Then(m).Then(b.units()), U: math.Hypot(f.u, lampMoved*(1-math.Max(light, 0))), Agree: f.agree}
	turn := m
	if m.A*m.D < m.B*m.C {
		turn = m.Then(Mirrored)
	}
	out.Degrees = -turn.Degrees()
	if !(f.agree >= agree) {
		return out, NoFit
	}
	if ambiguous {
		return out, Ambiguous
	}
	return out, ""
}

// refineFrom refines a map in radii on two sizes.
func refineFrom(a, b Face, m Affine, progress func(float64) bool) (f refined, why Why) {
	r := math.Min(fineR, math.Max(coarseR, math.Min(a.R, b.R)))
	for i, size := range []float64{coarseR, r} {
		if i > 0 && size == coarseR {
			break
		}
		// b is taken over first, so that its angles are already turned.
		fa, fb := featuresOf(a.at(size, Identity)), featuresOf(b.at(size, m))
		f, why = refine(&fa, &fb, size, func(u, v float64) bool { return u*u+v*v <= within*within })
		if why != "" {
			return refined{}, why
		}
		m = f.m.Then(m)
		if !goesOn(progress, 0.55+0.4*float64(i)) {
			return refined{}, Stopped
		}
	}
	f.m = m
	return f, ""
}

func goesOn(progress func(float64) bool, done float64) bool { return progress == nil || progress(done) }

// refined is the outcome of refine.
type refined struct {
	m     Affine // in radii, from the first's places to the second's
	u     float64
	agree float64
}

// refine finds the affine map near the identity that takes a's places, in units of r px from the
// middle of its raster, to b's: inverse compositional Gauss-Newton (Baker and Matthews 2004,
// equations 31 to 36) over all channels at once, with Huber's weights. Only pixels are compared that
// are here.
func refine(a, b *features, r float64, here func(u, v float64) bool) (refined, Why) {
	pts := strongest(a, r, here)
	if len(pts) < 500 {
		return refined{}, Flat
	}
	m := Identity
	bx, by := float64(b.w)/2, float64(b.h)/2
	var got [channels]float32
	scale := 0.0
	norms := make([]float64, 0, len(pts))
	type squareOf struct{ x, y int }
	var h [6][6]float64
	scores := map[squareOf]*[6]float64{}
	for step := 0; ; step++ {
		last := step == steps
		var g [6]float64
		h = [6][6]float64{}
		norms = norms[:0]
		for i := range pts {
			p := &pts[i]
			x, y := m.Of(p.u, p.v)
			if !b.sample(bx+x*r, by+y*r, &got) {
				continue
			}
			var e [channels]float64
			norm := 0.0
			for c := range e {
				e[c] = float64(got[c] - a.of[c][p.at])
				norm += e[c] * e[c]
			}
			norm = math.Sqrt(norm)
			norms = append(norms, norm)
			w := 1.0
			if scale > 0 && norm > huber*scale {
				w = huber * scale / norm
			}
			// Gradient and Hessian in x and y first: the six parameters are these times 1, u, v.
			var sx, sy, xx, xy, yy float64
			for c := range e {
				gx, gy := float64(p.gx[c]), float64(p.gy[c])
				sx += gx * e[c]
				sy += gy * e[c]
				xx += gx * gx
				xy += gx * gy
				yy += gy * gy
			}
			basis := [3]float64{1, p.u, p.v}
			s := [6]float64{}
			for k, q := range basis {
				s[k], s[3+k] = w*sx*q, w*sy*q
				for l, q2 := range basis {
					h[k][l] += w * xx * q * q2
					h[k][3+l] += w * xy * q * q2
					h[3+k][l] += w * xy * q * q2
					h[3+k][3+l] += w * yy * q * q2
				}
			}
			for k := range g {
				g[k] += s[k]
			}
			if last {
				key := squareOf{int(math.Floor(p.u / square)), int(math.Floor(p.v / square))}
				sum := scores[key]
				if sum == nil {
					sum = new([6]float64)
					scores[key] = sum
				}
				for k := range s {
					sum[k] += s[k]
				}
			}
		}
		if len(norms) < len(pts)/3 {
			return refined{}, NoFit
		}
		inv, ok := invert6(h)
		if !ok {
			return refined{}, Flat
		}
		if last {
			return refined{m: m, u: sandwich(inv, scores), agree: agreeOf(pts, a, b, m, r)}, ""
		}
		var d [6]float64
		for k := range d {
			for l := range g {
				d[k] += inv[k][l] * g[l]
			}
		}
		change := Affine{A: 1 + d[1], B: d[2], X: d[0], C: d[4], D: 1 + d[5], Y: d[3]}
		m = change.Back().Then(m)
		if math.IsNaN(m.A) || math.Hypot(m.X, m.Y) > 0.2 || math.Abs(m.A-1) > 0.2 || math.Abs(m.D-1) > 0.2 || math.Abs(m.B) > 0.2 || math.Abs(m.C) > 0.2 {
			return refined{}, NoFit
		}
		scale = median(norms)
		moved := 0.0
		for _, v := range d {
			moved = math.Max(moved, math.Abs(v)*r)
		}
		if moved < settled {
			step = steps - 1
		}
	}
}

// point is a pixel that is compared: its place in radii, and the gradients there, in features a radius.
type point struct {
	u, v   float64
	at     int
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
		for c := range a.of {
			gx, gy := grad(c, i)
			p.gx[c], p.gy[c] = gx*float32(r), gy*float32(r)
		}
		out = append(out, p)
	}
	return out
}

// agreeOf is the correlation of all channels over the pixels compared, each about its own mean.
func agreeOf(pts []point, a, b *features, m Affine, r float64) float64 {
	bx, by := float64(b.w)/2, float64(b.h)/2
	var got [channels]float32
	var both [channels]stats.Pairs
	for i := range pts {
		p := &pts[i]
		x, y := m.Of(p.u, p.v)
		if p.u*p.u+p.v*p.v > ringTo*ringTo || !b.sample(bx+x*r, by+y*r, &got) {
			continue // any two coins' rims agree
		}
		for c := range got {
			both[c].Add(float64(a.of[c][p.at]), float64(got[c]))
		}
	}
	sum := 0.0
	for c := range both {
		r, _ := both[c].Correlation()
		sum += r
	}
	return sum / channels
}

// sandwich is the standard uncertainty of the turn, degrees, by squares that err together.
func sandwich[K comparable](inv [6][6]float64, scores map[K]*[6]float64) float64 {
	// The turn is (p2 − p4)/2 of the parameters, counterclockwise; its row of the inverse.
	var row [6]float64
	for k := range row {
		row[k] = (inv[2][k] - inv[4][k]) / 2
	}
	v := 0.0
	for _, s := range scores {
		d := 0.0
		for k := range row {
			d += row[k] * s[k]
		}
		v += d * d
	}
	return math.Sqrt(v) * 180 / math.Pi
}
