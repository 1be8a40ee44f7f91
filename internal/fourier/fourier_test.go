package fourier_test

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"

	ours "panside/internal/fourier"
)

func noise(n int) []float32 {
	r := rand.New(rand.NewPCG(1, uint64(n)))
	v := make([]float32, n)
	for i := range v {
		v[i] = float32(r.NormFloat64())
	}
	return v
}

func far(t *testing.T, what string, got, want, most float64) {
	t.Helper()
	if math.Abs(got-want) > most {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestForwardIsGonums: the same as a reference library's transform.
func TestForwardIsGonums(t *testing.T) {
	for _, n := range []int{1, 2, 8, 256} {
		re, im := noise(n), noise(n)
		x := make([]complex128, n)
		for i := range x {
			x[i] = complex(float64(re[i]), float64(im[i]))
		}
		want := x
		if n > 1 {
			want = fourier.NewCmplxFFT(n).Coefficients(nil, x)
		}
		f := ours.New(n)
		f.Forward(re, im)
		for k := range want {
			if d := cmplx.Abs(want[k] - complex(float64(re[k]), float64(im[k]))); d > 1e-4 {
				t.Fatalf("%d of %d: off by %v", k, n, d)
			}
		}
		f.Backward(re, im)
		for i := range x {
			far(t, "back", float64(re[i]), real(x[i]), 1e-5)
			far(t, "back", float64(im[i]), imag(x[i]), 1e-5)
		}
	}
}

// TestCosinesByTheirSum: a small raster by the sum that defines the transform, and back.
func TestCosinesByTheirSum(t *testing.T) {
	const w, h = 8, 4
	v := noise(w * h)
	was := append([]float32(nil), v...)
	if !ours.Cosines(v, w, h) {
		t.Fatal("refused")
	}
	for l := range h {
		for k := range w {
			sum := 0.0
			for y := range h {
				for x := range w {
					sum += float64(was[y*w+x]) * math.Cos(math.Pi*float64(k)*(float64(x)+0.5)/w) * math.Cos(math.Pi*float64(l)*(float64(y)+0.5)/h)
				}
			}
			far(t, "cosines", float64(v[l*w+k]), sum, 1e-4)
		}
	}
	ours.Uncosines(v, w, h)
	for i := range v {
		far(t, "back", float64(v[i]), float64(was[i]), 1e-5)
	}
	if ours.Cosines(make([]float32, 12), 3, 4) {
		t.Error("a side of 3 was taken")
	}
}

// TestPlaneMovesAPictureByPhase: a phase that grows evenly moves a raster by whole pixels.
func TestPlaneMovesAPictureByPhase(t *testing.T) {
	const w, h, dx, dy = 16, 8, 3, 2
	v := noise(w * h)
	re, im := append([]float32(nil), v...), make([]float32, w*h)
	p := ours.NewPlane(w, h)
	p.Forward(re, im)
	for l := range h {
		for k := range w {
			turn := cmplx.Exp(complex(0, -2*math.Pi*(float64(k)*dx/w+float64(l)*dy/h)))
			z := complex(float64(re[l*w+k]), float64(im[l*w+k])) * turn
			re[l*w+k], im[l*w+k] = float32(real(z)), float32(imag(z))
		}
	}
	p.Backward(re, im)
	for y := range h {
		for x := range w {
			far(t, "moved", float64(re[(y+dy)%h*w+(x+dx)%w]), float64(v[y*w+x]), 1e-4)
		}
	}
}

// BenchmarkCosines: a raster as the relief's heights are put together from.
func BenchmarkCosines(b *testing.B) {
	v := noise(1 << 20)
	for b.Loop() {
		ours.Cosines(v, 1024, 1024)
	}
}

// TestTurnsFindsATurn: rings turned by a whole number of places, among beads that repeat all around.
func TestTurnsFindsATurn(t *testing.T) {
	const n, by = 256, 37
	var a, b []float32
	all := noise(6 * n)
	for k := range 6 {
		ring := all[k*n : (k+1)*n]
		for i := range ring {
			ring[i] += float32(2 * math.Cos(2*math.Pi*float64(i)*32/n))
		}
		turned := make([]float32, n)
		for i, v := range ring {
			turned[(i+n-by)%n] = v
		}
		a, b = append(a, ring...), append(b, turned...)
	}
	c := ours.Turns(a, make([]float32, len(a)), b, make([]float32, len(b)), n, 100)
	p := ours.PeakOf(c, 8)
	if math.Abs(p.At-by) > 0.05 || p.Clear < 8 || p.Next > 0.6 {
		t.Errorf("%+v, want %d", p, by)
	}
	if p := ours.PeakOf(make([]float32, 4), 8); p.Clear != 0 {
		t.Errorf("a course without others: %+v", p)
	}
}
