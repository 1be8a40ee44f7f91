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

// Crest is a place on the crest of an edge, with the direction of its gradient.
type Crest struct{ X, Y, Right, Down float32 }

// Crests lists the edges of the gradient shrunk by by*by, in its pixels: those pixels steeper than
// floor that are steeper than both neighbors along the gradient, which is taken to one of eight
// directions.
func (e Edges) Crests(by int, floor float64) (out []Crest) {
	right, down := e.Right.Shrink(by), e.Down.Shrink(by)
	w := right.W
	square := func(i int) float32 {
		return right.Light[i]*right.Light[i] + down.Light[i]*down.Light[i]
	}
	for y := 1; y+1 < right.H; y++ {
		for x := 1; x+1 < w; x++ {
			i := y*w + x
			g := square(i)
			if g < float32(floor*floor) {
				continue
			}
			r, d := right.Light[i], down.Light[i]
			beside := 1
			if max(d, -d) > 2.4*max(r, -r) { // by more than 67.5 degrees
				beside = w
			} else if max(r, -r) <= 2.4*max(d, -d) {
				beside = w + 1
				if r*d < 0 {
					beside = w - 1
				}
			}
			if g < square(i-beside) || g <= square(i+beside) {
				continue
			}
			size := float32(math.Sqrt(float64(g)))
			out = append(out, Crest{float32(x) + 0.5, float32(y) + 0.5, r / size, d / size})
		}
	}
	return out
}
