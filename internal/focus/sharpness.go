package focus

import (
	"math"
	"slices"

	"panside/internal/picture"
)

// Sharpness is the share of fine detail in all detail, 0 to 1: see the package. A picture
// without detail, and one of fewer than 16 pixels a side, has 0.
func Sharpness(p picture.Picture) float64 {
	if p.W < 16 || p.H < 16 {
		return 0
	}
	fine, coarse := p.Blur(1), p.Blur(4)
	n := noise(p)
	sumFine, sumCoarse := 0.0, 0.0
	for i, v := range p.Light {
		a, b := float64(v-fine.Light[i]), float64(v-coarse.Light[i])
		sumFine += a * a
		sumCoarse += b * b
	}
	all := float64(len(p.Light))
	f, c := sumFine/all-n*passed(1), sumCoarse/all-n*passed(4)
	if !(f > 0) || !(c > n/10) || c < 1e-9 {
		return 0
	}
	return math.Min(f/c, 1)
}

// passed is the share of white noise's variance that is left by taking off a blur of sigma px: with a
// Gaussian's kernel k it is 1 − 2 k(0) + Σ k², k(0) = 1/2πσ², Σ k² = 1/4πσ².
func passed(sigma float64) float64 { return 1 - 3/(4*math.Pi*sigma*sigma) }

// noise is the variance of white noise, by the median of second differences along rows: those of white
// noise have six times its variance, and the median of a normal's size is 0.6745 of its deviation.
func noise(p picture.Picture) float64 {
	var all []float32
	step := max(p.H/64, 1)
	for y := 0; y < p.H; y += step {
		row := p.Light[y*p.W : (y+1)*p.W]
		for x := 1; x+1 < p.W; x++ {
			d := row[x-1] - 2*row[x] + row[x+1]
			all = append(all, max(d, -d))
		}
	}
	slices.Sort(all)
	s := float64(all[len(all)/2]) / 0.6745 / math.Sqrt(6)
	return s * s
}

// Sharpest gives the place of the sharpest frame of a burst of one coin, and its score; −1 for none.
func Sharpest(burst []picture.Picture) (at int, score float64) {
	at = -1
	for i, p := range burst {
		if s := Sharpness(p); at < 0 || s > score {
			at, score = i, s
		}
	}
	return at, score
}
