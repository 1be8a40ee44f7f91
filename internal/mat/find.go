package mat

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/picture"
	"panside/internal/rectify"
	"panside/internal/rim"
)

const (
	rays = 72
	// band is how far a heap may lie off the middle, wide how far the radius may be off, in radii.
	band, wide = 0.1, 0.035
	// leastCovered of a circle is taken for a coin: one that touches others all around shows more, the
	// hole between three coins less (TestFirstWorld).
	leastCovered = 0.5
	// apart is how near two coins' middles may lie, in radii: 2 where they touch.
	apart = 1.5
)

// Coin is one coin on the mat.
type Coin struct {
	// Number from 1, row by row as one reads.
	Number int
	X, Y   float64 // middle, px of the photo
	Radius float64 // px
	// Covered is the share of its outline along which an edge was seen.
	Covered float64
	// Class is that of the taught coin whose color is like it, "" if that is unsure or none is
	// taught. Side likewise.
	Class, Side string
}

// Find lists the coins of one size in a photo of two to four megapixels. size is their radius in
// pixels if it is known (a coin that was tapped, or the mat before), else 0; then it is found.
// progress may be nil.
func Find(photo picture.Colors, size float64, progress func(done float64) (goOn bool)) ([]Coin, Why) {
	goOn := func(done float64) bool { return progress == nil || progress(done) }
	if min(photo.Red.W, photo.Red.H) < 200 {
		return nil, Small
	}
	if !goOn(0) {
		return nil, Stopped
	}
	by := picture.ShrinkBy(photo.Red.W, photo.Red.H, pixels)
	small := photo
	if by > 1 {
		small = photo.Shrink(by)
	}
	e := picture.ClearestEdges(small)
	if !goOn(0.4) {
		return nil, Stopped
	}
	r := size / float64(by)
	if size <= 0 {
		if r = radius(e); r == 0 {
			return nil, None
		}
	}
	if !goOn(0.6) {
		return nil, Stopped
	}
	v := votes(e.Right.W, e.Right.H, e.Crests(1, faintest(e)), r/step, r, r*step)
	type place struct {
		x, y  float64
		votes float32
	}
	var places []place
	v.Peaks(heap, func(x, y int, votes float32) {
		places = append(places, place{float64(x) + 0.5, float64(y) + 0.5, votes})
	})
	slices.SortFunc(places, func(a, b place) int { return cmp.Compare(b.votes, a.votes) })
	var about []*ring
	for _, p := range places {
		if !slices.ContainsFunc(about, func(a *ring) bool { return math.Hypot(p.x-a.x, p.y-a.y) < band*r }) {
			about = append(about, newRing(e, p.x, p.y, r))
		}
	}
	if size <= 0 {
		// The best tell the radius; the last may be no coins.
		r = common(about[:(len(about)+1)/2], r)
	}
	var all []Coin
	for _, a := range about {
		if c, ok := a.coin(r); ok {
			all = append(all, c)
		}
	}
	if !goOn(0.9) {
		return nil, Stopped
	}
	// The best of those that can't both be coins.
	slices.SortFunc(all, func(a, b Coin) int { return cmp.Compare(b.Covered, a.Covered) })
	var coins []Coin
	for _, c := range all {
		if !slices.ContainsFunc(coins, func(o Coin) bool { return math.Hypot(c.X-o.X, c.Y-o.Y) < apart*r }) {
			coins = append(coins, c)
		}
	}
	if len(coins) == 0 {
		return nil, None
	}
	for i := range coins {
		coins[i].X, coins[i].Y, coins[i].Radius = coins[i].X*float64(by), coins[i].Y*float64(by), coins[i].Radius*float64(by)
	}
	number(coins)
	return coins, ""
}

// ring is what is seen along rays from about a coin's middle: how clear an edge is at each distance,
// 0 to 1, in half pixels from first on.
type ring struct {
	x, y  float64
	first float64
	seen  [rays][]float32
}

// way are the directions of the rays.
var way = func() (t [rays][2]float64) {
	for k := range t {
		t[k][1], t[k][0] = math.Sincos(2 * math.Pi * float64(k) / rays)
	}
	return t
}()

func newRing(e picture.Edges, x, y, r float64) *ring {
	a := &ring{x: x, y: y, first: r * (1 - band - wide)}
	n := int(2*r*2*(band+wide)) + 2
	floor := faintest(e)
	soft := 3*e.Usual + 0.012
	for k := range rays {
		line := make([]float32, n)
		dx, dy := way[k][0], way[k][1]
		for i := range line {
			far := a.first + float64(i)/2
			px, py := x+far*dx, y+far*dy
			if !e.Right.Holds(px, py) {
				break
			}
			g, size := e.Across(px, py, dx, dy)
			if g = math.Abs(g); g > floor && g > 0.8*size {
				line[i] = float32(g / (g + soft))
			}
		}
		// Only crests, as wide as three half pixels.
		crest := make([]float32, n)
		for i := 1; i+1 < n; i++ {
			if v := line[i]; v > 0 && v >= line[i-1] && v > line[i+1] {
				for j := i - 1; j <= i+1; j++ {
					crest[j] = max(crest[j], v)
				}
			}
		}
		a.seen[k] = crest
	}
	return a
}

// clear is the mean clearness of a circle whose middle lies off by dx, dy, and the share of the rays
// on which there is an edge at all.
func (a *ring) clear(r, dx, dy float64) (clear, covered float64) {
	sum, n := float32(0), 0
	for k := range rays {
		i := int(2*(r+dx*way[k][0]+dy*way[k][1]-a.first) + 0.5)
		if i < 0 || i >= len(a.seen[k]) {
			continue
		}
		if v := a.seen[k][i]; v > 0 {
			sum += v
			n++
		}
	}
	return float64(sum) / rays, float64(n) / rays
}

// best middle for a radius.
func (a *ring) best(r float64) (clear, dx, dy float64) {
	reach := band * r
	try := func(mx, my, reach, step float64) {
		for y := my - reach; y <= my+reach; y += step {
			for x := mx - reach; x <= mx+reach; x += step {
				if c, _ := a.clear(r, x, y); c > clear {
					clear, dx, dy = c, x, y
				}
			}
		}
	}
	try(0, 0, reach, 1)
	try(dx, dy, 0.75, 0.25)
	return clear, dx, dy
}

// common is the radius of all coins near to a first guess: that whose circles are clearest.
func common(all []*ring, r float64) float64 {
	best, most := r, 0.0
	for k := -wide; k <= wide; k += 0.005 {
		sum := 0.0
		for _, a := range all {
			c, _, _ := a.best(r * (1 + k))
			sum += c
		}
		if sum > most {
			best, most = r*(1+k), sum
		}
	}
	return best
}

// coin is the circle of about the common radius that is clearest.
func (a *ring) coin(r float64) (Coin, bool) {
	var c Coin
	most := 0.0
	for k := -0.015; k <= 0.016; k += 0.005 {
		if clear, dx, dy := a.best(r * (1 + k)); clear > most {
			most = clear
			c = Coin{X: a.x + dx, Y: a.y + dy, Radius: r * (1 + k)}
			_, c.Covered = a.clear(c.Radius, dx, dy)
		}
	}
	return c, c.Covered >= leastCovered
}

// Edge is the coin's outline, a circle as it is seen from above.
func (c Coin) Edge() rim.Ellipse { return rim.Ellipse{X: c.X, Y: c.Y, A: c.Radius, B: c.Radius} }

// Cut is the coin cut out of the photo, size pixels a side with the coin's edge just within, the way
// it lies.
func (c Coin) Cut(photo picture.Colors, size int) (picture.Colors, Why) {
	// Millimetres don't matter here: any diameter does.
	u, why := rectify.New(c.Edge(), 20, 0, 0)
	if why != "" {
		return picture.Colors{}, None
	}
	out, why := u.Colors(photo, rectify.NewSquare(size), nil)
	if why != "" {
		return picture.Colors{}, None
	}
	return out, ""
}

// At is the coin that holds a place.
func At(coins []Coin, x, y float64) (int, Why) {
	for i, c := range coins {
		if math.Hypot(x-c.X, y-c.Y) <= c.Radius {
			return i, ""
		}
	}
	return -1, NotThere
}
