package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
	"panside/internal/picture"
	"panside/internal/stats"
)

// evenness is how light is set against its surroundings: they reach Size radii of the coin, count Floor times
// the coin's mean square at the least, and Most is the largest value that is believed.
type evenness struct{ Size, Floor, Most float64 }

// How light becomes slopes where the metal shines, chosen on TestWideWorld's coins. To lay frames over each other
// each edge is made about as strong as the next; slopes keep their sizes but for the brightest gloss.
var (
	toLay    = evenness{Size: 0.025, Floor: 0.3, Most: 2}
	toSlopes = evenness{Size: 0.085, Floor: 20, Most: 0.5}
)

// evenSlope is the slope of a place whose even light is 1, times the cosine of the lamp. Only the scale
// of heights comes from it, which is not known anyway.
const evenSlope = 0.5

// even sets each frame's light against its surroundings: with v the root of light and v̄ its mean nearby,
// q = (v − v̄)/√(mean of (v − v̄)² nearby + Floor times that of the coin), held within ±Most.
//
// Whatever the gloss, a place of one metal is the brighter the more it leans to the lamp: light is
// m(n·h) with m rising, h halfway between lamp and eye. Slopes to every side are about as frequent near each
// place, since strokes are closed, so what lies over the mean leans to the lamp. Metal that flowed under
// the dies throws bands of luster that turn with the lamp, and a near lamp, a lens or a window make one side
// brighter: all are wider than a stroke, and go with the mean. Opposite lamps then give opposite
// values, in one place: bright edges no longer move with the lamp.
func (e evenness) even(frames []picture.Picture, on Disc) []picture.Picture {
	out := make([]picture.Picture, len(frames))
	for k, p := range frames {
		radius := on.R
		if !(radius > 0) {
			radius = float64(min(p.W, p.H)) / 2
		}
		q := picture.New(p.W, p.H)
		for i, v := range p.Light {
			q.Light[i] = float32(math.Sqrt(float64(max(v, 0))))
		}
		// Two running means are near a normal curve of the standard deviation Size radii, and quicker.
		nearby := max(int(math.Round((math.Sqrt(6*e.Size*e.Size*radius*radius+1)-1)/2)), 1)
		mean, square := q.Mean(nearby).Mean(nearby), picture.New(p.W, p.H)
		sum, n := 0.0, 0
		for i, v := range mean.Light {
			d := q.Light[i] - v
			q.Light[i], square.Light[i] = d, d*d
			if on.holds(float64(i%p.W)+0.5, float64(i/p.W)+0.5, inner) {
				sum, n = sum+float64(d*d), n+1
			}
		}
		floor := float32(e.Floor*sum/float64(max(n, 1))) + 1e-9
		square = square.Mean(nearby).Mean(nearby)
		most := float32(e.Most)
		for i, v := range q.Light {
			q.Light[i] = min(max(v/float32(math.Sqrt(float64(square.Light[i]+floor))), -most), most)
		}
		out[k] = q
	}
	return out
}

// unexplained is the share of what differs between frames that lie over each other which no g explains, the
// residual of I = L g, over (K − 3)/(K − 1): what it is of frames that have nothing to do with each other.
func unexplained(frames []picture.Picture, maps []align.Affine, lamps [][3]float64, on Disc) float64 {
	k := len(frames)
	pinv := pseudo(lamps)
	left, all := 0.0, 0.0
	p := frames[0]
	in := make([]float64, k)
	step := max(p.W*p.H/40000, 1)
	for i := 0; i < len(p.Light); i += step {
		if !on.holds(float64(i%p.W)+0.5, float64(i/p.W)+0.5, inner) {
			continue
		}
		var g [3]float64
		mean := 0.0
		for j, f := range frames {
			in[j] = float64(f.Sample(maps[j].Of(float64(i%p.W)+0.5, float64(i/p.W)+0.5)))
			mean += in[j] / float64(k)
			for c := range g {
				g[c] += float64(pinv[j][c]) * in[j]
			}
		}
		for j, l := range lamps {
			d := in[j] - l[0]*g[0] - l[1]*g[1] - l[2]*g[2]
			left += d * d
			all += (in[j] - mean) * (in[j] - mean)
		}
	}
	return left / math.Max(all, 1e-12) * float64(k-1) / float64(k-3)
}

// agreement is how well each frame is foretold by the others, that of the frame that is foretold worst: the
// correlation of its even light with what the others' slopes and tone give.
func agreement(frames []picture.Picture, maps []align.Affine, lamps [][3]float64, on Disc) float64 {
	k, p := len(frames), frames[0]
	step := max(p.W*p.H/40000, 1)
	worst := 1.0
	in := make([]float64, k)
	for out := range k {
		foretold, ok := foretells(lamps, out)
		if !ok {
			continue
		}
		var both stats.Pairs
		for i := step / 2; i < len(p.Light); i += step {
			if !on.holds(float64(i%p.W)+0.5, float64(i/p.W)+0.5, inner) {
				continue
			}
			v := 0.0
			for j, f := range frames {
				in[j] = float64(f.Sample(maps[j].Of(float64(i%p.W)+0.5, float64(i/p.W)+0.5)))
				v += foretold[j] * in[j]
			}
			both.Add(v, in[out])
		}
		r, ok := both.Correlation()
		if !ok {
			return 0
		}
		worst = min(worst, r)
	}
	return worst
}

// foretells gives the weights of the other frames that foretell a frame by least squares: lₒᵀ (LᵀL)⁻¹ Lᵀ,
// L the other lamps.
func foretells(lamps [][3]float64, out int) ([]float64, bool) {
	const c = 3
	m, r := make([]float64, c*c), make([]float64, c)
	copy(r, lamps[out][:c])
	for j, l := range lamps {
		if j == out {
			continue
		}
		for a := range c {
			for b := range c {
				m[c*a+b] += l[a] * l[b]
			}
		}
	}
	if !cholesky.Solve(m, r) {
		return nil, false
	}
	w := make([]float64, len(lamps))
	for j, l := range lamps {
		if j == out {
			continue
		}
		for a := range c {
			w[j] += r[a] * l[a]
		}
	}
	return w, true
}

// laidOver finds how frames slipped, and refuses them if that is too uncertain. If Lambert's law doesn't explain
// them then, the metal shines.
func laidOver(flat []picture.Picture, lamps [][3]float64, on Disc, progress func(float64) bool) (moved movedFrames, shining bool, why Why) {
	by := 1
	for flat[0].W/by > largest {
		by *= 2
	}
	small := make([]picture.Picture, len(flat))
	for k, p := range flat {
		small[k] = p.Shrink(by)
	}
	k := float64(by)
	onSmall := Disc{on.X / k, on.Y / k, on.R / k}
	there, why := register(small, lamps, onSmall, progress)
	moved = there.grown(k)
	if why == "" && moved.tooFar(flat[0]) {
		why = Slipped
	}
	if why != "" {
		return moved, false, why
	}
	if moved.u > doubtful || moved.same < sameCoin {
		why = Slipped
	}
	return moved, unexplained(small, there.maps, moved.lamps, onSmall) > dull, why
}

// over takes the frames to where the first one lies.
func (m movedFrames) over(frames []picture.Picture) []picture.Picture {
	out := slices.Clone(frames)
	for i, a := range m.maps {
		if a != align.Identity {
			out[i] = a.Take(out[i], out[i].W, out[i].H)
		}
	}
	return out
}

// sameEdges is how well a frame has its edges where the others have theirs, that of the worst: the correlation of
// the even light's gradient size in the middle, where a bust stands, since coins of two types may have the same
// letters. It is 1 if there is hardly anything in the middle.
func sameEdges(frames []edges, maps []align.Affine, on Disc) float64 {
	sizes := make([]picture.Picture, len(frames))
	for j, e := range frames {
		size := picture.New(e.right.W, e.right.H)
		for i, v := range e.right.Light {
			w := e.down.Light[i]
			size.Light[i] = float32(math.Sqrt(float64(v*v + w*w)))
		}
		sizes[j] = size.Blur(1)
	}
	const step = 2
	both := make([]stats.Pairs, len(frames))
	in := make([]float64, len(frames))
	var there, whole float64
	var nThere, nWhole int
	for py := 0; py < sizes[0].H; py += step {
		for px := 0; px < sizes[0].W; px += step {
			x, y := float64(px)+0.5, float64(py)+0.5
			if !on.holds(x, y, inner) {
				continue
			}
			v := 0.0
			for j, m := range maps {
				in[j] = float64(sizes[j].Sample(m.Of(x, y)))
				v += in[j]
			}
			whole, nWhole = whole+v, nWhole+1
			if on.holds(x, y, middle) {
				there, nThere = there+v, nThere+1
				for j := range both {
					both[j].Add(in[j], v-in[j])
				}
			}
		}
	}
	if there*float64(nWhole) < bare*whole*float64(nThere) {
		return 1
	}
	worst := 1.0
	for j := range both {
		r, _ := both[j].Correlation()
		worst = min(worst, r)
	}
	return worst
}
