// Package picture is the raster that everything which looks at coins works on: light alone, in
// linear measure, as float32.
//
// Places are in pixels from the upper left corner of the picture: x to the right, y down. The
// first pixel covers 0 to 1, so its middle lies at (0.5, 0.5), and a place in a picture shrunk by
// k is the place in the full one divided by k.
//
// Light is 0 for black and 1 for white, and twice the light is twice the value: the bytes of a
// browser's picture are sRGB and are straightened by the curve of IEC 61966-2-1, the three
// channels weighed as in Recommendation ITU-R BT.709 (0.2126 R + 0.7152 G + 0.0722 B).
package picture

import "math"

// Picture is a raster of light. Rows follow each other: the pixel in column x of row y is
// Light[y*W+x].
type Picture struct {
	W, H  int
	Light []float32
}

// New gives a black picture. Sizes below 1 give an empty one.
func New(w, h int) Picture {
	if w < 1 || h < 1 {
		return Picture{}
	}
	return Picture{W: w, H: h, Light: make([]float32, w*h)}
}

// linear is the light of an sRGB byte.
var linear = func() (t [256]float32) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			t[i] = float32(v / 12.92)
		} else {
			t[i] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
	return t
}()

// Linear gives the light of an sRGB byte, 0 to 1.
func Linear(b byte) float32 { return linear[b] }

// Weights of red, green and blue in light (BT.709).
const (
	Red   = 0.2126
	Green = 0.7152
	Blue  = 0.0722
)

// weighed are the tables of light for each channel, by its weight.
var weighed = func() (t [3][256]float32) {
	for c, w := range [3]float32{Red, Green, Blue} {
		for i, v := range linear {
			t[c][i] = w * v
		}
	}
	return t
}()

// FromRGBA reads a browser's bytes, four a pixel; the fourth (opacity) is not looked at. It is
// false if there are not w*h pixels.
func FromRGBA(rgba []byte, w, h int) (Picture, bool) { return ShrunkRGBA(rgba, w, h, 1) }

// ShrunkRGBA reads a browser's bytes and shrinks in the same go: each pixel of the result is the
// mean light of by*by pixels. Columns and rows that don't fill a pixel are left out. It is false
// if there are not w*h pixels, or if nothing would be left.
func ShrunkRGBA(rgba []byte, w, h, by int) (Picture, bool) {
	if w < 1 || h < 1 || by < 1 || len(rgba) != 4*w*h || w < by || h < by {
		return Picture{}, false
	}
	p := New(w/by, h/by)
	share := 1 / float32(by*by)
	for y := range p.H {
		out := p.Light[y*p.W : (y+1)*p.W]
		for row := y * by; row < (y+1)*by; row++ {
			in := rgba[4*row*w : 4*(row*w+p.W*by)]
			for x := range out {
				sum := float32(0)
				for px := in[4*x*by : 4*(x+1)*by]; len(px) >= 4; px = px[4:] {
					sum += weighed[0][px[0]] + weighed[1][px[1]] + weighed[2][px[2]]
				}
				out[x] += sum
			}
		}
		for x := range out {
			out[x] *= share
		}
	}
	return p, true
}

// Shrink gives the picture with by*by pixels made one, their mean. Columns and rows that don't
// fill a pixel are left out. by below 2 gives a copy.
func (p Picture) Shrink(by int) Picture {
	by = max(by, 1)
	out := New(p.W/by, p.H/by)
	share := 1 / float32(by*by)
	for y := range out.H {
		to := out.Light[y*out.W : (y+1)*out.W]
		for row := y * by; row < (y+1)*by; row++ {
			from := p.Light[row*p.W : (row+1)*p.W]
			for x := range to {
				for _, v := range from[x*by : (x+1)*by] {
					to[x] += v
				}
			}
		}
		for x := range to {
			to[x] *= share
		}
	}
	return out
}

// ShrinkBy gives the smallest whole factor that brings w*h pixels to at most that many, 1 or more.
func ShrinkBy(w, h, pixels int) int {
	by := 1
	for (w/by)*(h/by) > max(pixels, 1) {
		by++
	}
	return by
}

// At gives a pixel; outside of the picture that of the nearest edge.
func (p Picture) At(x, y int) float32 {
	return p.Light[min(max(y, 0), p.H-1)*p.W+min(max(x, 0), p.W-1)]
}

// Sample gives the light at a place by the four pixels around it (bilinear). Beyond the outermost
// middles the edge goes on.
func (p Picture) Sample(x, y float64) float32 {
	x, y = math.Min(math.Max(x-0.5, 0), float64(p.W-1)), math.Min(math.Max(y-0.5, 0), float64(p.H-1))
	i, j := int(x), int(y)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	right, down := 0, 0
	if i+1 < p.W {
		right = 1
	}
	if j+1 < p.H {
		down = p.W
	}
	k := j*p.W + i
	top := p.Light[k] + fx*(p.Light[k+right]-p.Light[k])
	low := p.Light[k+down] + fx*(p.Light[k+down+right]-p.Light[k+down])
	return top + fy*(low-top)
}

// Holds reports whether a place lies in the picture.
func (p Picture) Holds(x, y float64) bool {
	return x >= 0 && y >= 0 && x <= float64(p.W) && y <= float64(p.H)
}

// Crop cuts a piece out. What lies outside of the picture is left away, so the result may be
// smaller, or empty.
func (p Picture) Crop(x, y, w, h int) Picture {
	x0, y0, x1, y1 := max(x, 0), max(y, 0), min(x+w, p.W), min(y+h, p.H)
	out := New(x1-x0, y1-y0)
	for row := range out.H {
		copy(out.Light[row*out.W:(row+1)*out.W], p.Light[(y0+row)*p.W+x0:])
	}
	return out
}

// Blur gives the picture blurred by a Gaussian of that standard deviation in pixels, cut off at
// three of them; the edges go on outward. 0 or less gives a copy.
func (p Picture) Blur(sigma float64) Picture {
	out := New(p.W, p.H)
	if !(sigma > 0) || out.W == 0 {
		copy(out.Light, p.Light)
		return out
	}
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float32, 2*reach+1)
	sum := 0.0
	for i := range kernel {
		sum += math.Exp(-float64((i-reach)*(i-reach)) / (2 * sigma * sigma))
	}
	for i := range kernel {
		kernel[i] = float32(math.Exp(-float64((i-reach)*(i-reach))/(2*sigma*sigma)) / sum)
	}
	// Along the rows first; each row stands in a line that is longer by the reach on both sides.
	mid := New(p.W, p.H)
	line := make([]float32, p.W+2*reach)
	for y := range p.H {
		row := p.Light[y*p.W : (y+1)*p.W]
		copy(line[reach:], row)
		for i := range reach {
			line[i], line[reach+p.W+i] = row[0], row[p.W-1]
		}
		to := mid.Light[y*p.W : (y+1)*p.W]
		for x := range to {
			v := float32(0)
			for i, w := range kernel {
				v += w * line[x+i]
			}
			to[x] = v
		}
	}
	for y := range p.H {
		to := out.Light[y*p.W : (y+1)*p.W]
		for i, w := range kernel {
			row := min(max(y+i-reach, 0), p.H-1)
			from := mid.Light[row*p.W : (row+1)*p.W]
			for x := range to {
				to[x] += w * from[x]
			}
		}
	}
	return out
}

// Mean gives the mean over squares of 2r+1 pixels around each, at the edges of what there is of them.
func (p Picture) Mean(r int) Picture {
	// Sums along the rows, and of those down the columns, each from that of the pixel before.
	rows := make([]float64, p.W*p.H)
	for y := range p.H {
		from, to := p.Light[y*p.W:(y+1)*p.W], rows[y*p.W:(y+1)*p.W]
		sum := 0.0
		for _, v := range from[:min(r, p.W)] {
			sum += float64(v)
		}
		for x := range to {
			if x+r < p.W {
				sum += float64(from[x+r])
			}
			if x-r-1 >= 0 {
				sum -= float64(from[x-r-1])
			}
			to[x] = sum
		}
	}
	out := New(p.W, p.H)
	sums := make([]float64, p.W)
	for y := -r; y < p.H; y++ {
		if y+r < p.H {
			for x, s := range rows[(y+r)*p.W : (y+r+1)*p.W] {
				sums[x] += s
			}
		}
		if y < 0 {
			continue
		}
		if y-r-1 >= 0 {
			for x, s := range rows[(y-r-1)*p.W : (y-r)*p.W] {
				sums[x] -= s
			}
		}
		high := min(y+r, p.H-1) - max(y-r, 0) + 1
		for x, s := range sums {
			wide := min(x+r, p.W-1) - max(x-r, 0) + 1
			out.Light[y*p.W+x] = float32(s / float64(wide*high))
		}
	}
	return out
}

// Peaks visits the pixels that have more than least and more than the four around them, row by row.
// Of two that are equal the upper or left one counts; the outermost pixels don't.
func (p Picture) Peaks(least float32, visit func(x, y int, light float32)) {
	for y := 1; y+1 < p.H; y++ {
		for x := 1; x+1 < p.W; x++ {
			i := y*p.W + x
			v := p.Light[i]
			if v > least && v > p.Light[i-1] && v >= p.Light[i+1] && v > p.Light[i-p.W] && v >= p.Light[i+p.W] {
				visit(x, y, v)
			}
		}
	}
}

// Gradient gives by how much the light grows to the right and down, a pixel, by the 3x3 filter of
// Scharr (3, 10, 3 across), whose direction is true within half a degree. The outermost pixels
// are 0.
func (p Picture) Gradient() (right, down Picture) {
	right, down = New(p.W, p.H), New(p.W, p.H)
	for y := 1; y+1 < p.H; y++ {
		a, b, c := p.Light[(y-1)*p.W:y*p.W], p.Light[y*p.W:(y+1)*p.W], p.Light[(y+1)*p.W:(y+2)*p.W]
		r, d := right.Light[y*p.W:(y+1)*p.W], down.Light[y*p.W:(y+1)*p.W]
		for x := 1; x+1 < p.W; x++ {
			r[x] = (3*(a[x+1]-a[x-1]) + 10*(b[x+1]-b[x-1]) + 3*(c[x+1]-c[x-1])) / 32
			d[x] = (3*(c[x-1]-a[x-1]) + 10*(c[x]-a[x]) + 3*(c[x+1]-a[x+1])) / 32
		}
	}
	return right, down
}
