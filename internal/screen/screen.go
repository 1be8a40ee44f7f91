// Package screen tells whether a picture of a coin was taken off a screen: a display's pixels stand in a
// grid, which the camera sees as waves in two directions at right angles, of one length, all over the coin.
// What is measured there is the display's picture of a coin and not the coin.
//
// A piece of the coin's middle is transformed (fourier), and a wave counts as one of a grid if it stands out
// of its neighbors in the spectrum and another of about its length stands out across it. Relief and
// scratches have broad spectra or single directions; the 8 × 8 blocks of a JPEG have a grid of their own, whose
// waves are left out.
package screen

import (
	"math"
	"slices"

	"panside/internal/fourier"
	"panside/internal/picture"
)

// Side of a piece, px.
const Side = 256

const (
	// Waves that are looked at, px: shorter ones no lens shows, longer ones are relief.
	shortest, longest = 2.2, 20.0
	// standsOut is how many times the power of its neighborhood a wave of a grid has.
	// TestScreensAreTold and TestCoinsAreNoScreens hold it from both sides.
	standsOut = 60.0
	// Two waves are of one grid if the angle between them is a right one to within about 4 degrees and
	// their lengths differ by less than a twelfth.
	crossing, alike = 0.07, 0.08
)

// Places gives the upper left corners of the pieces to look at, Side px wide and high, of a picture of w*h px with
// a coin of radius r at (x, y): the picture that the camera took, not a shrunk one. There are none where
// the coin has too few pixels to show a grid's waves.
func Places(w, h int, x, y, r float64) [][2]int {
	reach := 0.6*r - Side/2
	if !(reach >= 0) {
		return nil
	}
	var out [][2]int
	for _, off := range [3]float64{0, -reach, reach} {
		x0, y0 := int(x+off)-Side/2, int(y)-Side/2
		if x0 >= 0 && y0 >= 0 && x0+Side <= w && y0+Side <= h {
			out = append(out, [2]int{x0, y0})
		}
	}
	return out
}

// Shows reports whether the coin of which these are pieces stands on a screen.
func Shows(pieces []picture.Picture) bool {
	power := make([]float64, Side*Side)
	plane := fourier.NewPlane(Side, Side)
	for _, p := range pieces {
		if p.W != Side || p.H != Side {
			return false
		}
		addPower(power, plane, p)
	}
	return hasGrid(power)
}

// addPower adds a piece's power spectrum. The piece is set against its own surroundings, so that dark
// places count like bright ones, and fades out to its edges (Hann's window).
func addPower(power []float64, plane *fourier.Plane, piece picture.Picture) {
	around := piece.Mean(int(longest / 2))
	re, im := make([]float32, Side*Side), make([]float32, Side*Side)
	for j := range Side {
		for i := range Side {
			k := j*Side + i
			re[k] = (piece.Light[k]/max(around.Light[k], 0.01) - 1) * hann(i) * hann(j)
		}
	}
	plane.Forward(re, im)
	for k := range power {
		power[k] += float64(re[k]*re[k] + im[k]*im[k])
	}
}

func hann(i int) float32 { return float32(0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/Side)) }

// wave is one of the spectrum, in waves a piece.
type wave struct{ x, y float64 }

// hasGrid looks for two waves across each other that stand out.
func hasGrid(power []float64) bool {
	var found []wave
	at := func(kx, ky int) float64 { return power[(ky&(Side-1))*Side+kx&(Side-1)] }
	around := make([]float64, 0, 300)
	quiet := quietest(power)
	// Half of the plane has all of a real picture's waves.
	for ky := 0; ky < Side/2; ky++ {
		for kx := -Side/2 + 1; kx < Side/2; kx++ {
			f := math.Hypot(float64(kx), float64(ky))
			if f < Side/longest || f > Side/shortest || ofBlocks(kx, ky) || at(kx, ky) == 0 {
				continue
			}
			v := at(kx, ky)
			if v < at(kx+1, ky) || v < at(kx-1, ky) || v < at(kx, ky+1) || v < at(kx, ky-1) {
				continue
			}
			if v < standsOut*quiet[(ky/tile&(tiles-1))*tiles+(kx&(Side-1))/tile] {
				continue
			}
			around = around[:0]
			for dy := -8; dy <= 8; dy++ {
				for dx := -8; dx <= 8; dx++ {
					if d := dx*dx + dy*dy; d > 9 && d <= 64 {
						around = append(around, at(kx+dx, ky+dy))
					}
				}
			}
			slices.Sort(around)
			// What only a direction has stands out of the median, and not of the upper tenth.
			if v > standsOut*around[len(around)*9/10] {
				found = append(found, wave{float64(kx), float64(ky)})
			}
		}
	}
	for i, a := range found {
		for _, b := range found[:i] {
			la, lb := math.Hypot(a.x, a.y), math.Hypot(b.x, b.y)
			if math.Abs(a.x*b.x+a.y*b.y) < crossing*la*lb && math.Abs(la-lb) < alike*(la+lb)/2 {
				return true
			}
		}
	}
	return false
}

// How the spectrum is looked over coarsely.
const (
	tile  = 8 // bins on a side
	tiles = Side / tile
)

// quietest gives for each tile of the spectrum the third lowest mean of its eight neighbors: less than the
// upper tenth of what is around any of its waves, so that most of them needn't be looked at closely.
func quietest(power []float64) []float64 {
	mean := make([]float64, tiles*tiles)
	for i, v := range power {
		mean[i/Side/tile*tiles+i%Side/tile] += v / (tile * tile)
	}
	out := make([]float64, len(mean))
	for i := range out {
		var around []float64
		for dy := tiles - 1; dy <= tiles+1; dy++ {
			for dx := tiles - 1; dx <= tiles+1; dx++ {
				if dx != tiles || dy != tiles {
					around = append(around, mean[(i/tiles+dy)%tiles*tiles+(i+dx)%tiles])
				}
			}
		}
		slices.Sort(around)
		out[i] = around[2]
	}
	return out
}

// ofBlocks reports whether a wave is of the blocks of a JPEG, or too near to one to tell.
func ofBlocks(kx, ky int) bool {
	const block = Side / 8
	near := func(k int) bool { r := ((k % block) + block) % block; return r <= 1 || r >= block-1 }
	return near(kx) && near(ky)
}
