package mat

import (
	"math"
	"slices"

	"panside/internal/picture"
)

// Taught is a coin that the hunter tapped and named: by its color class, by its side, or both.
type Taught struct {
	X, Y        float64 // px of the photo
	Class, Side string
}

const (
	// dim is what a natural logarithm of brightness counts against one of color: brightness goes with
	// gloss and wear.
	dim = 0.5
	// surely is how much nearer the nearest class must be than the second, and stranger how far from
	// all a coin belongs to none. TestColors holds both.
	surely, stranger = 0.75, 0.45
)

// hue is a coin's color: ln(R/G), ln(B/G) and dim times the logarithm of its brightness.
type hue [3]float64

func (h hue) from(o hue) float64 {
	return math.Sqrt((h[0]-o[0])*(h[0]-o[0]) + (h[1]-o[1])*(h[1]-o[1]) + (h[2]-o[2])*(h[2]-o[2]))
}

// hueOf takes the medians over the face, so that letters, dirt and shine don't count.
func hueOf(p picture.Colors, c Coin) hue {
	var rg, bg, bright []float64
	every := c.Radius / 18
	for y := c.Y - 0.85*c.Radius; y <= c.Y+0.85*c.Radius; y += every {
		for x := c.X - 0.85*c.Radius; x <= c.X+0.85*c.Radius; x += every {
			if math.Hypot(x-c.X, y-c.Y) > 0.85*c.Radius || !p.Red.Holds(x, y) {
				continue
			}
			r, g, b := float64(p.Red.Sample(x, y))+1e-3, float64(p.Green.Sample(x, y))+1e-3, float64(p.Blue.Sample(x, y))+1e-3
			rg, bg, bright = append(rg, math.Log(r/g)), append(bg, math.Log(b/g)), append(bright, math.Log(r+g+b))
		}
	}
	if len(rg) == 0 {
		return hue{}
	}
	return hue{median(rg), median(bg), dim * median(bright)}
}

func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}

// lit is the plane of the logarithm of the table's brightness over the photo, by the least squares
// over the rings around all coins: a lamp beside the mat lights one side more.
type lit struct{ x0, y0, dx, dy float64 }

func lamp(p picture.Colors, coins []Coin) lit {
	var v [][3]float64
	var l lit
	for _, c := range coins {
		var some []float64
		for k := range 24 {
			dy, dx := math.Sincos(2 * math.Pi * float64(k) / 24)
			x, y := c.X+1.3*c.Radius*dx, c.Y+1.3*c.Radius*dy
			if !p.Red.Holds(x, y) || slices.ContainsFunc(coins, func(o Coin) bool { return math.Hypot(x-o.X, y-o.Y) < 1.15*o.Radius }) {
				continue
			}
			some = append(some, math.Log(float64(p.Red.Sample(x, y)+p.Green.Sample(x, y)+p.Blue.Sample(x, y))+3e-3))
		}
		if len(some) >= 6 {
			v = append(v, [3]float64{c.X, c.Y, median(some)})
		}
	}
	// A plane takes some coins all over the mat.
	if len(v) < 8 {
		return l
	}
	n := float64(len(v))
	for _, a := range v {
		l.x0, l.y0 = l.x0+a[0]/n, l.y0+a[1]/n
	}
	var xx, xy, yy, xz, yz float64
	for _, a := range v {
		x, y := a[0]-l.x0, a[1]-l.y0
		xx, xy, yy, xz, yz = xx+x*x, xy+x*y, yy+y*y, xz+x*a[2], yz+y*a[2]
	}
	if det := xx*yy - xy*xy; det > 1e-6*xx*yy {
		l.dx, l.dy = (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	}
	return l
}

// at is by how much more light the logarithm of a place has than the middle.
func (l lit) at(c Coin) float64 { return l.dx*(c.X-l.x0) + l.dy*(c.Y-l.y0) }

// Colors gives each coin the class of the taught coin that it is like. It is NotThere if a coin was
// taught at a place where none was found.
func Colors(photo picture.Colors, coins []Coin, taught []Taught) Why {
	l := lamp(photo, coins)
	hues := make([]hue, len(coins))
	for i, c := range coins {
		hues[i] = hueOf(photo, c)
		hues[i][2] -= dim * l.at(c)
	}
	type known struct {
		hue
		class string
	}
	var all []known
	for _, t := range taught {
		i, why := At(coins, t.X, t.Y)
		if why != "" {
			return why
		}
		if t.Class != "" {
			all = append(all, known{hues[i], t.Class})
		}
	}
	for i := range coins {
		near, next, class := math.Inf(1), math.Inf(1), ""
		for _, k := range all {
			switch d := hues[i].from(k.hue); {
			case d < near && k.class == class:
				near = d
			case d < near:
				near, next, class = d, near, k.class
			case k.class != class:
				next = math.Min(next, d)
			}
		}
		coins[i].Class = ""
		if near < stranger && near < surely*next {
			coins[i].Class = class
		}
	}
	return ""
}
