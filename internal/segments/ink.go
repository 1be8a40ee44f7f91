package segments

// ink is the first way of reading: how much darker (or brighter, by the sign) each segment is than
// the holes beside it.
type ink struct {
	cells int
	seg   [maxCells][nSegments]taps // on the segments
	hole  [maxCells][2]taps
	sign  float32 // +1 for dark ink, −1 for bright
	// apart takes the segments' inks apart: blur and corners let each take some of its neighbors'.
	apart [nSegments][nSegments]float32
	// own is how strongly each segment was seen lit when taught, as a share of all; 1 where it wasn't.
	own [maxCells][nSegments]float32
	// ghost is the unlit segments' ink, as a share of the lit ones'.
	ghost [maxCells][nSegments]float32
}

// holesBeside are the holes a segment is compared with: 0 the upper one, 1 the lower.
var holesBeside = [nSegments][]int{{0}, {0}, {1}, {1}, {1}, {0}, {0, 1}}

// newInk is for pictures of one size, as r.
func newInk(l *layout, cells int, sign float32, r *raster) ink {
	k := ink{cells: cells, sign: sign}
	bars := l.bars()
	for s := range k.apart {
		k.apart[s][s] = 1
	}
	for c := range cells {
		for s, b := range bars {
			k.own[c][s] = 1
			barSpots(l, b, func(u, v float64) { k.seg[c][s].add(r, l.at(c, u, v)) })
		}
		for h := range k.hole[c] {
			holeSpots(l, h, func(u, v float64) { k.hole[c][h].add(r, l.at(c, u, v)) })
		}
	}
	return k
}

// inked is what the first way sees of a frame. Ink is by how much it is darker than the holes; where
// it is dark, against them, so that a shadow on a digit changes nothing.
type inked struct {
	v     [maxCells][nSegments]float32
	paper [maxCells]float32 // the holes' brightness
	unit  [maxCells]float32 // one of ink, in brightness
	// full is the ink of lit segments.
	full float32
}

// white is the brightness of the paper on which one of dark ink is one of brightness.
const white = 128

func (k *ink) see(r *raster) inked {
	var in inked
	for c := range k.cells {
		var hole [2]float32
		var raw [nSegments]float32
		for h := range hole {
			hole[h] = r.meanOn(&k.hole[c][h])
		}
		in.paper[c] = (hole[0] + hole[1]) / 2
		in.unit[c] = 1
		if k.sign > 0 {
			in.unit[c] = max(in.paper[c], 16) / white
		}
		for s := range k.seg[c] {
			bg := hole[holesBeside[s][0]]
			if len(holesBeside[s]) == 2 {
				bg = in.paper[c]
			}
			raw[s] = k.sign * (bg - r.meanOn(&k.seg[c][s])) / in.unit[c]
		}
		for s := range raw {
			for t, a := range k.apart[s] {
				in.v[c][s] += a * raw[t]
			}
		}
	}
	in.full = k.fullOf(&in)
	return in
}

// takeApart learns from the segments' pictures, ink above zero, how much each measured ink has of
// each segment, and inverts that. bars and holes lie where newInk put them.
func (k *ink) takeApart(l *layout, seg *[nSegments][patchN]float32, at func(u, v float64) (x, y float64)) {
	var mix [nSegments][nSegments]float64
	pick := func(t int, u, v float64) float64 {
		x, y := at(u, v)
		x, y = min(max(x, 0), patchW-1.001), min(max(y, 0), patchH-1.001)
		i, j := int(x), int(y)
		a, b := x-float64(i), y-float64(j)
		f := seg[t][j*patchW+i:]
		return (1-b)*((1-a)*float64(f[0])+a*float64(f[1])) + b*((1-a)*float64(f[patchW])+a*float64(f[patchW+1]))
	}
	bars := l.bars()
	for t := range mix {
		var hole [2]float64
		for h := range hole {
			holeSpots(l, h, func(u, v float64) { hole[h] += pick(t, u, v) / 9 })
		}
		for s, b := range bars {
			sum := 0.0
			barSpots(l, b, func(u, v float64) { sum += pick(t, u, v) / 15 })
			for _, h := range holesBeside[s] {
				sum -= hole[h] / float64(len(holesBeside[s]))
			}
			mix[s][t] = sum
		}
	}
	if inv, ok := inverse(mix); ok {
		for s := range inv {
			for t := range inv[s] {
				k.apart[s][t] = float32(inv[s][t])
			}
		}
	}
}

// barSpots calls f with where a segment's ink is measured; holeSpots with where that of a hole is.
func barSpots(l *layout, b bar, f func(u, v float64)) {
	for _, along := range [...]float64{0.25, 0.375, 0.5, 0.625, 0.75} {
		for _, across := range [...]float64{-0.2, 0, 0.2} {
			f(l.on(b, along, across))
		}
	}
}

func holeSpots(l *layout, h int, f func(u, v float64)) {
	tu, tv := l.stroke/l.width, l.stroke/l.height
	v0 := [...]float64{0.25 + tv/4, 0.75 - tv/4}[h]
	for _, du := range [...]float64{-0.15, 0, 0.15} {
		for _, dv := range [...]float64{-0.25, 0, 0.25} {
			f(0.5+du*(1-2*tu), v0+dv*(0.5-1.5*tv))
		}
	}
}

// fullOf is the mean ink of the segments that are lit: a split in two about the middle between
// the strongest and nothing, three times over.
func (k *ink) fullOf(in *inked) float32 {
	var most float32
	for c := range k.cells {
		for s, v := range in.v[c] {
			most = max(most, v/k.own[c][s])
		}
	}
	full := most
	for range 3 {
		var sum, n float32
		for c := range k.cells {
			for s, v := range in.v[c] {
				if x := v / k.own[c][s]; x > full/2 {
					sum += x
					n++
				}
			}
		}
		if n == 0 {
			return 0
		}
		full = sum / n
	}
	return full
}

// clearly is how far from its level a segment's ink may be, as a share of the way between unlit and
// lit. TestNothingIsReadFromDoubt and the first world hold it: at 0.5 nothing would be refused.
const clearly = 0.34

// level of a segment's ink: 0 is that of an unlit one, 1 of a lit one.
func (k *ink) level(in *inked, c, s int) float32 {
	lo := k.ghost[c][s]
	return (in.v[c][s]/in.full - lo) / (k.own[c][s] - lo)
}

// outward is what being off to the far side of a level counts: that is no step toward the other.
const outward = 0.65

// glyphs is each cell's glyph, and the worst distance from a level as a share: at most 0.5.
func (k *ink) glyphs(in *inked) (g [maxCells]glyph, worst float32) {
	if in.full <= 0 {
		return g, 1
	}
	for c := range k.cells {
		for s := range in.v[c] {
			x := k.level(in, c, s)
			off := x
			if x > 0.5 {
				g[c] |= 1 << s
				off = x - 1
			}
			if x < 0 || x > 1 {
				off *= outward
			}
			worst = max(worst, off, -off)
		}
	}
	return g, worst
}

// learn takes each segment's own strength and ghost from the lessons.
func (k *ink) learn(lessons []lesson, forms *[10]glyph) (full float32) {
	var lit, unlit [maxCells][nSegments]tallyOf
	var ghosts tallyOf
	var fulls tallyOf
	for i := range lessons {
		le := &lessons[i]
		in := k.see(&le.soft)
		var all tallyOf
		for c := range k.cells {
			for s, v := range in.v[c] {
				if le.lit(c, forms)&(1<<s) != 0 {
					all.add(v)
				}
			}
		}
		f := all.mean()
		if f <= 0 {
			continue
		}
		fulls.add(f)
		for c := range k.cells {
			for s, v := range in.v[c] {
				if le.lit(c, forms)&(1<<s) != 0 {
					lit[c][s].add(v / f)
				} else {
					unlit[c][s].add(v / f)
					if c < len(le.shown.digits) {
						ghosts.add(v / f)
					}
				}
			}
		}
	}
	for c := range k.cells {
		for s := range k.own[c] {
			k.own[c][s] = min(max(lit[c][s].meanOr(1), 0.6), 1.4)
			k.ghost[c][s] = min(max(unlit[c][s].meanOr(ghosts.meanOr(0)), -0.2), 0.35)
		}
	}
	return fulls.meanOr(0)
}

type tallyOf struct{ n, s float32 }

func (t *tallyOf) add(x float32) { t.n++; t.s += x }
func (t *tallyOf) mean() float32 { return t.meanOr(0) }
func (t *tallyOf) meanOr(x float32) float32 {
	if t.n == 0 {
		return x
	}
	return t.s / t.n
}
