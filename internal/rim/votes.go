package rim

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/picture"
)

// middles are the places around which circles lie, best first; with a place that the coin must hold
// only those that can be its middle.
func middles(e picture.Edges, hold *Point, least, largest float64) []Point {
	const by = 2
	w, h := e.Right.W/by, e.Right.H/by
	votes := picture.New(w, h)
	for _, c := range e.Crests(by, math.Max(1.5*e.Usual, faintest)) {
		for _, sign := range [2]float32{1, -1} {
			sx, sy := sign*c.Right, sign*c.Down
			for r := float32(least / by); r < float32(largest/by); r++ {
				x, y := int(c.X+sx*r), int(c.Y+sy*r)
				if c.X+sx*r < 0 || c.Y+sy*r < 0 || x >= w || y >= h {
					break
				}
				votes.Light[y*w+x]++
			}
		}
	}
	votes = votes.Blur(2)
	type peak struct {
		x, y  int
		votes float32
	}
	var peaks []peak
	votes.Peaks(0, func(x, y int, votes float32) { peaks = append(peaks, peak{x, y, votes}) })
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
