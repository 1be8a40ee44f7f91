package rim

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/picture"
)

// What tells a coin's rim from the other rings in and around it. TestFirstWorld in world_test.go
// holds them together; they stand in the middle of wide ranges in which they made no difference.
const (
	// A ring between two true ones touches each along a part: the wall's foot on one side and the
	// rim on the other, say. The rim itself is seen all around and, moved to a side, once more as
	// foot or shadow: twin is what that counts.
	twin = 0.5
	// tilted degrees are free, leaning more is the less likely the more it is.
	tilted, leaning = 12.0, 6.0
	// cut is how much of an outline may lie outside of the picture before the coin counts as cut
	// off, and cutWorth what it is worth against a whole one.
	cut, cutWorth = 0.03, 0.6
	// outer is the worth against the best at which a ring around it is the rim and the best an
	// inner one, and beside how far their middles may lie apart, in radii.
	outer, beside = 0.7, 0.06
	// second and secondCovered are what another coin must have beside the best to count.
	second, secondCovered = 0.4, 0.6
	// rival is the worth against the best at which another diameter makes the choice doubtful.
	rival = 0.93
	// smeared is the width of the edge, as the standard deviation of a Gaussian in radii, beyond
	// which letters can't be read nor edges placed (TestBlurred).
	smeared = 0.025
)

// candidate is a ring with what speaks for it.
type candidate struct {
	Ellipse
	ring     ring
	on       *polar
	covered  float64 // share of the rays that have the edge
	outside  float64 // share of the rays on which the ring lies outside of the picture
	strength float64 // mean over the rays, 0 to 1
	worth    float64
	spread   float64 // robust standard deviation of the edge's points from the ellipse, px
}

// judged measures a ring and puts the ellipse through its edges.
func (p *polar) judged(g ring) (candidate, bool) {
	c := candidate{ring: g, on: p}
	var points []Point
	var weights []float64
	out := 0
	for i := range rays {
		r := g.at(i)
		if r > p.within[i] {
			out++
			continue
		}
		h, ok := p.closest(i, r, sharp*g[0]+sharpPX)
		if !ok {
			continue
		}
		c.strength += h.strength
		dx, dy := ray(i)
		points = append(points, Point{p.mid.X + h.r*dx, p.mid.Y + h.r*dy})
		weights = append(weights, h.strength)
	}
	e, why := Fit(points, weights)
	if why != "" {
		return c, false
	}
	c.Ellipse = e
	c.covered, c.outside, c.strength = float64(len(points))/rays, float64(out)/rays, c.strength/rays
	off := make([]float64, len(points))
	for i, p := range points {
		u, v := e.ToRound(p.X, p.Y)
		off[i] = math.Abs(math.Hypot(u, v)-1) * e.A
	}
	slices.Sort(off)
	c.spread = 1.48 * off[len(off)/2] // of a Gaussian
	c.worth = c.strength * c.covered
	return c, true
}

// weigh gives the candidate its final worth.
func (c *candidate) weigh() {
	wall, shade := c.on.twins(c.ring)
	c.worth = (c.strength + twin*(wall+shade)) * c.covered
	c.worth *= math.Exp(-math.Pow(math.Max(c.Tilt()-tilted, 0)/leaning, 2) / 2)
	if c.outside > cut {
		c.worth *= cutWorth
	}
}

// twins is how strongly the ring stands once more on one half, moved to that side by as much as a
// wall's foot (wall) or a shadow's edge (shade) lies from the top's edge.
func (p *polar) twins(g ring) (wall, shade float64) {
	const directions = 24
	moved := func(far float64) (best float64) {
		for d := 0; d < rays; d += rays / directions {
			mx, my := ray(d)
			sum, n := float32(0), 0
			// The half that faces the side, but for its ends, where the two lie on each other.
			for k := -rays / 6; k <= rays/6; k += 3 {
				i := (d + k + rays) % rays
				dx, dy := ray(i)
				n++
				if r := int(g.at(i) + far*(mx*dx+my*dy) + 0.5); r <= p.largest {
					sum += p.near[i][r]
				}
			}
			best = math.Max(best, float64(sum)/float64(n))
		}
		return best
	}
	band := sharp*g[0] + sharpPX
	for far := 2 * band; far < 0.035*g[0]; far += 0.006 * g[0] {
		wall = math.Max(wall, moved(far))
	}
	for far := math.Max(0.04*g[0], 2*band); far < 0.25*g[0]; far += 0.012 * g[0] {
		shade = math.Max(shade, moved(far))
	}
	return wall, shade
}

// distinct keeps the best of those that are the same ellipse, best first, at most n.
func distinct(cs []candidate, n int) (out []candidate) {
	slices.SortFunc(cs, func(a, b candidate) int { return cmp.Compare(b.worth, a.worth) })
	for _, c := range cs {
		fresh := true
		for _, o := range out {
			fresh = fresh && (math.Hypot(c.X-o.X, c.Y-o.Y)+math.Abs(c.A-o.A)+math.Abs(c.B-o.B) > 0.006*o.A)
		}
		if fresh {
			out = append(out, c)
		}
		if len(out) == n {
			break
		}
	}
	return out
}

// choose picks the rim: the best, or what lies around it and is nearly as good. It leaves the
// candidates ordered by worth.
func choose(cs []candidate) candidate {
	best := cs[0]
	for again := true; again; {
		again = false
		for _, c := range cs {
			if c.Mean() > best.Mean() && c.worth > outer*cs[0].worth &&
				math.Hypot(c.X-best.X, c.Y-best.Y) < beside*c.A && c.shared(best) < 0.1 {
				best, again = c, true
			}
		}
	}
	return best
}

// shared is the part of an outline that lies on another's.
func (c candidate) shared(o candidate) float64 {
	const n = 60
	on := 0
	for i := range n {
		u, v := o.ToRound(c.Outline(float64(i) * 360 / n))
		if math.Abs(math.Hypot(u, v)-1) < 0.007 {
			on++
		}
	}
	return float64(on) / n
}

// apart reports whether two outlines are of two coins, side by side at most touching.
func (c candidate) apart(o candidate) bool {
	return math.Hypot(c.X-o.X, c.Y-o.Y) > 0.9*(c.Mean()+o.Mean())
}

// doubtful reports whether another ring of another diameter is nearly as good: then one look by
// the hunter is due. Rings that lie wholly within don't count, a coin has those.
func doubtful(best candidate, cs []candidate) bool {
	for _, c := range cs {
		if math.Hypot(c.X-best.X, c.Y-best.Y) < best.A && math.Abs(c.A/best.A-1) > 0.009 &&
			c.worth > rival*best.worth && (c.A > best.A || c.shared(best) > 0.2) {
			return true
		}
	}
	return false
}

// width is the upper quartile of the edge's width along the ring, in standard deviations of a
// Gaussian, px: a hand that moved leaves the edge sharp along its way.
func (c candidate) width(e picture.Edges) float64 {
	var all []float64
	for i := range rays {
		h, ok := c.on.closest(i, c.ring.at(i), sharp*c.ring[0]+sharpPX)
		if !ok {
			continue
		}
		dx, dy := ray(i)
		top, _ := e.Across(c.on.mid.X+h.r*dx, c.on.mid.Y+h.r*dy, dx, dy)
		sum := 0.0
		for _, way := range [2]float64{1, -1} {
			for s, last := 0.5, math.Inf(1); s < 0.12*h.r; s++ {
				g, _ := e.Across(c.on.mid.X+(h.r+way*s)*dx, c.on.mid.Y+(h.r+way*s)*dy, dx, dy)
				if g /= top; g < 0.05 || g > 1.05*last {
					break
				} else {
					sum, last = sum+g, g
				}
			}
		}
		all = append(all, sum/math.Sqrt(2*math.Pi))
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	wide := all[len(all)*3/4]
	return math.Sqrt(math.Max(wide*wide-1, 0)) // less this package's own blur
}
