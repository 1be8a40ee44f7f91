package align

import (
	"math"

	"panside/internal/picture"
)

// How light is made even, and its edges are taken.
const (
	evenNear  = 8   // px, half a side of the surroundings that light is set against
	evenFloor = 0.3 // of the picture's mean square they count for at the least
	evenMost  = 1.5 // the largest value that is believed
	edgeBlur  = 1.3 // px, standard deviation of the blur before the gradient
	wideBlur  = 2.6 // px, the same where the first look has steps of two px
)

// even sets light against its surroundings: with v its root and v̄ the mean nearby, (v − v̄)/√(mean of (v − v̄)² nearby +
// floor), held within ±evenMost. Whatever the gloss, a place is the brighter the more it leans to the lamp.
func even(p picture.Picture) picture.Picture {
	q, square := picture.New(p.W, p.H), picture.New(p.W, p.H)
	for i, v := range p.Light {
		q.Light[i] = float32(math.Sqrt(float64(max(v, 0))))
	}
	sum := 0.0
	for i, v := range q.Mean(evenNear).Mean(evenNear).Light {
		d := q.Light[i] - v
		q.Light[i], square.Light[i] = d, d*d
		sum += float64(d * d)
	}
	floor := float32(evenFloor*sum/float64(max(len(q.Light), 1))) + 1e-9
	square = square.Mean(evenNear).Mean(evenNear)
	for i, v := range q.Light {
		q.Light[i] = min(max(v/float32(math.Sqrt(float64(square.Light[i]+floor))), -evenMost), evenMost)
	}
	return q
}

// edges is the gradient of even light, right and down.
type edges struct {
	w, h int
	of   [][2]float32
}

func edgesOf(even picture.Picture, blur float64) *edges {
	x, y := even.Blur(blur).Gradient()
	e := &edges{x.W, x.H, make([][2]float32, len(x.Light))}
	for i, v := range x.Light {
		e.of[i] = [2]float32{v, y.Light[i]}
	}
	return e
}

// sample gives the gradient at a place, bilinear.
func (e *edges) sample(x, y float64) (right, down float32, ok bool) {
	x, y = x-0.5, y-0.5
	if x < 0 || y < 0 || x > float64(e.w-2) || y > float64(e.h-2) {
		return 0, 0, false
	}
	i, j := int(x), int(y)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	k := j*e.w + i
	p, q := e.of[k:k+2:k+2], e.of[k+e.w:k+e.w+2:k+e.w+2]
	var at [2]float32
	for c := range at {
		top, low := p[0][c]+fx*(p[1][c]-p[0][c]), q[0][c]+fx*(q[1][c]-q[0][c])
		at[c] = top + fy*(low-top)
	}
	return at[0], at[1], true
}

// moments of two gradients (x, y) and (u, v): sums of products.
type moments struct{ n, xx, xy, yy, uu, uv, vv, xu, xv, yu, yv float64 }

func (t *moments) add(x, y, u, v float64) {
	t.n++
	t.xx += x * x
	t.xy += x * y
	t.yy += y * y
	t.uu += u * u
	t.uv += u * v
	t.vv += v * v
	t.xu += x * u
	t.xv += x * v
	t.yu += y * u
	t.yv += y * v
}

func (t *moments) plus(o *moments, k float64) {
	t.n += k * o.n
	t.xx += k * o.xx
	t.xy += k * o.xy
	t.yy += k * o.yy
	t.uu += k * o.uu
	t.uv += k * o.uv
	t.vv += k * o.vv
	t.xu += k * o.xu
	t.xv += k * o.xv
	t.yu += k * o.yu
	t.yv += k * o.yv
}

// canonical is the larger canonical correlation of two gradients (Hotelling, Relations between two sets of variates,
// Biometrika 28, 1936; from memory): ρ² is the larger eigenvalue of A⁻¹ C B⁻¹ Cᵀ, with A and B the moments of each and C
// those of one with the other. It is 0 where one of them has only one direction.
func (t *moments) canonical() float64 {
	a, b := t.xx*t.yy-t.xy*t.xy, t.uu*t.vv-t.uv*t.uv
	if !(a > 0 && b > 0) {
		return 0
	}
	// S = C B⁻¹ Cᵀ
	xu, xv := (t.xu*t.vv-t.xv*t.uv)/b, (t.xv*t.uu-t.xu*t.uv)/b
	yu, yv := (t.yu*t.vv-t.yv*t.uv)/b, (t.yv*t.uu-t.yu*t.uv)/b
	xx, xy, yy := xu*t.xu+xv*t.xv, xu*t.yu+xv*t.yv, yu*t.yu+yv*t.yv
	half := (t.yy*xx - 2*t.xy*xy + t.xx*yy) / a / 2
	det := (xx*yy - xy*xy) / a
	return math.Sqrt(half + math.Sqrt(math.Max(half*half-det, 0)))
}

// crossed is how well the light of a and of b are those of one relief under any two lamps. Light from the side l is about
// a = ∂h/∂l, light from the side m is b = ∂h/∂m, so ∂a/∂m = ∂b/∂l: some direction's change of the one is some
// direction's change of the other, and the canonical correlation of the two gradients finds them. It is given over some
// pixels, and without those two neighboring bands without which it is the least.
func crossed(pts []point, a, b *edges, r float64, m Affine) (all, rest float64) {
	sin, cos := math.Sincos(m.Degrees() * math.Pi / 180)
	mx, my := float64(b.w)/2, float64(b.h)/2
	var part [bands]moments
	for i := range pts {
		p := &pts[i]
		if p.band == bands {
			continue // any two coins' rims agree
		}
		x, y := m.Of(p.u, p.v)
		right, down, ok := b.sample(mx+x*r, my+y*r)
		if !ok {
			continue
		}
		u, v, own := float64(right), float64(down), a.of[p.at]
		part[p.band].add(float64(own[0]), float64(own[1]), cos*u-sin*v, sin*u+cos*v)
	}
	var sum moments
	for k := range part {
		sum.plus(&part[k], 1)
	}
	all = sum.canonical()
	rest = all
	for k := 1; k < bands; k++ {
		t := sum
		t.plus(&part[k-1], -1)
		t.plus(&part[k], -1)
		if t.n > 0.2*sum.n {
			rest = math.Min(rest, t.canonical())
		}
	}
	return all, rest
}
