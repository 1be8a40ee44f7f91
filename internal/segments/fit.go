package segments

import (
	"cmp"
	"math"
	"slices"
)

// lesson is a text with the mean picture of the frames that showed it.
type lesson struct {
	shown  shown
	allLit bool
	pic    raster  // of the plane, brightness, of one contrast with the other lessons'
	gain   float32 // by how much more the frames had
	soft   raster  // a little blurred, as it is read
	flat   raster  // less its surroundings
}

// asSeen is a lesson's picture as bright as its frames.
func (l *lesson) asSeen() raster {
	out := l.pic
	out.v = make([]float32, len(l.pic.v))
	for k, x := range l.pic.v {
		out.v[k] = x * l.gain
	}
	return out
}

// lit is the glyph that a lesson shows in a cell.
func (l *lesson) lit(cell int, forms *[10]glyph) glyph {
	if cell < len(l.shown.digits) {
		if l.allLit {
			return eight
		}
		return forms[l.shown.digits[cell]]
	}
	if cell == len(l.shown.digits) && l.shown.minus {
		return minus
	}
	return blank
}

// fitted is a layout with how well it explains the lessons.
type fitted struct {
	layout
	score float64
	sign  float32 // +1 where ink is dark on light, −1 where it is light on dark
	forms [10]glyph
}

// tally gathers the means and variances of lit and unlit samples.
type tally struct {
	n, s, ss [2]float64
}

func (t *tally) add(lit bool, x float32) {
	k := 0
	if lit {
		k = 1
	}
	v := float64(x)
	t.n[k]++
	t.s[k] += v
	t.ss[k] += v * v
}

// distance is (mean unlit − mean lit)/√(pooled variance), Fisher's criterion with its sign: above
// zero for dark ink. The spread of a single lesson's many samples keeps it from infinity.
func (t *tally) distance() float64 {
	if t.n[0] == 0 || t.n[1] == 0 {
		return 0
	}
	m0, m1 := t.s[0]/t.n[0], t.s[1]/t.n[1]
	v := t.ss[0]/t.n[0] - m0*m0 + t.ss[1]/t.n[1] - m1*m1
	return (m0 - m1) / math.Sqrt(max(v, 0)+1)
}

func defaultForms() [10]glyph {
	var f [10]glyph
	for d := range f {
		f[d] = forms[d][0]
	}
	return f
}

// channel is a picture that tells of segments: that of one lesson, or what one lesson's picture has
// over another's. The second kind knows nothing of marks, print and housing.
type channel struct {
	cells   int
	on, off [maxCells]glyph
	pic     raster
	flat    raster // less its surroundings
	small   padded // flat, softer
}

// channelsOf are the pictures of the lessons, and their differences in turn.
func channelsOf(lessons []lesson, forms *[10]glyph) []channel {
	var out []channel
	for k := range lessons {
		le := &lessons[k]
		ch := channel{cells: len(le.shown.digits), pic: le.pic, flat: le.flat}
		for c := range maxCells {
			ch.on[c] = le.lit(c, forms)
		}
		out = append(out, ch)
		if k == 0 {
			continue
		}
		was := &lessons[k-1]
		ch = channel{cells: max(len(le.shown.digits), len(was.shown.digits)), pic: le.pic.minus(was.pic), flat: le.flat.minus(was.flat)}
		for c := range maxCells {
			a, b := was.lit(c, forms), le.lit(c, forms)
			ch.on[c], ch.off[c] = b&^a, a&^b
		}
		out = append(out, ch)
	}
	return out
}

// padded is a half-size picture with a rim of zeros, for samples beyond the window.
type padded struct {
	w, h  int
	rim   int     // how wide that is, in cells: as far as a digit reaches beyond its place
	scale float64 // cells to one unit of the plane
	v     []float32
}

func pad(r *raster) padded {
	half := r.halved()
	rim := half.h * 2 / 3
	p := padded{w: half.w + 2*rim, h: half.h + 2*rim, rim: rim, scale: half.scale}
	p.v = make([]float32, p.w*p.h)
	for j := range half.h {
		copy(p.v[(j+rim)*p.w+rim:], half.v[j*half.w:(j+1)*half.w])
	}
	return p
}

// probe is where a layout of one shape has samples, as steps from the cell of its place: on
// segments that are lit more than in the channel's other lesson, or less, and where nothing differs.
type probe struct{ on, off, still []int32 }

// probes are the samples of a layout's shape in each channel's picture; l stands at (0, 0).
func (l *layout) probes(chs []channel, to []probe) {
	bars := l.bars()
	tv := l.stroke / l.height
	for k := range chs {
		ch := &chs[k]
		p := probe{to[k].on[:0], to[k].off[:0], to[k].still[:0]}
		step := func(cell int, u, v float64) int32 {
			at := l.at(cell, u, v)
			return int32(math.Round(at.Y*ch.small.scale))*int32(ch.small.w) + int32(math.Round(at.X*ch.small.scale))
		}
		for c := range ch.cells {
			for s, b := range bars {
				for _, along := range [...]float64{0.3, 0.7} {
					u, v := l.on(b, along, 0)
					at := step(c, u, v)
					switch {
					case ch.on[c]&(1<<s) != 0:
						p.on = append(p.on, at)
					case ch.off[c]&(1<<s) != 0:
						p.off = append(p.off, at)
					default:
						p.still = append(p.still, at)
					}
				}
			}
			for _, v := range [...]float64{0.25 + tv/4, 0.75 - tv/4, -0.9 * tv, 1 + 0.9*tv} {
				p.still = append(p.still, step(c, 0.5, v))
			}
		}
		to[k] = p
	}
}

// coarse scores a place in the channels' pictures by the probes there.
func coarse(chs []channel, at []probe, x, y float64) float64 {
	var t tally
	for k := range chs {
		small := &chs[k].small
		base := int32(small.rim+int(y*small.scale))*int32(small.w) + int32(small.rim+int(x*small.scale))
		var s, ss, on float32
		for _, step := range at[k].on {
			x := small.v[base+step]
			on += x
			ss += x * x
		}
		for _, step := range at[k].off {
			x := small.v[base+step]
			on -= x
			ss += x * x
		}
		t.n[1] += float64(len(at[k].on) + len(at[k].off))
		t.s[1] += float64(on)
		t.ss[1] += float64(ss)
		ss = 0
		for _, step := range at[k].still {
			x := small.v[base+step]
			s += x
			ss += x * x
		}
		t.n[0] += float64(len(at[k].still))
		t.s[0] += float64(s)
		t.ss[0] += float64(ss)
	}
	return t.distance()
}

// fine scores a layout by samples to both sides of each stroke's edge.
func (l *layout) fine(chs []channel) float64 {
	var t tally
	bars := l.bars()
	for k := range chs {
		ch := &chs[k]
		for c := range ch.cells {
			for s, b := range bars {
				bit := glyph(1) << s
				for _, along := range [...]float64{0.25, 0.5, 0.75} {
					for _, across := range [...]float64{-0.95, -0.3, 0, 0.3, 0.95} {
						u, v := l.on(b, along, across)
						x := ch.flat.at(l.at(c, u, v))
						inked := across > -0.5 && across < 0.5
						switch {
						case inked && ch.on[c]&bit != 0:
							t.add(true, x)
						case inked && ch.off[c]&bit != 0:
							t.add(true, -x)
						default:
							t.add(false, x)
						}
					}
				}
			}
			for _, q := range [...][2]float64{{0.5, 0.27}, {0.5, 0.73}, {0.4, 0.27}, {0.6, 0.27}, {0.4, 0.73}, {0.6, 0.73}} {
				t.add(false, ch.flat.at(l.at(c, q[0], q[1])))
			}
		}
	}
	return t.distance()
}

// finalists is how many of these are refined to the end.
const finalists = 4

// keepBest is how many layouts of the coarse search are refined.
const keepBest = 24

// fit finds the layout that explains the lessons best: a coarse search over place, size and shape,
// then the best of it refined. sign is that of the ink.
func fit(lessons []lesson, aspect float64) fitted {
	forms := defaultForms()
	chs := channelsOf(lessons, &forms)
	for k := range chs {
		soft := chs[k].flat.blurred(2)
		chs[k].small = pad(&soft)
	}
	var best [keepBest]fitted
	worst := 0
	keep := func(l layout, d float64) {
		sign := float32(1)
		if d < 0 {
			d, sign = -d, -1
		}
		if d <= best[worst].score {
			return
		}
		best[worst] = fitted{layout: l, score: d, sign: sign, forms: forms}
		for i := range best {
			if best[i].score < best[worst].score {
				worst = i
			}
		}
	}
	at := make([]probe, len(chs))
	digits := 0
	for _, le := range lessons {
		digits = max(digits, len(le.shown.digits))
	}
	for h := 0.24; h <= 0.97; h *= 1.085 {
		for _, wide := range [...]float64{0.46, 0.54, 0.63} {
			w := h * wide
			for _, gap := range [...]float64{1.22, 1.36, 1.52, 1.72} {
				p := w * gap
				span := p*float64(digits-1) + w
				if span > aspect {
					continue
				}
				for _, slant := range [...]float64{0, 0.12, 0.24} {
					l := layout{pitch: p, height: h, width: w, slant: slant, stroke: 0.16 * h}
					l.probes(chs, at)
					for x := span; x <= aspect; x += 0.08 * h {
						for y := h * 0.48; y <= 1-h*0.48; y += 0.07 * h {
							l.x, l.y = x, y
							keep(l, coarse(chs, at, x+beyond, y+beyond))
						}
					}
				}
			}
		}
	}
	// Fisher's criterion brings each near; which is right shows by all that the segments cover.
	for i := range best {
		if best[i].score == 0 {
			continue
		}
		best[i].refine(chs, 0.05, 2)
		best[i].score = float64(best[i].sign) * best[i].covered(chs)
	}
	slices.SortFunc(best[:], func(a, b fitted) int { return cmp.Compare(b.score, a.score) })
	if best[0].score == 0 {
		return fitted{}
	}
	top := best[0]
	for i := range best[:finalists] {
		for _, last := range [...]float64{0, 0.72, 0.85} {
			f := best[i]
			if f.score == 0 || i > 0 && last > 0 {
				continue
			}
			f.last = last
			f.refineBy(f.covered, chs, 0.05, 6)
			if f.score > top.score && (last == 0 || f.score > top.score+0.02) {
				top = f
			}
		}
	}
	top.chooseForms(lessons)
	top.refineBy(top.covered, channelsOf(lessons, &top.forms), 0.02, 6)
	return top
}

// covered is the correlation of what the layout's segments cover with the ink that the channels
// show about the digits: negative for dark ink, which lessens brightness.
func (f *fitted) covered(chs []channel) float64 {
	const nu, nv, mu, mv = 15, 22, 0.3, 0.14
	l := &f.layout
	var seg [nSegments][nu * nv]float32
	var us, vs [nu * nv]float64
	for s, b := range l.bars() {
		p, q := Point{b.u0 * l.width, b.v0 * l.height}, Point{b.u1 * l.width, b.v1 * l.height}
		for k := range us {
			u := -mu + (1+2*mu)*(float64(k%nu)+0.5)/nu
			v := -mv + (1+2*mv)*(float64(k/nu)+0.5)/nv
			us[k], vs[k] = u, v
			d := distance(Point{u * l.width, v * l.height}, p, q)
			seg[s][k] = float32(min(max(0.5+(l.stroke/2-d)/softness/l.height, 0), 1))
		}
	}
	var sum level
	for i := range chs {
		ch := &chs[i]
		for c := range ch.cells {
			var here level
			for k := range us {
				var cover float32
				for s := range seg {
					switch {
					case ch.on[c]&(1<<s) != 0:
						cover = max(cover, seg[s][k])
					case ch.off[c]&(1<<s) != 0 && seg[s][k] > abs(cover):
						cover = -seg[s][k]
					}
				}
				here.add(float64(cover), float64(ch.pic.at(l.at(c, us[k], vs[k]))), us[k]-0.5, vs[k]-0.5)
			}
			here.flatten()
			sum.mm += here.mm
			sum.mx += here.mx
			sum.xx += here.xx
		}
	}
	if sum.mm <= 0 || sum.xx <= 0 {
		return 0
	}
	return -sum.mx / math.Sqrt(sum.mm*sum.xx)
}

// level gathers the products of a model and a picture over a cell, with their planes, which it
// takes out: shade isn't ink.
type level struct {
	n, m, x, mm, mx, xx    float64
	mu, mv, xu, xv, uu, vv float64
}

func (l *level) add(m, x, u, v float64) {
	l.n++
	l.m += m
	l.x += x
	l.mm += m * m
	l.mx += m * x
	l.xx += x * x
	l.mu += m * u
	l.mv += m * v
	l.xu += x * u
	l.xv += x * v
	l.uu += u * u
	l.vv += v * v
}

func (l *level) flatten() {
	l.mm -= l.m*l.m/l.n + l.mu*l.mu/l.uu + l.mv*l.mv/l.vv
	l.mx -= l.m*l.x/l.n + l.mu*l.xu/l.uu + l.mv*l.xv/l.vv
	l.xx -= l.x*l.x/l.n + l.xu*l.xu/l.uu + l.xv*l.xv/l.vv
}

// softness is how wide the edge of a stroke looks, as a share of a digit's height.
const softness = 0.08

// refine moves one parameter at a time by Fisher's criterion.
func (f *fitted) refine(chs []channel, step float64, rounds int) {
	f.refineBy(f.fine, chs, step, rounds)
}

// refineBy moves one parameter at a time while that helps, in steps of a share of the digits'
// height that are halved each round.
func (f *fitted) refineBy(measure func([]channel) float64, chs []channel, step float64, rounds int) {
	value := func() float64 { return float64(f.sign) * measure(chs) }
	f.score = value()
	for range rounds {
		moves := [...]struct {
			at   *float64
			size float64
		}{
			{&f.x, step * f.height}, {&f.y, step * f.height}, {&f.height, step * f.height}, {&f.width, step * f.height},
			{&f.pitch, step * f.height / 2}, {&f.slant, step}, {&f.tilt, step / 4}, {&f.stroke, step * f.height / 2}, {&f.taper, step / 4},
			{&f.cut, 4 * step}, {&f.last, step},
		}
		for k, m := range moves {
			if k == len(moves)-1 && f.last == 0 {
				continue
			}
			for _, by := range [...]float64{m.size, -m.size} {
				for range 6 {
					before := *m.at
					*m.at += by
					if s := value(); s > f.score && f.sane() {
						f.score = s
						continue
					}
					*m.at = before
					break
				}
			}
		}
		step *= 0.6
	}
}

// sane reports whether the digits have a shape that digits have.
func (f *fitted) sane() bool {
	return f.stroke > 0.06*f.height && f.stroke < 0.3*f.height && f.width > 0.3*f.height && f.width < 0.9*f.height &&
		f.pitch > 1.05*f.width && f.pitch < 2.2*f.width && f.height > 0.2 && f.height < 1.1 &&
		math.Abs(f.tilt) < 0.15 && math.Abs(f.taper) < 0.2 && f.slant > -0.2 && f.slant < 0.5 &&
		f.cut > -0.3 && f.cut < 0.8 && (f.last == 0 || f.last > 0.5 && f.last < 0.95)
}

// chooseForms takes the second form of a digit where it explains the lessons better.
func (f *fitted) chooseForms(lessons []lesson) {
	for d := range forms {
		if len(forms[d]) < 2 {
			continue
		}
		try := f.forms
		try[d] = forms[d][1]
		if s := float64(f.sign) * f.covered(channelsOf(lessons, &try)); s > f.score {
			f.score, f.forms = s, try
		}
	}
}
