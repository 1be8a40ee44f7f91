package segments

// ink is the first way of reading: how much darker (or brighter, by the sign) each segment is than
// the holes beside it.
type ink struct {
	cells int
	seg   [maxCells][nSegments][]Point // in the plane, on the segments
	hole  [maxCells][2][]Point
	sign  float32 // +1 for dark ink, −1 for bright
	// own is how strongly each segment was seen lit when taught, as a share of all; 1 where it wasn't.
	own [maxCells][nSegments]float32
	// ghost is the unlit segments' ink, as a share of the lit ones'.
	ghost [maxCells][nSegments]float32
}

// holesBeside are the holes a segment is compared with: 0 the upper one, 1 the lower.
var holesBeside = [nSegments][]int{{0}, {0}, {1}, {1}, {1}, {0}, {0, 1}}

func newInk(l *layout, cells int, sign float32) ink {
	k := ink{cells: cells, sign: sign}
	bars := l.bars()
	tu, tv := l.stroke/l.width, l.stroke/l.height
	for c := range cells {
		for s, b := range bars {
			k.own[c][s] = 1
			for _, along := range [...]float64{0.25, 0.375, 0.5, 0.625, 0.75} {
				for _, across := range [...]float64{-0.2, 0, 0.2} {
					u, v := l.on(b, along, across)
					k.seg[c][s] = append(k.seg[c][s], l.at(c, u, v))
				}
			}
		}
		for h, v0 := range [...]float64{0.25 + tv/4, 0.75 - tv/4} {
			for _, du := range [...]float64{-0.15, 0, 0.15} {
				for _, dv := range [...]float64{-0.25, 0, 0.25} {
					u, v := 0.5+du*(1-2*tu), v0+dv*(0.5-1.5*tv)
					k.hole[c][h] = append(k.hole[c][h], l.at(c, u, v))
				}
			}
		}
	}
	return k
}

func mean(r *raster, at []Point) float32 {
	var sum float32
	for _, p := range at {
		sum += r.at(p)
	}
	return sum / float32(len(at))
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
		for h := range hole {
			hole[h] = mean(r, k.hole[c][h])
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
			in.v[c][s] = k.sign * (bg - mean(r, k.seg[c][s])) / in.unit[c]
		}
	}
	in.full = k.fullOf(&in)
	return in
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

// clear is how far from its level a segment's ink may be, as a share of the way between unlit and
// lit. TestFirstWorld holds it: at 0.5 nothing would be refused.
const clear = 0.34

// level of a segment's ink: 0 is that of an unlit one, 1 of a lit one.
func (k *ink) level(in *inked, c, s int) float32 {
	lo := k.ghost[c][s]
	return (in.v[c][s]/in.full - lo) / (k.own[c][s] - lo)
}

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
		in := k.see(&le.pic)
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
