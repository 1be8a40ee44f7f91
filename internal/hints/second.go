package hints

import (
	"cmp"
	"math"
	"slices"
)

// How a second image is looked for. Chosen on coins of the first world, 640 px across, with patches of
// 2.5 and 3 mm, bands up to 0.12, 0.2 and 0.35 mm and one to four courses allowed for.
const (
	patch   = 1.5  // half a side of a patch, mm
	apart   = 0.8  // from patch to patch
	nearest = 0.06 // of a second image from the first, mm
	far     = 0.36
	dense   = 0.18 // up to here each pixel is tried
	// busy is the least energy of a patch against the coin's busiest tenth.
	busy = 0.25
	// band is the blur, mm, that is taken off: the slopes of a bust are too smooth to tell a shift by.
	band = 0.2
	// own is the least share of a shifted copy that the patch itself must leave unexplained.
	own = 0.02
)

// Second is what a patch says of a second image.
type Second struct {
	X, Y           float64 // middle of the patch, pixels of the pair
	Gain           float64 // as the package says, before the median of others is taken off
	Score          float64
	ShiftX, ShiftY float64 // mm

	gains []float64
}

// Seconds gives the score of each patch that has relief, the highest first.
func (p *Pair) Seconds(progress func(done float64) (goOn bool)) ([]Second, Why) {
	mine, ordinary := p.banded(p.mine), p.banded(p.ordinary)
	shifts := p.shifts()
	half := int(math.Round(patch / p.pixel))
	step := max(int(math.Round(apart/p.pixel)), 1)
	e := p.energy(ordinary, half)
	var at [][2]int
	var all []float64
	for y := half; y < p.h-half; y += step {
		for x := half; x < p.w-half; x += step {
			if p.within(float64(x), float64(y), float64(half)*0.8) {
				at = append(at, [2]int{x, y})
				all = append(all, float64(e[y*p.w+x]))
			}
		}
	}
	if len(all) < 12 {
		return nil, TooFew
	}
	slices.Sort(all)
	least := busy * all[len(all)*9/10]
	var out []Second
	for n, c := range at {
		if float64(e[c[1]*p.w+c[0]]) < least {
			continue
		}
		out = append(out, p.second(mine, ordinary, c[0], c[1], half, shifts))
		if progress != nil && !progress(float64(n)/float64(len(at))) {
			return nil, Stopped
		}
	}
	if len(out) < 4 {
		return nil, TooFew
	}
	// A second image goes on from patch to patch: gains are the mean of a patch and its neighbors.
	for i := range out {
		sum := make([]float64, len(shifts))
		w := 0.0
		for j := range out {
			if math.Abs(out[j].X-out[i].X) <= 1.1*float64(step) && math.Abs(out[j].Y-out[i].Y) <= 1.1*float64(step) {
				w++
				for k, g := range out[j].gains {
					sum[k] += g
				}
			}
		}
		out[i].Gain = math.Inf(-1)
		for k, g := range sum {
			if g = (g - sum[len(sum)-1-k]) / w; g > out[i].Gain {
				out[i].Gain = g
				out[i].ShiftX, out[i].ShiftY = float64(shifts[k].dx)*p.pixel, float64(shifts[k].dy)*p.pixel
			}
		}
	}
	// Less the median of the patches that have nothing of this one.
	for i := range out {
		var others []float64
		for _, o := range out {
			if math.Abs(o.X-out[i].X) >= 2*float64(half) || math.Abs(o.Y-out[i].Y) >= 2*float64(half) {
				others = append(others, o.Gain)
			}
		}
		if len(others) < 3 {
			for _, o := range out {
				others = append(others, o.Gain)
			}
		}
		out[i].Score = out[i].Gain - median(others)
	}
	slices.SortStableFunc(out, func(a, b Second) int { return cmp.Compare(b.Score, a.Score) })
	return out, ""
}

// shift is one place of a second image, pixels.
type shift struct{ dx, dy int }

// shifts are those tried: each pixel near by, each second one farther off, where the gain changes
// slowly. With each stands its opposite, at the same place from the end.
func (p *Pair) shifts() []shift {
	var out []shift
	reach := int(math.Ceil(far / p.pixel))
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			d := math.Hypot(float64(dx), float64(dy)) * p.pixel
			if d < nearest || d > far || d > dense && (dx%2 != 0 || dy%2 != 0) {
				continue
			}
			out = append(out, shift{dx, dy})
		}
	}
	return out
}

// banded is a field less what is wider than the band.
func (p *Pair) banded(f field) field {
	s := p.softened(f, band/p.pixel)
	for i := range s.right {
		s.right[i] = f.right[i] - s.right[i]
		s.down[i] = f.down[i] - s.down[i]
	}
	return s
}

// second scores one patch.
func (p *Pair) second(mine, ordinary field, cx, cy, half int, shifts []shift) Second {
	m := int(math.Ceil(far/p.pixel)) + 1
	x0, y0, x1, y1 := max(cx-half, m), max(cy-half, m), min(cx+half+1, p.w-m), min(cy+half+1, p.h-m)
	w, h := x1-x0, y1-y0
	out := Second{X: float64(cx), Y: float64(cy), gains: make([]float64, len(shifts))}
	// A patch of two channels in one row.
	take := func(f func(i int) (float32, float32)) []float32 {
		v := make([]float32, 2*w*h)
		for y := range h {
			for x := range w {
				v[2*(y*w+x)], v[2*(y*w+x)+1] = f((y0+y)*p.w + x0 + x)
			}
		}
		return v
	}
	o := ordinary
	// What isn't a second image: the patch itself, itself a little moved, and itself smeared by wear.
	basis := [4][]float32{
		take(func(i int) (float32, float32) { return o.right[i], o.down[i] }),
		take(func(i int) (float32, float32) {
			return o.right[i+1] - o.right[i-1], o.down[i+1] - o.down[i-1]
		}),
		take(func(i int) (float32, float32) {
			return o.right[i+p.w] - o.right[i-p.w], o.down[i+p.w] - o.down[i-p.w]
		}),
		take(func(i int) (float32, float32) {
			return o.right[i+p.w] + o.right[i-p.w] + o.right[i+1] + o.right[i-1] - 4*o.right[i], o.down[i+p.w] + o.down[i-p.w] + o.down[i+1] + o.down[i-1] - 4*o.down[i]
		}),
	}
	left := take(func(i int) (float32, float32) { return mine.right[i], mine.down[i] })
	mm := dot(left, left)
	for i, b := range basis {
		for _, c := range basis[:i] {
			off(b, c, dot(b, c))
		}
		k := dot(b, b)
		if k <= 0 {
			return out
		}
		s := float32(1 / math.Sqrt(k))
		for j := range b {
			b[j] *= s
		}
		off(left, b, dot(left, b))
	}
	for k, d := range shifts {
		var all, with float32
		var in [4]float32
		for y := range h {
			at := (y0+y-d.dy)*p.w + x0 - d.dx
			rp, rq := o.right[at:at+w], o.down[at:at+w]
			row := 2 * y * w
			l := left[row : row+2*w]
			b0, b1, b2, b3 := basis[0][row:row+2*w], basis[1][row:row+2*w], basis[2][row:row+2*w], basis[3][row:row+2*w]
			for x, a := range rp {
				b := rq[x]
				i := 2 * x
				all += a*a + b*b
				with += a*l[i] + b*l[i+1]
				in[0] += a*b0[i] + b*b0[i+1]
				in[1] += a*b1[i] + b*b1[i+1]
				in[2] += a*b2[i] + b*b2[i+1]
				in[3] += a*b3[i] + b*b3[i+1]
			}
		}
		new := all // of the copy, what nothing explains yet
		for _, q := range in {
			new -= q * q
		}
		if with > 0 && new >= own*all {
			out.gains[k] = float64(with) * float64(with) / float64(new) / mm
		}
	}
	return out
}

func dot(a, b []float32) float64 {
	sum := float32(0)
	for i, v := range a {
		sum += v * b[i]
	}
	return float64(sum)
}

// off takes k of b off a.
func off(a, b []float32, k float64) {
	f := float32(k)
	for i, v := range b {
		a[i] -= f * v
	}
}
