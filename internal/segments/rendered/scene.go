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
	weight           []float64      // each shape's own strength
	level            []float64      // how far each shape is lit now
	last             float64
	soft, pix, noise []float32
	units            map[string][]int // the shapes of each
	printed, logo    []strokes
	film
}

type piece struct {
	pixel int32
	shape int16
	share float32
}

// New sets a scene up.
func New(l Look) *Scene {
	s := &Scene{Look: l, rng: rand.New(rand.NewPCG(l.Seed, 77)), names: map[string]int{}, units: map[string][]int{}}
	s.build()
	s.expose()
	s.soften()
	return s
}

func (s *Scene) add(name string, sh shape) {
	s.names[name] = len(s.shapes)
	s.shapes = append(s.shapes, sh)
	weight := 1 - s.Unevenness*s.rng.Float64()
	if s.Pale > 0 && (name[0] < '0' || name[0] > '9') {
		weight *= 1 - s.Pale
	}
	s.weight = append(s.weight, weight)
	s.level = append(s.level, 0)
}

// build draws the segments and marks; digits stand from y = 0 to 1.
func (s *Scene) build() {
	l := s.Look
	t := l.Stroke
	for k := range l.Cells {
		// Cell 0 is the last.
		size := 1.0
		if k == 0 && l.Last > 0 {
			size = l.Last
		}
		x := l.MarginX + l.Left + float64(l.Cells-1-k)*(l.Width+l.Gap)
		s.digit(string([]byte{'0' + byte(k)}), x, 1-size, size)
		at := [2]float64{x + l.Width*size + l.Gap/2 - l.Slant*(0.5-t/2), 1 - t/2}
		if l.Comma {
			s.add(string([]byte{'0' + byte(k), '.'}), polygon{{at[0] - t*0.3, at[1] - t*0.5}, {at[0] + t*0.4, at[1] - t*0.5}, {at[0] + t*0.1, at[1] + t}, {at[0] - t*0.4, at[1] + t}})
		} else {
			s.add(string([]byte{'0' + byte(k), '.'}), disc{at[0], at[1], t * 0.55})
		}
	}
	s.marks()
	s.lateMarks()
}

// digit adds the seven segments of a digit of that size.
func (s *Scene) digit(name string, x, y, size float64) {
	l := s.Look
	t, c := l.Stroke, l.Cut
	w, b := l.Width, t*0.8
	bar := func(seg byte, pts ...float64) {
		var p polygon
		for i := 0; i < len(pts); i += 2 {
			v := y + size*pts[i+1]
			p = append(p, [2]float64{x + size*pts[i] + l.Slant*(0.5-v), v})
		}
		s.add(name+string(seg), p)
	}
	switch l.Ends {
	case Square:
		bar('a', c+t, 0, w-c-t, 0, w-c-t, t, c+t, t)
		bar('b', w, c, w, 0.5-c, w-t, 0.5-c, w-t, c)
		bar('c', w, 0.5+c, w, 1-c, w-t, 1-c, w-t, 0.5+c)
		bar('d', c+t, 1-t, w-c-t, 1-t, w-c-t, 1, c+t, 1)
		bar('e', 0, 0.5+c, t, 0.5+c, t, 1-c, 0, 1-c)
		bar('f', 0, c, t, c, t, 0.5-c, 0, 0.5-c)
		bar('g', c+t, 0.5-t/2, w-c-t, 0.5-t/2, w-c-t, 0.5+t/2, c+t, 0.5+t/2)
	case Pointed:
		h := t / 2
		flat := func(seg byte, v float64) {
			bar(seg, h+c, v, t+c, v-h, w-t-c, v-h, w-h-c, v, w-t-c, v+h, t+c, v+h)
		}
		tall := func(seg byte, u, v0, v1 float64) {
			bar(seg, u, v0+c, u+h, v0+h+c, u+h, v1-h-c, u, v1-c, u-h, v1-h-c, u-h, v0+h+c)
		}
		flat('a', h)
		flat('g', 0.5)
		flat('d', 1-h)
		tall('f', h, h, 0.5)
		tall('b', w-h, h, 0.5)
		tall('e', h, 0.5, 1-h)
		tall('c', w-h, 0.5, 1-h)
	default:
		bar('a', c, 0, w-c, 0, w-b-c, t, b+c, t)
		bar('b', w, c, w, 0.5-c, w-t/2, 0.5-c, w-t, 0.5-t/2-c, w-t, b+c)
		bar('c', w, 0.5+c, w, 1-c, w-t, 1-b-c, w-t, 0.5+t/2+c, w-t/2, 0.5+c)
		bar('d', b+c, 1-t, w-b-c, 1-t, w-c, 1, c, 1)
		bar('e', 0, 0.5+c, t/2, 0.5+c, t, 0.5+t/2+c, t, 1-b-c, 0, 1-c)
		bar('f', 0, c, t, b+c, t, 0.5-t/2-c, t/2, 0.5-c, 0, 0.5-c)
		bar('g', t/2+c, 0.5, t+c, 0.5-t/2, w-t-c, 0.5-t/2, w-t/2-c, 0.5, w-t-c, 0.5+t/2, t+c, 0.5+t/2)
	}
}

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// toPicture is where a point of the display lies in the picture.
func (s *Scene) toPicture(x, y float64) (float64, float64) {
	l := s.Look
	x -= l.wide() / 2
	y -= (l.top() + l.bottom()) / 2
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
	if x < 0 || x > l.wide() || y < l.top() || y > l.bottom() {
		if l.Border && x > -0.12 && x < l.wide()+0.12 && y > l.top()-0.12 && y < l.bottom()+0.12 {
			return 0.06
		}
		for _, w := range s.printed {
			if w.has(x, y) {
				return 1 - l.Housing
			}
		}
		return l.Housing
	}
	g := l.Paper * (1 - l.Shade*(x/l.wide()+y)/2)
	if l.Spot > 0 {
		d := math.Hypot(x-l.SpotX*l.wide(), y-l.SpotY) / l.wide()
		g *= 1 - l.Spot + l.Spot*math.Exp(-2*d*d)
	}
	for _, w := range s.logo {
		if w.has(x, y) {
			g *= 0.55
		}
	}
	return g
}

// Window is how a person frames it.
func (s *Scene) Window() segments.Window {
	l := s.Look
	var w segments.Window
	for i, c := range [4][2]float64{{0, l.top()}, {l.wide(), l.top()}, {l.wide(), l.bottom()}, {0, l.bottom()}} {
		tall := l.bottom() - l.top()
		over := l.Over * tall
		c[0] += over * []float64{-1, 1, 1, -1}[i]
		c[1] += over * []float64{-1, -1, 1, 1}[i]
		x, y := s.toPicture(c[0], c[1])
		off := l.FrameOff * tall * l.Zoom
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
	if s.FixedMinus && sh.Text[0] == '-' {
		digits = digits[1:]
		on[s.names["minus"]] = true
	}
	for k := range len(digits) {
		for _, seg := range s.digitSegments(digits[len(digits)-1-k]) {
			on[s.names[string([]byte{'0' + byte(k), byte(seg)})]] = true
		}
	}
	if i := strings.IndexAny(sh.Text, ".,"); i >= 0 {
		on[s.names[string([]byte{'0' + byte(len(sh.Text)-1-i), '.'})]] = true
	}
	for name, lights := range map[string]bool{
		"stable": sh.Stable && s.Stable, "zero": sh.Zero && s.ZeroMark, "battery": true, "tare": sh.Tare,
	} {
		if k, has := s.names[name]; has {
			on[k] = lights
		}
	}
	for k, lights := range sh.Late {
		if i, has := s.names["late"+string([]byte{'0' + byte(k)})]; has {
			on[i] = lights
		}
	}
	for _, k := range s.units[sh.Unit] {
		on[k] = true
	}
	return on
}

// soften blurs once what all frames are sums of: the ground, and each shape's difference from it.
func (s *Scene) soften() {
	l := s.Look
	n := len(s.ground)
	s.pix = make([]float32, n)
	s.soft = make([]float32, n)
	lit := slices.Clone(s.ground)
	gx, gy := s.toPicture(l.GlareX, l.GlareY)
	sx, sy := s.toPicture(l.GlintX, l.GlintY)
	for p := range lit {
		d := math.Hypot(float64(p%l.FrameW)-gx, float64(p/l.FrameW)-gy) / (l.GlareR * l.Zoom)
		lit[p] += l.Glare * math.Exp(-d*d)
		if l.Glint > 0 {
			lit[p] += l.glint(math.Hypot(float64(p%l.FrameW)-sx, float64(p/l.FrameW)-sy) / l.Zoom)
		}
	}
	for p, x := range blur(lit, l.FrameW, l.FrameH, l.Blur) {
		s.soft[p] = float32(x)
	}
	bloom := 0.35 * l.Zoom * boolTo(l.Bloom > 0)
	reach := int(math.Ceil(2.5*max(l.Blur, bloom))) + 1
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
		reach := reach
		if l.Shadow > 0 {
			reach += int(0.2 * l.Zoom)
		}
		x0, x1, y0, y1 = max(x0-reach, 0), min(x1+reach, l.FrameW-1), max(y0-reach, 0), min(y1+reach, l.FrameH-1)
		w, h := x1-x0+1, y1-y0+1
		patch := make([]float64, w*h)
		for _, p := range ps {
			x, y := int(p.pixel)%l.FrameW, int(p.pixel)/l.FrameW
			patch[(y-y0)*w+x-x0] = (l.Ink - s.ground[p.pixel]) * s.weight[k] * float64(p.share)
		}
		sharp := blur(patch, w, h, l.Blur)
		if l.Bloom > 0 {
			for q, x := range blur(patch, w, h, bloom) {
				sharp[q] += l.Bloom * x
			}
		}
		if l.Shadow > 0 {
			s.addShadow(sharp, w, h)
		}
		for q, x := range sharp {
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

// addShadow adds the ink's shadow on the reflector behind it: the same shape, aside and softer.
func (s *Scene) addShadow(ink []float64, w, h int) {
	dx, dy := int(s.ShadowX*s.Zoom), int(s.ShadowY*s.Zoom)
	far := blur(ink, w, h, s.Blur+0.03*s.Zoom)
	for y := range h {
		for x := range w {
			if u, v := x-dx, y-dy; u >= 0 && v >= 0 && u < w && v < h {
				ink[y*w+x] += s.Shadow * far[v*w+u]
			}
		}
	}
}

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
