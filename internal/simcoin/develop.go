package simcoin

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// blurred gives one color blurred by the lens and the hand.
func (c Camera) blurred(p []float32) []float32 {
	if long := math.Hypot(c.MotionX, c.MotionY); long > 0.3 {
		n := int(math.Ceil(2*long)) + 1
		out := make([]float32, len(p))
		for i := range n {
			at := float64(i)/float64(n-1) - 0.5
			dx, dy := int(math.Round(at*c.MotionX)), int(math.Round(at*c.MotionY))
			for y := range c.Height {
				from := p[min(max(y+dy, 0), c.Height-1)*c.Width:][:c.Width]
				to := out[y*c.Width:][:c.Width]
				for x := range to {
					to[x] += from[min(max(x+dx, 0), c.Width-1)] / float32(n)
				}
			}
		}
		p = out
	}
	if c.Blur < 0.2 {
		return p
	}
	reach := int(math.Ceil(3.2 * c.Blur))
	weight := make([]float32, reach+1)
	sum := 0.0
	for i := range weight {
		w := math.Exp2(-float64(i*i) / (2 * c.Blur * c.Blur * math.Ln2))
		weight[i] = float32(w)
		sum += w
		if i > 0 {
			sum += w
		}
	}
	for i := range weight {
		weight[i] /= float32(sum)
	}
	across := make([]float32, len(p))
	for y := range c.Height {
		row, to := p[y*c.Width:][:c.Width], across[y*c.Width:][:c.Width]
		for x := range to {
			v := weight[0] * row[x]
			for i := 1; i <= reach; i++ {
				v += weight[i] * (row[max(x-i, 0)] + row[min(x+i, c.Width-1)])
			}
			to[x] = v
		}
	}
	out := make([]float32, len(p))
	for y := range c.Height {
		to := out[y*c.Width:][:c.Width]
		for i := -reach; i <= reach; i++ {
			w := weight[max(i, -i)]
			from := across[min(max(y+i, 0), c.Height-1)*c.Width:][:c.Width]
			for x := range to {
				to[x] += w * from[x]
			}
		}
	}
	return out
}

// developed adds noise and writes bytes.
func (c Camera) developed(light [3][]float32, r *rand.Rand) []byte {
	out := make([]byte, 4*c.Width*c.Height)
	for i := range light[0] {
		for k := range light {
			v := float64(light[k][i])
			if c.Noise > 0 {
				v += c.Noise * math.Max(0.1, math.Sqrt(v)) * r.NormFloat64()
			}
			out[4*i+k] = toByte(v)
		}
		out[4*i+3] = 255
	}
	return out
}

// steps are the bytes of sRGB over the light in 4096 steps. They are written here once more, so that
// an error in what reads photos shows.
var steps = func() (t [4097]byte) {
	for i := range t {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		t[i] = byte(math.Round(255 * v))
	}
	return t
}()

func toByte(light float64) byte {
	return steps[int(math.Min(math.Max(light, 0), 1)*4096+0.5)]
}

// JPEG sends the photo through a JPEG of that quality (1 to 100) and back.
func (s Shot) JPEG(quality int) Shot {
	var b bytes.Buffer
	img := &image.RGBA{Pix: s.Pix, Stride: 4 * s.Width, Rect: image.Rect(0, 0, s.Width, s.Height)}
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		panic(err) // of a picture in memory there is none
	}
	back, err := jpeg.Decode(&b)
	if err != nil {
		panic(err)
	}
	out := image.NewRGBA(img.Rect)
	draw.Draw(out, img.Rect, back, image.Point{}, draw.Src)
	s.Pix = out.Pix
	return s
}

// Enlarged makes each pixel by*by, for photos of a phone's size that needn't show more.
func (s Shot) Enlarged(by int) Shot {
	pix := make([]byte, 0, len(s.Pix)*by*by)
	for y := range s.Height * by {
		row := s.Pix[4*(y/by)*s.Width:][:4*s.Width]
		for x := range s.Width * by {
			pix = append(pix, row[4*(x/by):][:4]...)
		}
	}
	s.Pix, s.Width, s.Height = pix, s.Width*by, s.Height*by
	return s
}
