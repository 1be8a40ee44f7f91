// Package testjpeg makes photos for tests.
package testjpeg

import (
	"bytes"
	"image"
	"image/jpeg"
	"math/rand/v2"
)

// Noise is a grey JPEG of side by side pixels of noise, which no encoder makes
// small; the same seed gives the same bytes. It panics if it can't be encoded,
// which a test may.
func Noise(seed uint64, side int) []byte {
	rng := rand.New(rand.NewPCG(seed, 1))
	m := image.NewGray(image.Rect(0, 0, side, side))
	for i := range m.Pix {
		m.Pix[i] = uint8(rng.Uint32())
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		panic(err)
	}
	return b.Bytes()
}
