package rendered

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"panside/internal/segments"
)

// Scene is a display before a camera.
type Scene struct {
	Look
	rng              *rand.Rand
	shapes           []shape
	names            map[string]int // what a shape is
	cover            []piece        // which pixel has how much of which shape
	ground           []float64      // of each pixel: brightness without ink
	glass            []bool
	weight           []float64 // each shape's own strength
	level            []float64 // how far each shape is lit now
	last             float64
	soft, pix, noise []float32
}

type piece struct {
	pixel int32
	shape int16
	share float32
}

// New sets a scene up.
func New(l Look) *Scene {
	s := &Scene{Look: l, rng: rand.New(rand.NewPCG(l.Seed, 77)), names: map[string]int{}}
	s.build()
	s.expose()
	s.soften()
	return s
}

func (s *Scene) add(name string, sh shape) {
	s.names[name] = len(s.shapes)
	s.shapes = append(s.shapes, sh)
	s.weight = append(s.weight, 1-s.Unevenness*s.rng.Float64())
	s.level = append(s.level, 0)
}

// build draws the segments and marks; digits stand from y = 0 to 1.
func (s *Scene) build() {
	l := s.Look
	slant := func(x, y float64) [2]float64 { return [2]float64{x + l.Slant*(0.5-y), y} }
	t, c := l.Stroke, l.Cut
	for k := range l.Cells {
		// Cell 0 is the last.
		x := l.MarginX + float64(l.Cells-1-k)*(l.Width+l.Gap)
		r := x + l.Width
		bar := func(pts ...float64) polygon {
			var p polygon
			for i := 0; i < len(pts); i += 2 {
				p = append(p, slant(pts[i], pts[i+1]))
			}
			return p
		}
		b := t * 0.8
		name := func(seg byte) string { return string([]byte{'0' + byte(k), seg}) }
		s.add(name('a'), bar(x+c, 0, r-c, 0, r-b-c, t, x+b+c, t))
		s.add(name('b'), bar(r, c, r, 0.5-c, r-t/2, 0.5-c, r-t, 0.5-t/2-c, r-t, b+c))
		s.add(name('c'), bar(r, 0.5+c, r, 1-c, r-t, 1-b-c, r-t, 0.5+t/2+c, r-t/2, 0.5+c))
		s.add(name('d'), bar(x+b+c, 1-t, r-b-c, 1-t, r-c, 1, x+c, 1))
		s.add(name('e'), bar(x, 0.5+c, x+t/2, 0.5+c, x+t, 0.5+t/2+c, x+t, 1-b-c, x, 1-c))
		s.add(name('f'), bar(x, c, x+t, b+c, x+t, 0.5-t/2-c, x+t/2, 0.5-c, x, 0.5-c))
		s.add(name('g'), bar(x+t/2+c, 0.5, x+t+c, 0.5-t/2, r-t-c, 0.5-t/2, r-t/2-c, 0.5, r-t-c, 0.5+t/2, x+t+c, 0.5+t/2))
		at := slant(r+l.Gap/2, 1-t/2)
		if l.Comma {
			s.add(name('.'), polygon{{at[0] - t*0.3, at[1] - t*0.5}, {at[0] + t*0.4, at[1] - t*0.5}, {at[0] + t*0.1, at[1] + t}, {at[0] - t*0.4, at[1] + t}})
		} else {
			s.add(name('.'), disc{at[0], at[1], t * 0.55})
		}
	}
	right := l.MarginX + float64(l.Cells)*(l.Width+l.Gap) + 0.12
	for _, u := range Units {
		y := 0.05
		if l.MarkBelow {
			y = 0.95 - l.MarkSize
		}
		s.add("unit "+u, word(u, right, y, l.MarkSize))
	}
	s.add("stable", disc{right + 0.15, 0.5 - 0.2 + 0.4*boolTo(!l.MarkBelow), 0.07})
	s.add("zero", strokes{[][4]float64{{right, -0.08, right + 0.2, -0.08}}, 0.03})
}

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func word(text string, x, y, size float64) strokes {
	k := size / 4
	out := strokes{half: size * 0.08}
	for i := range len(text) {
		for _, l := range letters[text[i]] {
			o := x + float64(i)*k*2.9
			out.lines = append(out.lines, [4]float64{o + l[0]*k, y + l[1]*k, o + l[2]*k, y + l[3]*k})
		}
	}
	return out
}

// toPicture is where a point of the display lies in the picture.
func (s *Scene) toPicture(x, y float64) (float64, float64) {
	l := s.Look
	x -= l.wide() / 2
	y -= 0.5
	x += l.Shear * y
	x, y = x*math.Cos(l.Turn)-y*math.Sin(l.Turn), x*math.Sin(l.Turn)+y*math.Cos(l.Turn)
	k := l.Zoom / (1 + l.Lean*(x/l.wide()+0.3*y))
	return float64(l.FrameW)/2 + k*x, float64(l.FrameH)/2 + k*y
}

// expose works out what each pixel sees, by nine samples each.
func (s *Scene) expose() {
	l := s.Look
	n := l.FrameW * l.FrameH
	s.ground = make([]float64, n)
	// The inverse of toPicture by Newton's steps, from the neighbor's answer.
	invert := func(px, py, x, y float64) (float64, float64) {
		for range 4 {
			ax, ay := s.toPicture(x, y)
			bx, by := s.toPicture(x+1e-4, y)
			cx, cy := s.toPicture(x, y+1e-4)
			a, b, c, d := (bx-ax)*1e4, (cx-ax)*1e4, (by-ay)*1e4, (cy-ay)*1e4
			det := a*d - b*c
			ex, ey := px-ax, py-ay
			x += (d*ex - b*ey) / det
			y += (a*ey - c*ex) / det
		}
		return x, y
	}
	box := make([][4]float64, len(s.shapes))
	for i, sh := range s.shapes {
		box[i] = bounds(sh)
	}
	x, y := 0.0, 0.0
	for j := range l.FrameH {
		for i := range l.FrameW {
			if i == 0 {
				x, y = invert(0.5, float64(j)+0.5, x, y)
			}
			x, y = invert(float64(i)+0.5, float64(j)+0.5, x, y)
			p := j*l.FrameW + i
			s.ground[p] = s.groundAt(x, y)
			reach := 1.5 / l.Zoom
			for k, b := range box {
				if x < b[0]-reach || x > b[1]+reach || y < b[2]-reach || y > b[3]+reach {
					continue
				}
				in := 0
				for q := range 9 {
					if s.shapes[k].has(x+(float64(q%3)-1)/3/l.Zoom, y+(float64(q/3)-1)/3/l.Zoom) {
						in++
					}
				}
				if in > 0 {
					s.cover = append(s.cover, piece{int32(p), int16(k), float32(in) / 9})
				}
			}
		}
		x, y = invert(0.5, float64(j)+1.5, x, y)
	}
}

func bounds(sh shape) [4]float64 {
	b := [4]float64{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	take := func(x, y, r float64) {
		b = [4]float64{min(b[0], x-r), max(b[1], x+r), min(b[2], y-r), max(b[3], y+r)}
	}
	switch v := sh.(type) {
	case polygon:
		for _, p := range v {
			take(p[0], p[1], 0)
		}
	case disc:
		take(v.x, v.y, v.r)
	case strokes:
		for _, q := range v.lines {
			take(q[0], q[1], v.half)
			take(q[2], q[3], v.half)
		}
	}
	return b
}

func (s *Scene) groundAt(x, y float64) float64 {
	l := s.Look
	if x < 0 || x > l.wide() || y < -l.MarginY || y > 1+l.MarginY {
		if l.Border && x > -0.12 && x < l.wide()+0.12 && y > -l.MarginY-0.12 && y < 1+l.MarginY+0.12 {
			return 0.06
		}
		return l.Housing
	}
	return l.Paper * (1 - l.Shade*(x/l.wide()+y)/2)
}

// Window is how a person frames it.
func (s *Scene) Window() segments.Window {
	l := s.Look
	var w segments.Window
	for i, c := range [4][2]float64{{0, -l.MarginY}, {l.wide(), -l.MarginY}, {l.wide(), 1 + l.MarginY}, {0, 1 + l.MarginY}} {
		x, y := s.toPicture(c[0], c[1])
		off := l.FrameOff * (1 + 2*l.MarginY) * l.Zoom
		w[i] = segments.Point{X: x + off*(2*s.rng.Float64()-1), Y: y + off*(2*s.rng.Float64()-1)}
	}
	return w
}

// digitSegments by letters, as these displays draw them.
func (s *Scene) digitSegments(d byte) string {
	switch d {
	case '-':
		return "g"
	case '6':
		if !s.Tails {
			return "fgedc"
		}
	case '7':
		if s.HookedSeven {
			return "fabc"
		}
	case '9':
		if !s.Tails {
			return "abcfg"
		}
	}
	return [...]string{"abcdef", "bc", "abged", "abgcd", "fgbc", "afgcd", "afgedc", "abc", "abcdefg", "abcdfg"}[d-'0']
}

// lit is which shapes a state lights.
func (s *Scene) lit(sh Shown) []bool {
	on := make([]bool, len(s.shapes))
	if sh.Off {
		return on
	}
	if sh.All {
		for i := range on {
			on[i] = true
		}
		return on
	}
	digits := strings.NewReplacer(".", "", ",", "").Replace(sh.Text)
	for k := range len(digits) {
		for _, seg := range s.digitSegments(digits[len(digits)-1-k]) {
			on[s.names[string([]byte{'0' + byte(k), byte(seg)})]] = true
		}
	}
	if i := strings.IndexAny(sh.Text, ".,"); i >= 0 {
		on[s.names[string([]byte{'0' + byte(len(sh.Text)-1-i), '.'})]] = true
	}
	on[s.names["unit "+sh.Unit]] = true
	on[s.names["stable"]] = sh.Stable && s.Stable
	on[s.names["zero"]] = sh.Zero && s.ZeroMark
	return on
}

// Hand is what lies before the display: a disc of that place and size, in digit heights; none
// with a radius of 0.
type Hand struct{ X, Y, R float64 }

// Frame draws what shows at a time in seconds, which only grows; the segments follow with their
// lag. moved is how far the phone has moved, in pixels.
func (s *Scene) Frame(sh Shown, at float64, hand Hand, moved float64) segments.Frame {
	l := s.Look
	follow := 1 - math.Exp(-(at-s.last)/max(l.Lag, 1e-3))
	s.last = at
	for i, on := range s.lit(sh) {
		s.level[i] += (boolTo(on) - s.level[i]) * follow
	}
	pix := s.pix
	copy(pix, s.soft)
	for _, p := range s.cover {
		k := l.Ghost + (1-l.Ghost)*s.level[p.shape]
		pix[p.pixel] += float32(k) * p.share
	}
	if hand.R > 0 {
		hx, hy := s.toPicture(hand.X, hand.Y)
		for p := range pix {
			if math.Hypot(float64(p%l.FrameW)-hx, float64(p/l.FrameW)-hy) < hand.R*l.Zoom {
				pix[p] = 0.45
			}
		}
	}
	dx, dy := s.Shake*s.rng.NormFloat64()+moved, s.Shake*s.rng.NormFloat64()+moved/2
	out := segments.Frame{Width: l.FrameW, Height: l.FrameH, Pix: make([]byte, len(pix))}
	fi, fj := math.Floor(dx), math.Floor(dy)
	u, v := float32(dx-fi), float32(dy-fj)
	grain := s.rng.IntN(len(s.noise))
	for j := range l.FrameH {
		b := clamp(j-int(fj), l.FrameH) * l.FrameW
		b1 := clamp(j-int(fj)-1, l.FrameH) * l.FrameW
		for i := range l.FrameW {
			a, a1 := clamp(i-int(fi), l.FrameW), clamp(i-int(fi)-1, l.FrameW)
			x := (1-v)*((1-u)*pix[b+a]+u*pix[b+a1]) + v*((1-u)*pix[b1+a]+u*pix[b1+a1])
			if grain++; grain >= len(s.noise) {
				grain = 0
			}
			out.Pix[j*l.FrameW+i] = byte(min(max(250*x+s.noise[grain], 0), 255))
		}
	}
	return out
}

// soften blurs once what all frames are sums of: the ground, and each shape's difference from it.
func (s *Scene) soften() {
	l := s.Look
	n := len(s.ground)
	s.pix = make([]float32, n)
	s.soft = make([]float32, n)
	lit := slices.Clone(s.ground)
	gx, gy := s.toPicture(l.GlareX, l.GlareY)
	for p := range lit {
		d := math.Hypot(float64(p%l.FrameW)-gx, float64(p/l.FrameW)-gy) / (l.GlareR * l.Zoom)
		lit[p] += l.Glare * math.Exp(-d*d)
	}
	for p, x := range blur(lit, l.FrameW, l.FrameH, l.Blur) {
		s.soft[p] = float32(x)
	}
	reach := int(math.Ceil(2.5*l.Blur)) + 1
	by := make([][]piece, len(s.shapes))
	for _, p := range s.cover {
		by[p.shape] = append(by[p.shape], p)
	}
	s.cover = nil
	for k, ps := range by {
		if len(ps) == 0 {
			continue
		}
		x0, x1, y0, y1 := l.FrameW, 0, l.FrameH, 0
		for _, p := range ps {
			x, y := int(p.pixel)%l.FrameW, int(p.pixel)/l.FrameW
			x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
		}
		x0, x1, y0, y1 = max(x0-reach, 0), min(x1+reach, l.FrameW-1), max(y0-reach, 0), min(y1+reach, l.FrameH-1)
		w, h := x1-x0+1, y1-y0+1
		patch := make([]float64, w*h)
		for _, p := range ps {
			x, y := int(p.pixel)%l.FrameW, int(p.pixel)/l.FrameW
			patch[(y-y0)*w+x-x0] = (l.Ink - s.ground[p.pixel]) * s.weight[k] * float64(p.share)
		}
		for q, x := range blur(patch, w, h, l.Blur) {
			if math.Abs(x) > 1e-4 {
				s.cover = append(s.cover, piece{int32((y0+q/w)*l.FrameW + x0 + q%w), int16(k), float32(x)})
			}
		}
	}
	s.noise = make([]float32, 65_537)
	for k := range s.noise {
		s.noise[k] = float32(l.Noise * s.rng.NormFloat64())
	}
}

func clamp(i, n int) int { return min(max(i, 0), n-1) }

// blur by a Gaussian of that deviation in pixels.
func blur(p []float64, w, h int, sigma float64) []float64 {
	reach := int(math.Ceil(2.5 * sigma))
	kernel := make([]float64, 2*reach+1)
	sum := 0.0
	for k := range kernel {
		kernel[k] = math.Exp(-float64((k-reach)*(k-reach)) / (2 * sigma * sigma))
		sum += kernel[k]
	}
	for k := range kernel {
		kernel[k] /= sum
	}
	pass := func(from []float64, stride, n, lines, across int) []float64 {
		to := make([]float64, len(from))
		for q := range lines {
			for i := range n {
				v := 0.0
				for k, c := range kernel {
					v += c * from[q*across+clamp(i+k-reach, n)*stride]
				}
				to[q*across+i*stride] = v
			}
		}
		return to
	}
	return pass(pass(p, 1, w, h, w), w, h, w, 1)
}
