package relief

import (
	"math"
	"slices"

	"panside/internal/picture"
)

// looked is how many pixels' marks are compared, those with the strongest edges.
const looked = 12000

// marked is what of a frame stays in its place on whatever side the lamp stands: some marks, each of one raster
// or two that belong together.
type marked [][]picture.Picture

// edges is a frame's even light, a little blurred, and its gradient.
type edges struct{ light, right, down picture.Picture }

func edgesOf(even picture.Picture) edges {
	e := edges{light: even.Blur(1)}
	e.right, e.down = e.light.Gradient()
	return e
}

// marks gives those of a frame of flattened light and of even light q, with its edges. On bare metal an edge
// turns from bright to dark with the lamp, so light itself hardly agrees between two sides; that there is an edge, and along
// which line, does.
//
//	|q|;  |∇q| over its mean nearby;  (r_x² − r_y², 2 r_x r_y)/(|∇r|² + c)
//
// with ∇ the gradient and r the fourth root of light, so near its logarithm and without its pole: the line of
// an edge irrespective of its sign, by the doubled angle (Granlund, Computer Graphics and Image Processing 8, 1978), as
// strong for hairlines as for letters.
func marks(flat, q picture.Picture, e edges) marked {
	const nearby, edge, hair = 6, 0.02, 0.0002
	size, across, root := picture.New(q.W, q.H), picture.New(q.W, q.H), picture.New(q.W, q.H)
	for i, v := range q.Light {
		a, b := e.right.Light[i], e.down.Light[i]
		size.Light[i] = max(v, -v)
		across.Light[i] = float32(math.Sqrt(float64(a*a + b*b)))
		root.Light[i] = float32(math.Sqrt(math.Sqrt(float64(max(flat.Light[i], 0)))))
	}
	mean := across.Mean(nearby)
	right, down := root.Blur(0.8).Gradient()
	for i, a := range right.Light {
		across.Light[i] /= mean.Light[i] + edge
		b := down.Light[i]
		v := a*a + b*b + hair
		right.Light[i], down.Light[i] = (a*a-b*b)/v, 2*a*b/v
	}
	return marked{{size}, {across}, {right, down}}
}

// strongest are the places, in full pixels, of the pixels with the strongest edges of frames that are by times
// smaller: in every square of the picture as many, so that none is without.
func strongest(w, h, by int, on Disc, energy func(i int) float32) (places [][2]float64) {
	const cells = 8
	var in []int
	var values []float32
	for cy := range cells {
		for cx := range cells {
			in, values = in[:0], values[:0]
			for y := max(cy*h/cells, 2); y < min((cy+1)*h/cells, h-2); y++ {
				for x := max(cx*w/cells, 2); x < min((cx+1)*w/cells, w-2); x++ {
					if on.holds((float64(x)+0.5)*float64(by), (float64(y)+0.5)*float64(by), inner) {
						in, values = append(in, y*w+x), append(values, energy(y*w+x))
					}
				}
			}
			least := float32(0)
			if want := looked / (cells * cells); len(values) > want {
				sorted := slices.Clone(values)
				slices.Sort(sorted)
				least = sorted[len(sorted)-want]
			}
			for i, at := range in {
				if v := values[i]; v >= least && v > 0 {
					places = append(places, [2]float64{(float64(at%w) + 0.5) * float64(by), (float64(at/w) + 0.5) * float64(by)})
				}
			}
		}
	}
	return places
}
