package othercoin

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"slices"
)

// spread lays each point out over a disc, whose outermost pixels count by how much of them it covers.
func (s *Sensor) spread(light []float32, width, height int) {
	if s.Blur < 0.3 {
		return
	}
	if s.Blur > 4 {
		s.smear(light, width, height)
		return
	}
	type tap struct {
		dx, dy int
		w      float32
	}
	var taps []tap
	sum := float32(0)
	n := int(s.Blur + 1)
	for dy := -n; dy <= n; dy++ {
		for dx := -n; dx <= n; dx++ {
			if w := min(1, s.Blur+0.5-math.Hypot(float64(dx), float64(dy))); w > 0 {
				taps = append(taps, tap{dx, dy, float32(w)})
				sum += float32(w)
			}
		}
	}
	sharp := slices.Clone(light)
	for y := range height {
		for x := range width {
			var out [3]float32
			for _, t := range taps {
				i := 3 * (min(height-1, max(0, y+t.dy))*width + min(width-1, max(0, x+t.dx)))
				out[0] += t.w * sharp[i]
				out[1] += t.w * sharp[i+1]
				out[2] += t.w * sharp[i+2]
			}
			for k, v := range out {
				light[3*(y*width+x)+k] = v / sum
			}
		}
	}
}

// smear is spread for large discs, by sums along rows: whole pixels are enough there.
func (s *Sensor) smear(light []float32, width, height int) {
	n := int(s.Blur + 0.5)
	sums := make([]float64, (width+1)*height)
	for color := range 3 {
		for y := range height {
			for x := range width {
				sums[y*(width+1)+x+1] = sums[y*(width+1)+x] + float64(light[3*(y*width+x)+color])
			}
		}
		for y := range height {
			for x := range width {
				sum, count := 0.0, 0
				for dy := max(-n, -y); dy <= n && y+dy < height; dy++ {
					half := int(math.Sqrt(float64(n*n - dy*dy)))
					a, b := max(0, x-half), min(width, x+half+1)
					row := sums[(y+dy)*(width+1):]
					sum += row[b] - row[a]
					count += b - a
				}
				light[3*(y*width+x)+color] = float32(sum / float64(count))
			}
		}
	}
}

// expose makes a JPEG of light, and the picture that it decodes to.
func (s *Sensor) expose(light []float32, width, height int, r *rand.Rand) (*image.RGBA, []byte) {
	full, quality := s.Full, s.Quality
	if full == 0 {
		full = 8000
	}
	if quality == 0 {
		quality = 90
	}
	// Exposed so that little of the picture is white.
	var some []float32
	for i := 1; i < len(light); i += 3 * 37 {
		some = append(some, light[i])
	}
	slices.Sort(some)
	white := float64(some[len(some)*98/100])
	gain := between(r, 0.7, 1.0) / max(white, 1e-9)
	raw := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := range width * height {
		for k := range 3 {
			v := float64(light[3*i+k]) * gain
			e := v * full
			v = (e + math.Sqrt(max(0, e)+s.Read*s.Read)*r.NormFloat64()) / full
			raw.Pix[4*i+k] = encoded(v)
		}
		raw.Pix[4*i+3] = 255
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, raw, &jpeg.Options{Quality: quality}); err != nil {
		panic(err) // writing to memory doesn't fail
	}
	out, err := decoded(b.Bytes())
	if err != nil {
		panic(err) // nor does reading back what was just written
	}
	return out, b.Bytes()
}

func decoded(b []byte) (*image.RGBA, error) {
	back, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	out := image.NewRGBA(back.Bounds())
	draw.Draw(out, out.Rect, back, image.Point{}, draw.Src)
	return out, nil
}

// encoded is the byte of a linear value by the curve of sRGB, IEC 61966-2-1.
func encoded(v float64) byte {
	return curve[int((len(curve)-1)*int(65536*min(1, max(0, v)))>>16)]
}

var curve = func() (all [1 << 13]byte) {
	for i := range all {
		v := float64(i) / float64(len(all)-1)
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		all[i] = byte(255*v + 0.5)
	}
	return all
}()
