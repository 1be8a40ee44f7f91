package relief

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/cholesky"
	"panside/internal/picture"
	"panside/internal/stats"
)

// How light becomes slopes where the metal shines.
const (
	// ranked is into how many steps a frame's light is cut to find its order.
	ranked = 2048
	// outermost is the largest rank that is believed: a share of exp(−outermost)/2 of the coin lies beyond.
	outermost = 4.0
	// toneSize is the blur, of the picture's width, of what is taken for tone: wider than a stroke's flank.
	toneSize = 0.012
	// leveledSlope is the slope of a place whose rank is 1, times the cosine of the lamp. Only the scale
	// of heights comes from it, which is not known anyway.
	leveledSlope = 0.25
)

// leveled replaces the light of each frame by its rank on the coin, made to spread like
// slopes do: q = ln 2u below the middle and −ln 2(1 − u) above, u the share of darker pixels.
//
// Whatever the gloss, a place of one metal is the brighter the more it leans to the lamp: light is
// m(n·h) with m rising, h halfway between lamp and eye. Slopes to every side are about as frequent on a coin,
// whose shapes are closed, so ranks set about the middle undo m without knowing it. They are
// about linear in the slope toward the lamp, and opposite lamps give opposite ranks, in one place: bright
// edges no longer move with the lamp.
func leveled(frames []picture.Picture, on Disc) []picture.Picture {
	out := make([]picture.Picture, len(frames))
	for k, p := range frames {
		var all []float32
		step := max(min(p.W, p.H)/300, 1) // as many as order needs
		for y := step / 2; y < p.H; y += step {
			for x := step / 2; x < p.W; x += step {
				if on.holds(float64(x)+0.5, float64(y)+0.5, inner) {
					all = append(all, p.Light[y*p.W+x])
				}
			}
		}
		slices.Sort(all)
		out[k] = picture.New(p.W, p.H)
		if len(all) == 0 || !(all[len(all)-1] > 0) {
			continue
		}
		top := all[len(all)-1]
		var table [ranked + 1]float32
		at := 0
		for i := range table {
			from := at
			for at < len(all) && all[at] <= top*float32(i)/ranked {
				at++
			}
			u := (float64(from+at)/2 + 0.5) / float64(len(all)+1)
			q := math.Log(2 * u)
			if u > 0.5 {
				q = -math.Log(2 * (1 - u))
			}
			table[i] = float32(min(max(q, -outermost), outermost))
		}
		for i, v := range p.Light {
			x := min(max(v/top, 0), 1) * ranked
			j := min(int(x), ranked-1)
			out[k].Light[i] = table[j] + (x-float32(j))*(table[j+1]-table[j])
		}
	}
	return out
}

// toneless divides frames by their common local light, so that tone and dirt count for nothing. Where metal
// shines that would take the bright edges of all frames for tone.
func toneless(frames []picture.Picture) []picture.Picture {
	common := picture.New(frames[0].W, frames[0].H)
	for _, p := range frames {
		for i, v := range p.Light {
			common.Light[i] += v / float32(len(frames))
		}
	}
	common = common.Blur(float64(min(common.W, common.H)) * toneSize)
	out := make([]picture.Picture, len(frames))
	for k, p := range frames {
		out[k] = picture.New(p.W, p.H)
		for i, v := range p.Light {
			out[k].Light[i] = v / max(common.Light[i], 0.02)
		}
	}
	return out
}

// unexplained is the share of what differs between frames that lie over each other which no g explains, the
// residual of I = L g, over (K − 3)/(K − 1): what it is of frames that have nothing to do with each other.
func unexplained(frames []picture.Picture, lamps [][3]float64, on Disc) float64 {
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
			in[j] = float64(f.Light[i])
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
// correlation of its ranks with those that the others' slopes and tone give.
func agreement(frames []picture.Picture, lamps [][3]float64, on Disc) float64 {
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
				in[j] = float64(f.Light[i])
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

// laidOver finds how frames slipped, first with tone taken out. If Lambert's law doesn't explain them
// then, the metal shines: they are laid over anew with tone left in, and refused if one of them isn't foretold by
// the others.
func laidOver(flat []picture.Picture, lamps [][3]float64, on Disc, progress func(float64) bool) (moved movedFrames, shining bool, why Why) {
	moved, why = register(leveled(toneless(flat), on), lamps, on, progress)
	if why == Dark || why == Stopped {
		return moved, false, why
	}
	lost := slices.ContainsFunc(moved.maps, func(a align.Affine) bool { return math.IsNaN(a.A + a.B + a.C + a.D + a.X + a.Y) })
	if !lost && unexplained(moved.over(flat), moved.lamps, on) <= dull {
		return moved, false, why
	}
	again := func(done float64) bool { return goesOn(progress, 0.75+done/20) }
	moved, why = register(leveled(flat, on), lamps, on, again)
	if why == "" && agreement(leveled(moved.over(flat), on), moved.lamps, on) < foretold {
		why = Slipped
	}
	return moved, true, why
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
