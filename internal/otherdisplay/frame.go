package otherdisplay

import "math"

// hand is what passes before the display.
type hand struct {
	from, to, start, end float64 // columns as shares of the width; s
	level                float64
	round                bool
}

// Pass has a hand or a coin pass before the display over the next seconds.
func (d *Display) Pass(seconds float64) {
	d.cover = hand{start: d.scale.now, end: d.scale.now + seconds, from: d.between(-0.5, 0.2), to: d.between(0.6, 1.4), level: d.between(30, 170), round: d.chance(0.4)}
	if d.chance(0.5) {
		d.cover.from, d.cover.to = d.cover.to, d.cover.from
	}
}

// Hidden reports whether something passes before the display now.
func (d *Display) Hidden() bool { return d.scale.now < d.cover.end }

// Seconds is the time on the display's own clock.
func (d *Display) Seconds() float64 { return d.scale.now }

// Frame lets dt seconds pass and takes a picture: brightness row by row, new for each.
func (d *Display) Frame(dt float64) []byte {
	d.pass(dt)
	o := &d.light
	ink := d.ink()
	o.drift += 0.003*d.rng.NormFloat64() - 0.05*o.drift
	gain := float32(1 + o.drift)
	field := d.field(len(ink))
	for i, k := range ink {
		k = min(1, k)
		b := o.panelLight[i]
		if o.bright {
			b += float32(o.contrast) * 235 * k
		} else {
			b *= 1 - float32(o.contrast)*k
		}
		b += o.reflex[i] * (265 - b)
		field[i] = b * gain
	}
	d.passBefore(field)
	start := d.rng.IntN(len(o.table))
	grain := float32(o.noise)
	for i, b := range field {
		n := o.table[(start+i*7)&(len(o.table)-1)]
		field[i] = b + grain*n*shot[int(max(0, min(255, b)))]
	}
	if o.block > 0 {
		blocks(field, d.Width, d.Height, o.block)
	}
	pix := make([]byte, len(field))
	for i, b := range field {
		pix[i] = byte(max(0, min(255, b+0.5)))
	}
	return pix
}

// shot is how noise grows with brightness: the light's own with its root, the sensor's not at all.
var shot = func() (s [256]float32) {
	for b := range s {
		s[b] = float32(0.4 + 0.6*math.Sqrt(float64(b)/128))
	}
	return s
}()

// field is a frame's worth of room, used again for each.
func (d *Display) field(n int) []float32 {
	if cap(d.room) < n {
		d.room = make([]float32, n)
	}
	return d.room[:n]
}

// ink is the sum of what is lit, a row's share of each digit's turn in it.
func (d *Display) ink() []float32 {
	o := &d.light
	if d.inked != nil && o.multiplex == 0 && !d.changed {
		return d.inked
	}
	if d.inked == nil {
		d.inked = make([]float32, d.Width*d.Height)
	}
	ink := d.inked
	clear(ink)
	var turns [][]float32
	if o.multiplex > 0 {
		turns = d.turns()
	}
	for _, e := range d.all {
		if e.state < 0.004 {
			continue
		}
		s := float32(e.state)
		if turns == nil {
			for _, p := range e.parts {
				ink[p.at] += s * p.share
			}
			continue
		}
		turn := turns[e.digit]
		for _, p := range e.parts {
			ink[p.at] += s * p.share * turn[int(p.at)/d.Width]
		}
	}
	return ink
}

// turns are, by digit and row, the share of the row's exposure in which the digit is lit
// against that of a long one.
func (d *Display) turns() [][]float32 {
	o := &d.light
	period := 1 / o.multiplex
	n := float64(d.Digits)
	// lit is for how long a digit was lit from 0 to t.
	lit := func(c int, t float64) float64 {
		whole := math.Floor(t / period)
		return whole*period/n + math.Max(0, math.Min(period/n, t-whole*period-float64(c)*period/n))
	}
	out := make([][]float32, d.Digits)
	for c := range out {
		out[c] = make([]float32, d.Height)
		for y := range out[c] {
			a := d.scale.now + 10 + float64(y)*o.line
			out[c][y] = float32((lit(c, a+o.exposure) - lit(c, a)) * n / o.exposure)
		}
	}
	return out
}

// passBefore lays what passes over the field.
func (d *Display) passBefore(field []float32) {
	h := &d.cover
	if !d.Hidden() {
		return
	}
	along := (d.scale.now - h.start) / (h.end - h.start)
	w, tall := float64(d.Width), float64(d.Height)
	cx := (h.from + (h.to-h.from)*along) * w
	for y := range d.Height {
		for x := range d.Width {
			dx := math.Abs(float64(x) - cx)
			reach := 0.2*w + 0.08*w*math.Sin(float64(y)/tall*5)
			if h.round {
				dy := float64(y) - tall/2
				reach = math.Sqrt(math.Max(0, 0.2*tall*tall-dy*dy))
			}
			if k := math.Min(1, math.Max(0, (reach-dx)/4)); k > 0 {
				b := &field[y*d.Width+x]
				*b += float32(k) * (float32(h.level*(1+0.1*math.Sin(float64(x+2*y)/9))) - *b)
			}
		}
	}
}

// cosines of the transform of eight.
var cosines = func() (c [8][8]float32) {
	for k := range c {
		for n := range c[k] {
			c[k][n] = float32(math.Cos(math.Pi*float64(k)*(2*float64(n)+1)/16)) / 2
			if k == 0 {
				c[k][n] /= math.Sqrt2
			}
		}
	}
	return c
}()

// blocks rounds the cosine transform of each block of 8×8 to steps that grow with the order.
func blocks(field []float32, width, height int, step float64) {
	for y0 := 0; y0+8 <= height; y0 += 8 {
		for x0 := 0; x0+8 <= width; x0 += 8 {
			var a, b [8][8]float32
			for k := range 8 {
				for x := range 8 {
					for y := range 8 {
						a[k][x] += cosines[k][y] * field[(y0+y)*width+x0+x]
					}
				}
			}
			for k := range 8 {
				for l := range 8 {
					for x := range 8 {
						b[k][l] += cosines[l][x] * a[k][x]
					}
					q := float32(step) * (1 + 0.35*float32(k+l))
					b[k][l] = float32(math.Round(float64(b[k][l]/q))) * q
				}
			}
			a = [8][8]float32{}
			for y := range 8 {
				for l := range 8 {
					for k := range 8 {
						a[y][l] += cosines[k][y] * b[k][l]
					}
				}
			}
			for y := range 8 {
				for x := range 8 {
					v := float32(0)
					for l := range 8 {
						v += cosines[l][x] * a[y][l]
					}
					field[(y0+y)*width+x0+x] = v
				}
			}
		}
	}
}
