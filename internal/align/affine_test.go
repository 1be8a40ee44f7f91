package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/align"
	"panside/internal/fourier"
	"panside/internal/picture"
)

func affines() *rapid.Generator[align.Affine] {
	return rapid.Custom(func(t *rapid.T) align.Affine {
		v := func(name string) float64 { return rapid.Float64Range(-2, 2).Draw(t, name) }
		return align.Turned(180 * v("turn")).Then(align.Scaled(math.Exp(v("scale")))).Then(align.Affine{A: 1, B: v("shear") / 4, D: 1}).Then(align.Moved(v("x"), v("y")))
	})
}

func TestBackAndThen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := affines().Draw(t, "m"), affines().Draw(t, "n")
		x, y := rapid.Float64Range(-9, 9).Draw(t, "px"), rapid.Float64Range(-9, 9).Draw(t, "py")
		ax, ay := m.Then(n).Of(x, y)
		bx, by := n.Of(m.Of(x, y))
		if math.Hypot(ax-bx, ay-by) > 1e-9*(1+math.Hypot(bx, by)) {
			t.Fatalf("one after the other: %v %v, together %v %v", bx, by, ax, ay)
		}
		if x2, y2 := m.Then(m.Back()).Of(x, y); math.Hypot(x2-x, y2-y) > 1e-9 {
			t.Fatalf("there and back: %v %v from %v %v", x2, y2, x, y)
		}
	})
}

// TestTakeIsSample: the quick way within a picture gives what a single sample gives, edges included.
func TestTakeIsSample(t *testing.T) {
	p := cloud(3, 0, 0)
	rapid.Check(t, func(t *rapid.T) {
		m := affines().Draw(t, "m").Then(align.Scaled(20)).Then(align.Moved(64, 64))
		got := m.Take(p, 7, 5)
		for i, v := range got.Light {
			x, y := m.Of(float64(i%7)+0.5, float64(i/7)+0.5)
			if math.Abs(float64(v-p.Sample(x, y))) > 1e-4 {
				t.Fatalf("at %v %v: %v, want %v", x, y, v, p.Sample(x, y))
			}
		}
	})
}

// TestTurnedIsCounterclockwise: what points to the right points up after a quarter, y being down.
func TestTurnedIsCounterclockwise(t *testing.T) {
	x, y := align.Turned(90).Of(1, 0)
	if math.Hypot(x, y+1) > 1e-12 {
		t.Errorf("%v %v", x, y)
	}
	if d := align.Turned(30).Then(align.Scaled(2)).Degrees(); math.Abs(d-30) > 1e-9 {
		t.Errorf("degrees %v", d)
	}
	if s := align.Turned(30).Then(align.Scaled(2)).Scale(); math.Abs(s-2) > 1e-12 {
		t.Errorf("scale %v", s)
	}
	if b := (align.Affine{A: 1, B: 1, C: 1, D: 1}).Back(); !math.IsNaN(b.A) {
		t.Errorf("a map onto a line has the inverse %v", b)
	}
}

// cloud is a periodic picture of waves, moved by a phase in the Fourier domain: exact between pixels.
func cloud(seed uint64, dx, dy float64) picture.Picture {
	const n = 128
	r := rand.New(rand.NewPCG(seed, 1))
	re, im := make([]float32, n*n), make([]float32, n*n)
	for ky := -20; ky <= 20; ky++ {
		for kx := -20; kx <= 20; kx++ {
			a, phase := math.Exp(-0.01*float64(kx*kx+ky*ky))*r.Float64(), 2*math.Pi*r.Float64()
			s, c := math.Sincos(phase - 2*math.Pi*(float64(kx)*dx+float64(ky)*dy)/n)
			i := (ky&(n-1))*n + kx&(n-1)
			re[i], im[i] = float32(a*c), float32(a*s)
		}
	}
	fourier.NewPlane(n, n).Backward(re, im)
	p := picture.New(n, n)
	for i, v := range re {
		p.Light[i] = 0.4 + 60*v
	}
	return p
}

// TestSteady finds a move that was made in the Fourier domain within a twentieth of a pixel, under
// another exposure too, and refuses another picture.
func TestSteady(t *testing.T) {
	a := cloud(1, 0, 0)
	for _, d := range [][2]float64{{0, 0}, {0.3, -0.6}, {2.25, 1.5}, {-3.7, 2.1}} {
		b := cloud(1, d[0], d[1])
		for i := range b.Light {
			b.Light[i] *= 0.8
		}
		m, ok := align.Steady(a, b)
		x, y := m.Of(64, 64)
		if !ok || math.Hypot(x-64-d[0], y-64-d[1]) > 0.05 {
			t.Errorf("moved by %v: found %.3f %.3f, %v", d, x-64, y-64, ok)
		}
	}
	if m, ok := align.Steady(a, cloud(2, 0, 0)); ok {
		t.Errorf("another picture was taken: %v", m)
	}
	if _, ok := align.Steady(a, picture.New(128, 128)); ok {
		t.Error("a black picture was taken")
	}
	if _, ok := align.Steady(a, picture.New(64, 128)); ok {
		t.Error("another size was taken")
	}
}
