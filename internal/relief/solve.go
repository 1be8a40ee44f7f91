package relief

import (
	"math"
	"slices"

	"panside/internal/picture"
)

// How a pixel is judged. TestBrokenAssumptions has their scenes.
const (
	off     = 3.0  // residuals of a pixel over so many of their median are looked at one by one
	shadow  = 0.45 // less light than this, of flat metal's, may be a cast shadow
	shining = 1.5  // and more than this gloss
	suspect = 1.6  // by how much more either is suspected
	steep   = 2.5  // the steepest slope that is believed
)

// solve gives the relief of flattened frames that lie over each other.
func solve(frames []picture.Picture, lamps [][3]float64, on Disc) Relief {
	k := len(frames)
	w, h := frames[0].W, frames[0].H
	r := Relief{W: w, H: h, Right: picture.New(w, h), Down: picture.New(w, h), Tone: picture.New(w, h), On: on}
	pinv := pseudo(lamps)
	scale := typicalResidual(frames, lamps, pinv)
	limit := float32(off * scale)
	share := float32(0)
	for _, l := range lamps {
		share += float32(l[2]) / float32(k)
	}
	in := make([]float32, k)
	doubted := 0
	for i := range w * h {
		var g [3]float32
		for j, f := range frames {
			v := f.Light[i]
			in[j] = v
			g[0] += pinv[j][0] * v
			g[1] += pinv[j][1] * v
			g[2] += pinv[j][2] * v
		}
		worst := float32(0)
		for j, l := range lamps {
			d := in[j] - float32(l[0])*g[0] - float32(l[1])*g[1] - float32(l[2])*g[2]
			worst = max(worst, max(d, -d))
		}
		if worst > limit+0.06*g[2]*share {
			g = careful(in, lamps, g, float64(limit), float64(share))
			doubted++
		}
		if g[2] <= 1e-4 {
			g[2] = 1e-4
		}
		r.Right.Light[i] = min(max(-g[0]/g[2], -steep), steep)
		r.Down.Light[i] = min(max(-g[1]/g[2], -steep), steep)
		r.Tone.Light[i] = float32(math.Sqrt(float64(g[0]*g[0] + g[1]*g[1] + g[2]*g[2])))
	}
	r.Doubt = float64(doubted) / float64(w*h)
	return r
}

// careful solves a pixel where the frames contradict each other: the frame that errs the most, dark
// and bright ones suspected first, counts less, up to as often as there are frames to spare.
func careful(in []float32, lamps [][3]float64, g [3]float32, limit, share float64) [3]float32 {
	var weights [MostFrames]float64
	for j := range in {
		weights[j] = 1
	}
	for range len(in) - 3 {
		worst, by := -1, 0.0
		for j, l := range lamps {
			d := float64(in[j]) - l[0]*float64(g[0]) - l[1]*float64(g[1]) - l[2]*float64(g[2])
			bad := math.Abs(d)
			if d < 0 && float64(in[j]) < shadow*share || d > 0 && float64(in[j]) > shining*share {
				bad *= suspect
			}
			// Of several that err alike, the one farthest from flat metal's light.
			bad *= 1 + 0.2*math.Min(math.Abs(float64(in[j])/share-1), 1)
			if weights[j] == 1 && bad > by {
				worst, by = j, bad
			}
		}
		if worst < 0 || by < limit {
			break
		}
		weights[worst] = 0.02
		next, ok := weighted(in, lamps, weights[:len(in)])
		if !ok {
			break
		}
		g = next
	}
	return g
}

// weighted is the least squares solution with weights.
func weighted(in []float32, lamps [][3]float64, weights []float64) ([3]float32, bool) {
	var a [6]float64 // xx xy xz yy yz zz
	var b [3]float64
	for j, l := range lamps {
		w := weights[j]
		a[0] += w * l[0] * l[0]
		a[1] += w * l[0] * l[1]
		a[2] += w * l[0] * l[2]
		a[3] += w * l[1] * l[1]
		a[4] += w * l[1] * l[2]
		a[5] += w * l[2] * l[2]
		for k := range b {
			b[k] += w * l[k] * float64(in[j])
		}
	}
	// By the adjugate.
	c0, c1, c2 := a[3]*a[5]-a[4]*a[4], a[2]*a[4]-a[1]*a[5], a[1]*a[4]-a[2]*a[3]
	det := a[0]*c0 + a[1]*c1 + a[2]*c2
	if !(det > 1e-6) {
		return [3]float32{}, false
	}
	c3, c4, c5 := a[0]*a[5]-a[2]*a[2], a[1]*a[2]-a[0]*a[4], a[0]*a[3]-a[1]*a[1]
	return [3]float32{
		float32((c0*b[0] + c1*b[1] + c2*b[2]) / det),
		float32((c1*b[0] + c3*b[1] + c4*b[2]) / det),
		float32((c2*b[0] + c4*b[1] + c5*b[2]) / det),
	}, true
}

// pseudo is (LᵀL)⁻¹Lᵀ, a column a lamp.
func pseudo(lamps [][3]float64) [][3]float32 {
	out := make([][3]float32, len(lamps))
	in := make([]float32, len(lamps))
	ones := make([]float64, len(lamps))
	for j := range ones {
		ones[j] = 1
	}
	for j := range lamps {
		in[j] = 1
		out[j], _ = weighted(in, lamps, ones)
		in[j] = 0
	}
	return out
}

// typicalResidual is the median over pixels of the largest residual of a frame.
func typicalResidual(frames []picture.Picture, lamps [][3]float64, pinv [][3]float32) float64 {
	n := len(frames[0].Light)
	step := max(n/20000, 1)
	var all []float64
	for i := 0; i < n; i += step {
		var g [3]float64
		for j, f := range frames {
			for k := range g {
				g[k] += float64(pinv[j][k]) * float64(f.Light[i])
			}
		}
		worst := 0.0
		for j, l := range lamps {
			worst = math.Max(worst, math.Abs(float64(frames[j].Light[i])-l[0]*g[0]-l[1]*g[1]-l[2]*g[2]))
		}
		all = append(all, worst)
	}
	slices.Sort(all)
	return all[len(all)/2]
}
