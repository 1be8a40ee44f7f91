package relief

import (
	"math"
	"slices"

	"panside/internal/picture"
)

// looked is how many pixels' marks are compared, those with the strongest edges.
const looked = 16000

// marked is what of a frame stays in its place on whatever side the lamp stands: some marks, each of one raster
// or two that belong together.
type marked [][]picture.Picture

// marks gives those of a frame of flattened light and of even light q. On bare metal an edge turns from bright to dark
// with the lamp, so light itself hardly agrees between two sides; that there is an edge, and along
// which line, does. With ∇ the gradient:
//
//	|q|;  |∇q| over its mean nearby;  (q_x² − q_y², 2 q_x q_y)/|∇q|;  the same of log light, over |∇|²,
//
// the last two the line of an edge irrespective of its sign, by the doubled angle (Granlund, Computer Graphics
// and Image Processing 8, 1978), once as strong as the edge is and once as strong for hairlines as for letters.
func marks(flat, q picture.Picture) marked {
	const nearby, edge, hair, black = 6, 0.02, 0.003, 0.02
	size, across := picture.New(q.W, q.H), picture.New(q.W, q.H)
	for i, v := range q.Light {
		size.Light[i] = max(v, -v)
	}
	right, down := q.Blur(1).Gradient()
	for i, a := range right.Light {
		b := down.Light[i]
		v := float32(math.Sqrt(float64(a*a + b*b)))
		across.Light[i] = v
		right.Light[i], down.Light[i] = (a*a-b*b)/(v+edge), 2*a*b/(v+edge)
	}
	mean := across.Mean(nearby).Mean(nearby)
	log := picture.New(q.W, q.H)
	for i, v := range flat.Light {
		across.Light[i] /= mean.Light[i] + edge
		log.Light[i] = float32(math.Log(float64(max(v, 0)) + black))
	}
	r, d := log.Blur(0.8).Gradient()
	for i, a := range r.Light {
		b := d.Light[i]
		v := a*a + b*b + hair
		r.Light[i], d.Light[i] = (a*a-b*b)/v, 2*a*b/v
	}
	return marked{{size}, {across}, {right, down}, {r, d}}
}

// strongest are the places, in full pixels, of the most pixels with the strongest edges of frames that are by times
// smaller: in every square of the picture as many, so that none is without.
func strongest(w, h, by, most int, on Disc, energy func(i int) float32) (places [][2]float64) {
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
			if want := most / (cells * cells); len(values) > want {
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
