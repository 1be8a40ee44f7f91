package rim

import (
	"math"
	"math/rand/v2"
	"slices"

	"panside/internal/picture"
)

const (
	// most pixels that are worked on: half as many cost half of the time and lose the smallest
	// coins first.
	most = 750_000
	// least pixels of the picture's shorter side.
	tiny = 80
	// tried middles are looked at first, and better ones that come out of them again.
	tried, again = 6, 7
	// triples a middle.
	triples = 2500
	// kept candidates are looked at closely.
	kept = 20
	// leastShare and largestShare bound a coin's radius by the shorter side of the picture.
	leastShare, largestShare = 0.1, 0.62
	// votedOff is how far a voted middle may lie off, ringOff one that came out of a ring, in radii.
	votedOff, ringOff = 0.12, 0.06
)

// Found is a coin's edge.
type Found struct {
	Ellipse
	// Covered is the share of the outline along which an edge was seen, 0 to 1.
	Covered float64
	// U is the relative standard uncertainty of the half axes: what the edge's points say, and
	// beside a quarter of a per cent for what they don't, a bevel or a wall taken for the edge
	// (TestFirstWorld).
	U float64
	// Check asks for a look: another outline of another size is nearly as good.
	Check bool
	// Others are the edges of further coins that lie wholly in the picture.
	Others []Ellipse
}

// Find looks for the one coin in a picture. It works on at most three quarters of a megapixel:
// hand over a larger photo shrunk (picture.ShrunkColors and ShrinkBy) and scale what comes out, or
// it is shrunk here. progress may be nil; it is told the share that is done and says whether to go
// on.
//
// With Two, CutOff, Doubt and Blurred what was found is given all the same, to be mended by hand
// (Through) or to be tapped (FindAt).
func Find(p picture.Colors, progress func(done float64) (goOn bool)) (Found, Why) {
	return find(p, nil, progress)
}

// FindAt looks for the coin that holds a place, as where more than one lie in the picture.
func FindAt(p picture.Colors, at Point, progress func(done float64) (goOn bool)) (Found, Why) {
	return find(p, &at, progress)
}

func find(p picture.Colors, at *Point, progress func(float64) bool) (Found, Why) {
	if min(p.Red.W, p.Red.H) < tiny {
		return Found{}, Small
	}
	if by := picture.ShrinkBy(p.Red.W, p.Red.H, most); by > 1 {
		if at != nil {
			at = &Point{at.X / float64(by), at.Y / float64(by)}
		}
		f, why := find(p.Shrink(by), at, progress)
		f.Ellipse = f.Scaled(float64(by))
		for i, o := range f.Others {
			f.Others[i] = o.Scaled(float64(by))
		}
		return f, why
	}
	goOn := func(done float64) bool { return progress == nil || progress(done) }
	if !goOn(0) {
		return Found{}, Stopped
	}
	e := picture.ClearestEdges(p)
	if !goOn(0.2) {
		return Found{}, Stopped
	}
	cs, stopped := candidates(e, at, goOn)
	if stopped {
		return Found{}, Stopped
	}
	if len(cs) == 0 {
		if soft(e) {
			return Found{}, Blurred
		}
		return Found{}, None
	}
	best := choose(cs)
	f := Found{Ellipse: best.Ellipse, Covered: best.covered, Check: doubtful(best, cs)}
	f.U = math.Hypot(0.0025, 3*best.spread/best.A/math.Sqrt(rays*best.covered/4))
	one := []candidate{best}
	for _, c := range cs {
		if c.worth > second*best.worth && c.covered > secondCovered && c.outside <= cut && c.A > 0.4*best.A &&
			!slices.ContainsFunc(one, func(o candidate) bool { return !c.apart(o) }) {
			one = append(one, c)
			f.Others = append(f.Others, c.Ellipse)
		}
	}
	switch {
	case best.covered < 0.5*Least:
		return Found{}, None
	case best.covered < Least:
		return f, Doubt
	case best.outside > cut:
		return f, CutOff
	case best.width(e) > smeared*best.A:
		return f, Blurred
	case len(f.Others) > 0 && at == nil:
		return f, Two
	}
	return f, ""
}

// candidates are the rings of the picture, best first.
func candidates(e picture.Edges, at *Point, goOn func(float64) bool) (out []candidate, stopped bool) {
	short := float64(min(e.Right.W, e.Right.H))
	least, largest := leastShare*short, largestShare*short
	// Always the same: one photo gives one answer.
	rnd := rand.New(rand.NewPCG(1, 1))
	holds := func(c candidate) bool {
		if at == nil {
			return true
		}
		u, v := c.ToRound(at.X, at.Y)
		return math.Hypot(u, v) < 1
	}
	rings := func(p *polar, least, farOff float64) (out []candidate) {
		for _, g := range p.seek(rnd, least, farOff) {
			if c, ok := p.judged(p.refined(g)); ok && holds(c) {
				out = append(out, c)
			}
		}
		return out
	}
	var first []candidate
	for k, mid := range middles(e, at, least, largest) {
		first = append(first, rings(newPolar(e, mid, least, largest), least, votedOff)...)
		if !goOn(0.2 + 0.4*float64(k+1)/tried) {
			return nil, true
		}
	}
	var mids []Point
	for _, c := range distinct(first, 40) {
		if slices.ContainsFunc(mids, func(m Point) bool { return math.Hypot(m.X-c.X, m.Y-c.Y) < 0.02*c.A }) {
			continue
		}
		mid := Point{c.X, c.Y}
		mids = append(mids, mid)
		out = append(out, rings(newPolar(e, mid, 0.7*c.A, math.Min(1.27*c.A, largest)), 0.75*c.A, ringOff)...)
		if !goOn(0.6 + 0.3*float64(len(mids))/again) {
			return nil, true
		}
		if len(mids) == again {
			break
		}
	}
	out = distinct(out, kept)
	for i := range out {
		out[i].weigh()
	}
	return distinct(out, kept), false
}
