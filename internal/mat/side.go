package mat

import (
	"math"
	"slices"

	"panside/internal/picture"
)

const (
	turns = 88 // angles of a side's map: four degrees each, half of a letter, and a multiple of 4
	rings = 12 // radii of it, from a fifth of the radius to nine tenths: the rim is the same on both
	// fine is the blur of the tone, in radii: more of it made half of the coins unsure.
	fine = 0.012
	// power sharpens likenesses to what they weigh against a tenth over the usual one, and chance is
	// the weight of nothing: a coin like no other stays unsure.
	power, chance = 6, 0.02
	// surer is how far one side's share must lie over the other's, from 0 for equal to 1 for all.
	// TestFirstWorld holds the four.
	surer = 0.25
)

// relief is how a coin's gradient goes over angle and radius: its size, and cosine and sine of twice
// its angle against the ray, weighed by it. Each ring stands twice, so that a turn is a shift.
type relief [3][rings][2 * turns]float32

// reliefOf is taken from the tone, blurred so that a ring is about as wide as the blur.
func reliefOf(right, down picture.Picture, c Coin) *relief {
	var r relief
	for k := range rings {
		far := c.Radius * (0.2 + 0.7*(float64(k)+0.5)/rings)
		for t := range turns {
			dy, dx := math.Sincos(2 * math.Pi * float64(t) / turns)
			x, y := c.X+far*dx, c.Y+far*dy
			gx, gy := float64(right.Sample(x, y)), float64(down.Sample(x, y))
			out, along := gx*dx+gy*dy, -gx*dy+gy*dx
			size := math.Sqrt(out*out + along*along)
			r[0][k][t] = float32(size)
			if size > 0 {
				r[1][k][t] = float32((out*out - along*along) / size)
				r[2][k][t] = float32(2 * out * along / size)
			}
		}
	}
	// Each ring to mean nought and each map to size one, so that a likeness is a correlation.
	for m := range r {
		sum := float32(0)
		for k := range rings {
			ring := r[m][k][:turns]
			mean := float32(0)
			for _, v := range ring {
				mean += v / turns
			}
			for t, v := range ring {
				// The root keeps one scratch from outweighing all letters.
				if v -= mean; v < 0 {
					v = -float32(math.Sqrt(float64(-v)))
				} else {
					v = float32(math.Sqrt(float64(v)))
				}
				ring[t] = v
				sum += v * v
			}
		}
		if sum > 0 {
			by := 1 / float32(math.Sqrt(float64(sum)))
			for k := range rings {
				for t := range turns {
					r[m][k][t] *= by
					r[m][k][t+turns] = r[m][k][t]
				}
			}
		}
	}
	return &r
}

// likeness is the best mean correlation over all turns, -1 to 1.
func (r *relief) likeness(o *relief) float64 {
	best := float32(-3)
	for by := range turns {
		var s0, s1, s2, s3 float32
		for m := range r {
			for k := range rings {
				a, b := r[m][k][:turns], o[m][k][by:by+turns]
				for len(a) >= 4 && len(b) >= 4 {
					s0, s1, s2, s3 = s0+a[0]*b[0], s1+a[1]*b[1], s2+a[2]*b[2], s3+a[3]*b[3]
					a, b = a[4:], b[4:]
				}
			}
		}
		best = max(best, s0+s1+s2+s3)
	}
	return float64(best) / 3
}

// Sides tells which side of each coin lies up, from taught coins of two sides. Two of each tell most
// of fifty, one of each fewer; what is unsure stays "".
//
// Two coins of one side that lie turned alike to the lamp are much more like each other than any of
// two sides; turned otherwise hardly so. So a taught side is handed on from coin to coin: each coin's
// share in a side is the mean of the others' shares, weighed by how like they are, and a taught coin
// keeps its own (the harmonic function of X. Zhu, Z. Ghahramani and J. Lafferty, "Semi-supervised
// learning using Gaussian fields and harmonic functions", ICML 2003, 912–919; weights are powers of
// the likeness here).
//
// It is NotThere if a coin was taught at a place where none was found. progress may be nil.
func Sides(photo picture.Colors, coins []Coin, taught []Taught, progress func(done float64) (goOn bool)) Why {
	side := make([]string, len(coins))
	for _, t := range taught {
		i, why := At(coins, t.X, t.Y)
		if why != "" {
			return why
		}
		if t.Side != "" {
			side[i] = t.Side
		}
	}
	defer func() {
		for i := range coins {
			coins[i].Side = side[i]
		}
	}()
	if !twoSides(side) {
		return ""
	}
	like, why := likenesses(photo, coins, progress)
	if why != "" {
		return why
	}
	shares, weight := map[string][]float64{}, weights(like)
	for _, s := range side {
		if s != "" && shares[s] == nil {
			shares[s] = handedOn(weight, side, s)
		}
	}
	told := slices.Clone(side)
	for i := range coins {
		best, all, name := 0.0, 0.0, ""
		for s, share := range shares {
			all += share[i]
			if share[i] > best {
				best, name = share[i], s
			}
		}
		if told[i] == "" && best-(all-best) > surer {
			told[i] = name
		}
	}
	side = told
	return ""
}

// weights are what coins count for each other, by how like they are.
func weights(like [][]float64) [][]float64 {
	usual := usualOf(like)
	weight := make([][]float64, len(like))
	for i := range like {
		weight[i] = make([]float64, len(like))
		for j := range like {
			if j != i {
				weight[i][j] = math.Pow(math.Max(like[i][j]-usual, 0)/0.1, power)
			}
		}
	}
	return weight
}

// handedOn is each coin's share in one side, 0 to 1.
func handedOn(weight [][]float64, side []string, one string) []float64 {
	share := make([]float64, len(side))
	for i, s := range side {
		if s == one {
			share[i] = 1
		}
	}
	// Each round takes the news one coin further; chance damps it.
	for range 300 {
		for i := range share {
			if side[i] != "" {
				continue
			}
			sum, n := 0.0, chance
			for j, w := range weight[i] {
				sum, n = sum+w*share[j], n+w
			}
			share[i] = sum / n
		}
	}
	return share
}

func twoSides(side []string) bool {
	first := ""
	for _, s := range side {
		if s != "" && first != "" && s != first {
			return true
		}
		if s != "" {
			first = s
		}
	}
	return false
}

// likenesses are those of each two coins.
func likenesses(photo picture.Colors, coins []Coin, progress func(float64) bool) ([][]float64, Why) {
	light := photo.Light()
	for i, v := range light.Light {
		light.Light[i] = float32(math.Sqrt(float64(max(v, 0))))
	}
	right, down := light.Blur(coins[0].Radius * fine).Gradient()
	all := make([]*relief, len(coins))
	like := make([][]float64, len(coins))
	for i, c := range coins {
		all[i], like[i] = reliefOf(right, down, c), make([]float64, len(coins))
	}
	for i := range coins {
		if progress != nil && !progress(float64(i)/float64(len(coins))) {
			return nil, Stopped
		}
		for j := range i {
			l := all[i].likeness(all[j])
			like[i][j], like[j][i] = l, l
		}
	}
	return like, ""
}

// usualOf is the median likeness of two coins.
func usualOf(like [][]float64) float64 {
	var all []float64
	for i := range like {
		all = append(all, like[i][:i]...)
	}
	return median(all)
}
