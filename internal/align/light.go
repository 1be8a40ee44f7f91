package align

import (
	"math"

	"panside/internal/picture"
	"panside/internal/stats"
)

// lightAgrees is the correlation of two rasters' brightness within the coin, each against its own
// surroundings, as large as letters are.
func lightAgrees(a, b picture.Picture) float64 {
	if a.W != b.W || a.H != b.H {
		return 0
	}
	a, b = a.Blur(1.5), b.Blur(1.5)
	ma, mb := a.Mean(12), b.Mean(12)
	r := float64(a.W) / 2 / around * ringTo
	var both stats.Pairs
	for i := range a.Light {
		if math.Hypot(float64(i%a.W)-float64(a.W)/2, float64(i/a.W)-float64(a.H)/2) > r {
			continue
		}
		both.Add(float64(a.Light[i]-ma.Light[i]), float64(b.Light[i]-mb.Light[i]))
	}
	agrees, _ := both.Correlation()
	return agrees
}
