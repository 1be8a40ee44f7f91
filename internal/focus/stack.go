package focus

import (
	"math"

	"panside/internal/align"
	"panside/internal/picture"
)

// Why steps can't be stacked; empty for good.
type Why string

// The reasons.
const (
	TooFew  Why = "too-few" // fewer than two frames
	Sizes   Why = "sizes"   // frames of different sizes, or hardly any pixels
	Slipped Why = "slipped" // frames that can't be laid over each other
	Stopped Why = "stopped" // by the caller
)

// levels of the pyramid: the coarsest pixel is 32 wide.
const levels = 5

// Step is one photo of a focus series: its light, and its colors as the browser gave them.
type Step struct {
	Light picture.Picture
	// Colors are red, green and blue in light, each as large as Light; empty for a grey stack.
	Colors []picture.Picture
}

// Stacked is the picture put together.
type Stacked struct {
	Light  picture.Picture
	Colors []picture.Picture
	// Maps take places of the stack to those of each frame.
	Maps []align.Affine
}

// Stack lays the steps over the middle one and puts them together. progress may be nil; when it
// answers false, the work stops.
func Stack(steps []Step, progress func(done float64) (goOn bool)) (Stacked, Why) {
	if len(steps) < 2 {
		return Stacked{}, TooFew
	}
	w, h := steps[0].Light.W, steps[0].Light.H
	for _, s := range steps {
		if s.Light.W != w || s.Light.H != h || w < 64 || h < 64 || len(s.Light.Light) != w*h || len(s.Colors) != len(steps[0].Colors) {
			return Stacked{}, Sizes
		}
		for _, c := range s.Colors {
			if c.W != w || c.H != h || len(c.Light) != w*h {
				return Stacked{}, Sizes
			}
		}
	}
	out := Stacked{Maps: make([]align.Affine, len(steps))}
	middle := len(steps) / 2
	out.Maps[middle] = align.Identity
	// From the middle outward: a step's neighbor is blurred nearly as it is, and has been laid already.
	order := []int{middle}
	for d := 1; d < len(steps); d++ {
		for _, i := range [2]int{middle - d, middle + d} {
			if i >= 0 && i < len(steps) {
				order = append(order, i)
			}
		}
	}
	f := newFusion(w, h, len(steps[0].Colors))
	for n, i := range order {
		if i != middle {
			next := i + 1
			if i > middle {
				next = i - 1
			}
			m, ok := align.Steady(steps[next].Light, steps[i].Light)
			if !ok {
				return Stacked{}, Slipped
			}
			out.Maps[i] = out.Maps[next].Then(m)
		}
		take := func(p picture.Picture) picture.Picture {
			if i == middle {
				return p
			}
			return out.Maps[i].Take(p, w, h)
		}
		planes := []picture.Picture{take(steps[i].Light)}
		for _, c := range steps[i].Colors {
			planes = append(planes, take(c))
		}
		f.add(planes)
		if progress != nil && !progress(float64(n+1)/float64(len(order)+1)) {
			return Stacked{}, Stopped
		}
	}
	all := f.done()
	out.Light, out.Colors = all[0], all[1:]
	return out, ""
}

// fusion gathers frames band by band.
type fusion struct {
	best   []picture.Picture   // energy of the frame that leads, a band
	won    [][]picture.Picture // bands of each plane
	weight picture.Picture     // of the coarsest level
}

func newFusion(w, h, colors int) *fusion {
	f := &fusion{won: make([][]picture.Picture, colors+1)}
	for range levels {
		f.best = append(f.best, picture.New(w, h))
		for p := range f.won {
			f.won[p] = append(f.won[p], picture.New(w, h))
		}
		w, h = (w+1)/2, (h+1)/2
	}
	for p := range f.won {
		f.won[p] = append(f.won[p], picture.New(w, h))
	}
	f.weight = picture.New(w, h)
	return f
}

// add takes a frame in: light first, then colors, which follow what light decides.
func (f *fusion) add(planes []picture.Picture) {
	apart := make([][]picture.Picture, len(planes))
	for p := range planes {
		apart[p] = bands(planes[p], levels)
	}
	sum := picture.Picture{}
	for k := range levels {
		b := apart[0][k]
		e := picture.New(b.W, b.H)
		for i, v := range b.Light {
			e.Light[i] = v * v
		}
		e = e.Blur(1.2)
		for i, v := range e.Light {
			if v > f.best[k].Light[i] {
				f.best[k].Light[i] = v
				for p := range planes {
					f.won[p][k].Light[i] = apart[p][k].Light[i]
				}
			}
		}
		if k == levels-1 {
			sum = down(e)
		}
	}
	for i := range f.weight.Light {
		w := float32(math.Sqrt(float64(max(sum.Light[i], 0)))) + 1e-6
		f.weight.Light[i] += w
		for p := range planes {
			f.won[p][levels].Light[i] += w * apart[p][levels].Light[i]
		}
	}
}

// done puts the bands together.
func (f *fusion) done() []picture.Picture {
	var out []picture.Picture
	for p := range f.won {
		last := f.won[p][levels]
		for i, w := range f.weight.Light {
			last.Light[i] /= w
		}
		whole := together(f.won[p])
		for i, v := range whole.Light {
			whole.Light[i] = min(max(v, 0), 1)
		}
		out = append(out, whole)
	}
	return out
}
