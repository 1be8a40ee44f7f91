package rim

import (
	"math"
	"slices"

	"panside/internal/picture"
)

// edges is a picture's gradient.
type edges struct {
	w, h        int
	right, down picture.Picture
	// usual is the median size of the gradient: of noise and texture.
	usual float64
	// reach is by how much the tone differs between the picture's bright and dark parts.
	reach float64
}

// newEdges takes the gradient of the light, or where it is clearer that of the difference between
// red and blue: a brown coin on a grey table may show in color alone. Both are drawn by the square
// root, and compared by their own usual size.
func newEdges(c picture.Colors) *edges {
	e := &edges{w: c.Red.W, h: c.Red.H}
	light := c.Light()
	warm := picture.New(e.w, e.h)
	for i, v := range light.Light {
		light.Light[i] = root(v)
		warm.Light[i] = root(c.Red.Light[i]) - root(c.Blue.Light[i])
	}
	light = light.Blur(1)
	var some []float64
	for i := 0; i < len(light.Light); i += 37 {
		some = append(some, float64(light.Light[i]))
	}
	slices.Sort(some)
	e.reach = some[len(some)*98/100] - some[len(some)/50]
	e.right, e.down = light.Gradient()
	e.usual = usual(e.right, e.down)
	right, down := warm.Blur(1).Gradient()
	// Never taken for clearer than it is where there is no noise at all.
	scale := float32(math.Min(e.usual/usual(right, down), 1))
	for i := range right.Light {
		r, d := scale*right.Light[i], scale*down.Light[i]
		if r*r+d*d > 2*(e.right.Light[i]*e.right.Light[i]+e.down.Light[i]*e.down.Light[i]) {
			e.right.Light[i], e.down.Light[i] = r, d
		}
	}
	return e
}

func root(v float32) float32 { return float32(math.Sqrt(float64(max(v, 0)))) }

// usual is the median size of a gradient, of every 37th pixel.
func usual(right, down picture.Picture) float64 {
	var some []float64
	for i := 0; i < len(right.Light); i += 37 {
		some = append(some, math.Hypot(float64(right.Light[i]), float64(down.Light[i])))
	}
	slices.Sort(some)
	return math.Max(some[len(some)/2], 1e-6)
}

// across is the gradient at a place along a direction, and its size there.
func (e *edges) across(x, y, dx, dy float64) (along, size float64) {
	gx, gy := float64(e.right.Sample(x, y)), float64(e.down.Sample(x, y))
	return gx*dx + gy*dy, math.Sqrt(gx*gx + gy*gy)
}

// soft reports whether nowhere in the picture there is a sharp edge, though it has bright and dark
// parts: everything is out of focus, or the hand moved.
func (e *edges) soft() bool {
	var some []float64
	for i := 0; i < len(e.right.Light); i += 7 {
		some = append(some, math.Hypot(float64(e.right.Light[i]), float64(e.down.Light[i])))
	}
	slices.Sort(some)
	steep := some[len(some)*995/1000]
	return e.reach > 0.08 && e.reach > steep*softest*float64(min(e.w, e.h))
}

// softest is the width over which the steepest slopes take the whole reach of a picture, in shorter
// sides, beyond which nothing in it is sharp (TestBlurred).
const softest = 0.03
