package align

import (
	"math"

	"panside/internal/picture"
)

// channels of a feature raster.
const (
	angleRe = iota // doubled gradient angle, weighed by size: real part
	angleIm        // and imaginary
	sizes          // gradient size against its surroundings, 0 to 1
	phases         // cosine of the local phase, −1 to 1
	channels
)

// features are what is compared of a picture, one value a pixel and channel.
type features struct {
	w, h int
	of   [channels][]float32
}

// What the features are taken with, in px.
const (
	fine = 1.3 // standard deviation of the blur before gradients
	near = 9   // half a side of the surroundings that a size is set against
	// still is the share of the whole picture's gradient energy that surroundings count for at the
	// least, so that the noise of an empty field isn't made a feature.
	still = 0.2
)

// featuresOf takes the features of a picture.
func featuresOf(p picture.Picture) features {
	b := p.Blur(fine)
	gx, gy := b.Gradient()
	coarse := b.Blur(1.7 * fine)
	f := features{w: p.W, h: p.H}
	for c := range f.of {
		f.of[c] = make([]float32, p.W*p.H)
	}
	energy, band := picture.New(p.W, p.H), make([]float32, p.W*p.H)
	sum, sumBand := 0.0, 0.0
	for i := range band {
		energy.Light[i] = gx.Light[i]*gx.Light[i] + gy.Light[i]*gy.Light[i]
		d := b.Light[i] - coarse.Light[i]
		band[i] = d
		sum += float64(energy.Light[i])
		sumBand += float64(d * d)
	}
	// Odd and even part of a band have about the same energy once the gradient is scaled so.
	odd := float32(0)
	if sum > 0 {
		odd = float32(sumBand / sum)
	}
	floor := float32(still * sum / float64(max(len(band), 1)))
	mean := energy.Mean(near).Mean(near)
	for i, e := range energy.Light {
		m := mean.Light[i] + floor
		if m <= 0 {
			continue
		}
		s := e / (e + m)
		f.of[sizes][i] = s
		if e > 0 {
			f.of[angleRe][i] = s * (gx.Light[i]*gx.Light[i] - gy.Light[i]*gy.Light[i]) / e
			f.of[angleIm][i] = s * 2 * gx.Light[i] * gy.Light[i] / e
		}
		d := band[i]
		f.of[phases][i] = d / float32(math.Sqrt(float64(d*d+odd*(e+m/2))))
	}
	return f
}

// sample gives all channels at a place, bilinear.
func (f *features) sample(x, y float64, into *[channels]float32) bool {
	x, y = x-0.5, y-0.5
	if x < 0 || y < 0 || x > float64(f.w-2) || y > float64(f.h-2) {
		return false
	}
	i, j := int(x), int(y)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	k := j*f.w + i
	for c := range f.of {
		v := f.of[c]
		top := v[k] + fx*(v[k+1]-v[k])
		low := v[k+f.w] + fx*(v[k+f.w+1]-v[k+f.w])
		into[c] = top + fy*(low-top)
	}
	return true
}
