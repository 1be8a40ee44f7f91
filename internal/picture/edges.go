package picture

import (
	"math"
	"slices"
)

// Edges is the gradient of a picture of coins: of its tone, the square root of its light, which
// makes the noise of light even.
type Edges struct {
	// Right and Down are by how much the tone grows, a pixel.
	Right, Down Picture
	// Usual is the median size of the gradient: that of noise and texture. Never 0.
	Usual float64
	// Reach is by how much the tone differs between the picture's bright and dark parts: its second
	// and 98th percentile.
	Reach float64
}

// ClearestEdges takes the gradient of the light, or where it is clearer that of the difference
// between red and blue: a brown coin on a grey table may show in color alone. They are compared by
// their own usual size. Both are blurred by a pixel first.
func ClearestEdges(c Colors) Edges {
	light := c.Light()
	warm := New(light.W, light.H)
	for i, v := range light.Light {
		light.Light[i] = root(v)
		warm.Light[i] = root(c.Red.Light[i]) - root(c.Blue.Light[i])
	}
	light = light.Blur(1)
	var e Edges
	some := everyOther(len(light.Light), 37, func(i int) float64 { return float64(light.Light[i]) })
	e.Reach = some[len(some)*98/100] - some[len(some)/50]
	e.Right, e.Down = light.Gradient()
	e.Usual = usual(e.Right, e.Down)
	right, down := warm.Blur(1).Gradient()
	// Never taken for clearer than it is where there is no noise at all.
	scale := float32(math.Min(e.Usual/usual(right, down), 1))
	for i := range right.Light {
		r, d := scale*right.Light[i], scale*down.Light[i]
		if r*r+d*d > 2*(e.Right.Light[i]*e.Right.Light[i]+e.Down.Light[i]*e.Down.Light[i]) {
			e.Right.Light[i], e.Down.Light[i] = r, d
		}
	}
	return e
}

func root(v float32) float32 { return float32(math.Sqrt(float64(max(v, 0)))) }

func usual(right, down Picture) float64 {
	some := everyOther(len(right.Light), 37, func(i int) float64 {
		return math.Hypot(float64(right.Light[i]), float64(down.Light[i]))
	})
	return math.Max(some[len(some)/2], 1e-6)
}

// everyOther is a sorted sample.
func everyOther(n, step int, value func(int) float64) (some []float64) {
	for i := 0; i < n; i += step {
		some = append(some, value(i))
	}
	slices.Sort(some)
	return some
}

// Steep is the size of the gradient that only a two hundredth of the picture exceeds.
func (e Edges) Steep() float64 {
	some := everyOther(len(e.Right.Light), 7, func(i int) float64 {
		return math.Hypot(float64(e.Right.Light[i]), float64(e.Down.Light[i]))
	})
	return some[len(some)*995/1000]
}

// Across is the gradient at a place along a direction, and its size there.
func (e Edges) Across(x, y, dx, dy float64) (along, size float64) {
	gx, gy := float64(e.Right.Sample(x, y)), float64(e.Down.Sample(x, y))
	return gx*dx + gy*dy, math.Sqrt(gx*gx + gy*gy)
}
