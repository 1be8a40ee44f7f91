package relief

import (
	"math"

	"panside/internal/fourier"
	"panside/internal/picture"
)

// longest is the wave, as a share of the picture, that comes out half as high; longer ones hardly, since
// flattening has taken them away.
const longest = 4.0

// Heights are the heights, px, about their mean on the coin: Poisson's equation by cosine transforms,
//
//	H[k,l] = D[k,l] / (2 cos(πk/W) − 2 + 2 cos(πl/H) − 2 − λ²),
//
// D the transform of the slopes' divergence, λ = 2π/longest. Beyond the coin slopes count as none.
func (r Relief) Heights() picture.Picture {
	if r.W == 0 {
		return picture.Picture{}
	}
	w, h := fourier.Up(r.W), fourier.Up(r.H)
	d := make([]float32, w*h)
	inside := func(x, y int) bool { return r.On.holds(float64(x)+0.5, float64(y)+0.5, 1) }
	for y := range r.H {
		for x := range r.W {
			i := y*r.W + x
			// The slope between two pixels is the mean of theirs; it flows out of one and into the other.
			if x+1 < r.W && inside(x, y) && inside(x+1, y) {
				v := (r.Right.Light[i] + r.Right.Light[i+1]) / 2
				d[y*w+x] += v
				d[y*w+x+1] -= v
			}
			if y+1 < r.H && inside(x, y) && inside(x, y+1) {
				v := (r.Down.Light[i] + r.Down.Light[i+r.W]) / 2
				d[y*w+x] += v
				d[(y+1)*w+x] -= v
			}
		}
	}
	fourier.Cosines(d, w, h)
	lambda := 2 * math.Pi / (longest * float64(min(r.W, r.H)))
	cosX := make([]float64, w)
	for k := range cosX {
		cosX[k] = 2*math.Cos(math.Pi*float64(k)/float64(w)) - 2
	}
	for l := range h {
		cl := 2*math.Cos(math.Pi*float64(l)/float64(h)) - 2 - lambda*lambda
		for k := range w {
			d[l*w+k] /= float32(cosX[k] + cl)
		}
	}
	fourier.Uncosines(d, w, h)
	out := picture.New(r.W, r.H)
	sum, n := 0.0, 0
	for y := range r.H {
		copy(out.Light[y*r.W:(y+1)*r.W], d[y*w:])
		for x := range r.W {
			if inside(x, y) {
				sum += float64(d[y*w+x])
				n++
			}
		}
	}
	mean := float32(sum / float64(max(n, 1)))
	for i := range out.Light {
		out.Light[i] -= mean
	}
	return out
}

// Relit is the relief under another lamp, as if it were made of one dull stuff: n·l, none below 0.
// boost makes slopes steeper for the eye, 1 shows them as they are.
func (r Relief) Relit(lamp Lamp, boost float64) picture.Picture {
	l := lamp.toward()
	lx, ly, lz, b := float32(l[0]), float32(l[1]), float32(l[2]), float32(boost)
	out := picture.New(r.W, r.H)
	for i := range out.Light {
		p, q := b*r.Right.Light[i], b*r.Down.Light[i]
		v := (lz - p*lx - q*ly) / float32(math.Sqrt(float64(1+p*p+q*q)))
		out.Light[i] = max(v, 0)
	}
	return out
}
