package focus

import (
	"math"
	"testing"

	"panside/internal/picture"
)

// TestBandsGoBackTogether: nothing is lost, at odd sizes too.
func TestBandsGoBackTogether(t *testing.T) {
	for _, size := range [][2]int{{64, 64}, {65, 67}, {100, 33}} {
		p := picture.New(size[0], size[1])
		for i := range p.Light {
			p.Light[i] = float32(i*7919%101) / 101
		}
		back := together(bands(p, 4))
		for i, v := range back.Light {
			if math.Abs(float64(v-p.Light[i])) > 1e-5 {
				t.Fatalf("%v: pixel %d is %v, was %v", size, i, v, p.Light[i])
			}
		}
	}
}

// TestDownByHand: one bright pixel of 4x4 by the kernel's own numbers.
func TestDownByHand(t *testing.T) {
	p := picture.New(4, 4)
	p.Light[2*4+2] = 1
	got := down(p)
	// Weights along one side: the pixel at 2 counts 1/16 at 0 and 6/16 at 2 (the edge goes on, so 0 sees
	// it once).
	want := []float32{1. / 256, 6. / 256, 6. / 256, 36. / 256}
	for i, w := range want {
		if math.Abs(float64(got.Light[i]-w)) > 1e-6 {
			t.Errorf("pixel %d: %v, want %v", i, got.Light[i], w)
		}
	}
}
