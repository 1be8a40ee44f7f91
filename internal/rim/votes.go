package rim

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/picture"
)

// middles are the places around which circles lie, best first; with a place that the coin must hold
// only those that can be its middle.
func middles(e *edges, hold *Point, least, largest float64) []Point {
	const by = 2
	right, down := e.right.Shrink(by), e.down.Shrink(by)
	w, h := right.W, right.H
	size := make([]float32, w*h)
	for i := range size {
		size[i] = float32(math.Hypot(float64(right.Light[i]), float64(down.Light[i])))
	}
	votes := picture.New(w, h)
	floor := float32(math.Max(1.5*e.usual, faintest))
	for y := 1; y+1 < h; y++ {
		for x := 1; x+1 < w; x++ {
			i := y*w + x
			g := size[i]
			if g < floor {
				continue
			}
			dx, dy := right.Light[i]/g, down.Light[i]/g
			// Only the crest of an edge votes.
			step := 1
			if max(dy, -dy) > max(dx, -dx)*2.4 {
				step = w
			} else if max(dx, -dx) <= max(dy, -dy)*2.4 {
				step = w + 1
				if dx*dy < 0 {
					step = w - 1
				}
			}
			if g < size[i-step] || g <= size[i+step] {
				continue
			}
			for _, sign := range [2]float32{1, -1} {
				sx, sy := sign*dx, sign*dy
				for r := float32(least / by); r < float32(largest/by); r++ {
					px, py := int(float32(x)+sx*r+0.5), int(float32(y)+sy*r+0.5)
					if px < 0 || py < 0 || px >= w || py >= h {
						break
					}
					votes.Light[py*w+px] += 1
				}
			}
		}
	}
	votes = votes.Blur(2)
	type peak struct {
		x, y  int
		votes float32
	}
	var peaks []peak
	for y := 1; y+1 < h; y++ {
		for x := 1; x+1 < w; x++ {
			v := votes.Light[y*w+x]
			if v > votes.Light[y*w+x-1] && v >= votes.Light[y*w+x+1] && v > votes.Light[(y-1)*w+x] && v >= votes.Light[(y+1)*w+x] {
				peaks = append(peaks, peak{x, y, v})
			}
		}
	}
	slices.SortFunc(peaks, func(a, b peak) int { return cmp.Compare(b.votes, a.votes) })
	var out []Point
	for _, p := range peaks {
		at := Point{(float64(p.x) + 0.5) * by, (float64(p.y) + 0.5) * by}
		if hold != nil && math.Hypot(at.X-hold.X, at.Y-hold.Y) > largest {
			continue
		}
		apart := true
		for _, o := range out {
			apart = apart && math.Hypot(at.X-o.X, at.Y-o.Y) > least/2
		}
		if apart {
			out = append(out, at)
		}
		if len(out) == tried {
			break
		}
	}
	return out
}
