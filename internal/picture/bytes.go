package picture

import "math"

// bytesOf is the sRGB byte of light in 4096 steps, where one step is less than a byte.
var bytesOf = func() (t [4097]byte) {
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

// Byte gives the sRGB byte of a light (IEC 61966-2-1); beyond 0 and 1 the nearest. In the darkest
// tenth of a per cent it may be one byte off.
func Byte(light float32) byte {
	return bytesOf[int(min(max(light, 0), 1)*4096+0.5)]
}

// RGBA gives the bytes of a canvas, opaque.
func (p Picture) RGBA() []byte { return Colors{p, p, p}.RGBA() }

// RGBA gives the bytes of a canvas, opaque.
func (c Colors) RGBA() []byte {
	out := make([]byte, 4*len(c.Red.Light))
	for i := range c.Red.Light {
		out[4*i], out[4*i+1], out[4*i+2], out[4*i+3] = Byte(c.Red.Light[i]), Byte(c.Green.Light[i]), Byte(c.Blue.Light[i]), 255
	}
	return out
}
