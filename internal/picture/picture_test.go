package picture

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// From IEC 61966-2-1: mid grey of sRGB, and where its two pieces meet.
func TestLinear(t *testing.T) {
	for b, want := range map[byte]float64{0: 0, 255: 1, 10: 10.0 / 255 / 12.92, 128: 0.21586} {
		if got := float64(Linear(b)); math.Abs(got-want) > 5e-6 {
			t.Errorf("byte %d: light %.6f, want %.6f", b, got, want)
		}
	}
	if Red+Green+Blue != 1 {
		t.Error("the weights of a white pixel aren't 1 together")
	}
}

func TestFromRGBA(t *testing.T) {
	p, ok := FromRGBA([]byte{255, 255, 255, 0, 255, 0, 0, 255, 0, 255, 0, 255, 0, 0, 255, 255}, 2, 2)
	if !ok {
		t.Fatal("refused")
	}
	for i, want := range []float32{1, Red, Green, Blue} {
		if math.Abs(float64(p.Light[i]-want)) > 1e-6 {
			t.Errorf("pixel %d: %v, want %v", i, p.Light[i], want)
		}
	}
	for _, bad := range []struct{ bytes, w, h, by int }{{15, 2, 2, 1}, {0, 0, 0, 1}, {16, 2, 2, 3}, {16, 2, 2, 0}, {16, -2, -2, 1}} {
		if _, ok := ShrunkRGBA(make([]byte, bad.bytes), bad.w, bad.h, bad.by); ok {
			t.Errorf("%+v was taken", bad)
		}
	}
}

// Filters on pictures of 4x4, written out.
func TestFourByFour(t *testing.T) {
	p := Picture{4, 4, []float32{
		0, 0, 1, 1,
		0, 0, 1, 1,
		0, 4, 0, 0,
		0, 0, 0, 8,
	}}
	if got := p.Shrink(2); got.W != 2 || got.H != 2 || !equal(got.Light, []float32{0, 1, 1, 2}) {
		t.Errorf("shrunk: %v", got)
	}
	if got := p.Shrink(3); got.W != 1 || got.H != 1 || !equal(got.Light, []float32{(1 + 1 + 4) / 9.0}) {
		t.Errorf("shrunk by 3: %v", got)
	}
	if got := p.Crop(2, -1, 5, 3); got.W != 2 || got.H != 2 || !equal(got.Light, []float32{1, 1, 1, 1}) {
		t.Errorf("cropped: %v", got)
	}
	if got := p.Crop(7, 0, 2, 2); got.W != 0 || len(got.Light) != 0 {
		t.Errorf("cropped beside the picture: %v", got)
	}
	step := Picture{4, 4, []float32{
		0, 0, 1, 1,
		0, 0, 1, 1,
		0, 0, 1, 1,
		0, 0, 1, 1,
	}}
	right, down := step.Gradient()
	if want := []float32{0, 0, 0, 0, 0, .5, .5, 0, 0, .5, .5, 0, 0, 0, 0, 0}; !equal(right.Light, want) {
		t.Errorf("gradient to the right: %v", right.Light)
	}
	if !equal(down.Light, make([]float32, 16)) {
		t.Errorf("gradient down: %v", down.Light)
	}
	for _, c := range []struct{ x, y, want float64 }{{.5, .5, 0}, {2.5, .5, 1}, {2, 1, .5}, {-9, -9, 0}, {9, 9, 8}, {1.5, 2, 2}, {4, 4, 8}} {
		if got := float64(p.Sample(c.x, c.y)); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("at %v, %v: %v, want %v", c.x, c.y, got, c.want)
		}
	}
}

func equal(a, b []float32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(float64(a[i]-b[i])) > 1e-6 {
			return false
		}
	}
	return true
}

func anyPicture(t *rapid.T) Picture {
	w, h := rapid.IntRange(1, 24).Draw(t, "w"), rapid.IntRange(1, 24).Draw(t, "h")
	return Picture{w, h, rapid.SliceOfN(rapid.Float32Range(0, 1), w*h, w*h).Draw(t, "light")}
}

// Reading and shrinking in one go equals one after the other.
func TestShrunkAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 20).Draw(t, "w"), rapid.IntRange(1, 20).Draw(t, "h")
		by := rapid.IntRange(1, min(w, h)).Draw(t, "by")
		bytes := rapid.SliceOfN(rapid.Byte(), 4*w*h, 4*w*h).Draw(t, "bytes")
		full, _ := FromRGBA(bytes, w, h)
		once, ok := ShrunkRGBA(bytes, w, h, by)
		if twice := full.Shrink(by); !ok || once.W != twice.W || once.H != twice.H || !equal(once.Light, twice.Light) {
			t.Fatalf("once %v, twice %v", once, twice)
		}
	})
}

func TestShrinkBy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h, n := rapid.IntRange(1, 9000).Draw(t, "w"), rapid.IntRange(1, 9000).Draw(t, "h"), rapid.IntRange(1, 2e6).Draw(t, "n")
		by := ShrinkBy(w, h, n)
		if (w/by)*(h/by) > n || by > 1 && (w/(by-1))*(h/(by-1)) <= n {
			t.Fatalf("%d", by)
		}
	})
}

// A blur keeps an even picture, mirrors with it, and a Gaussian twice is one of the root of two.
func TestBlur(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPicture(t)
		sigma := rapid.Float64Range(0.3, 3).Draw(t, "sigma")
		if got := p.Blur(0); !equal(got.Light, p.Light) {
			t.Fatal("no blur changed the picture")
		}
		even := New(p.W, p.H)
		for i := range even.Light {
			even.Light[i] = 0.25
		}
		if got := even.Blur(sigma); !equal(got.Light, even.Light) {
			t.Fatalf("an even picture became %v", got.Light)
		}
		if got, want := mirrored(p).Blur(sigma), mirrored(p.Blur(sigma)); !equal(got.Light, want.Light) {
			t.Fatal("blurring and mirroring can't be swapped")
		}
	})
	point := New(41, 41)
	point.Light[20*41+20] = 1
	twice, once := point.Blur(1.5).Blur(1.5), point.Blur(1.5*math.Sqrt2)
	for i := range twice.Light {
		if math.Abs(float64(twice.Light[i]-once.Light[i])) > 5e-4 {
			t.Fatalf("pixel %d: %v twice, %v once", i, twice.Light[i], once.Light[i])
		}
	}
}

func mirrored(p Picture) Picture {
	m := New(p.W, p.H)
	for y := range p.H {
		for x := range p.W {
			m.Light[y*p.W+x] = p.Light[y*p.W+p.W-1-x]
		}
	}
	return m
}

// The gradient of waves of known direction points there. The bound is the package's claim.
func TestGradientPointsRight(t *testing.T) {
	for deg := 0.0; deg < 180; deg += 7 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		p := New(40, 40)
		for i := range p.Light {
			x, y := float64(i%40), float64(i/40)
			p.Light[i] = float32(0.5 + 0.4*math.Sin((x*cos+y*sin)/2.5))
		}
		right, down := p.Gradient()
		for i := range p.Light {
			if x, y := i%40, i/40; x == 0 || y == 0 || x == 39 || y == 39 || math.Hypot(float64(right.Light[i]), float64(down.Light[i])) < 0.05 {
				continue
			}
			got := math.Atan2(float64(down.Light[i]), float64(right.Light[i]))
			if off := math.Abs(math.Remainder(got-deg*math.Pi/180, math.Pi)) * 180 / math.Pi; off > 0.5 {
				t.Fatalf("%v degrees: off by %.2f", deg, off)
			}
		}
	}
}

// The channels weighed together are the light read at once.
func TestColorsWeighToLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 20).Draw(t, "w"), rapid.IntRange(1, 20).Draw(t, "h")
		by := rapid.IntRange(1, min(w, h)).Draw(t, "by")
		bytes := rapid.SliceOfN(rapid.Byte(), 4*w*h, 4*w*h).Draw(t, "bytes")
		want, _ := ShrunkRGBA(bytes, w, h, by)
		c, ok := ShrunkColors(bytes, w, h, by)
		if got := c.Light(); !ok || got.W != want.W || !equal(got.Light, want.Light) {
			t.Fatalf("%v, want %v", got, want)
		}
		full, _ := ShrunkColors(bytes, w, h, 1)
		if got := full.Shrink(by).Light(); !equal(got.Light, want.Light) {
			t.Fatalf("shrunk after: %v, want %v", got, want)
		}
		if _, ok := ShrunkColors(bytes, w+1, h, by); ok {
			t.Fatal("a wrong size was taken")
		}
	})
}

// A byte read and written again is the same but in the darkest, where the steps are coarser.
func TestBytesAndBack(t *testing.T) {
	for b := range 256 {
		got := int(Byte(Linear(byte(b))))
		if off := got - b; off > 1 || off < -1 || b > 30 && off != 0 {
			t.Errorf("byte %d came back as %d", b, got)
		}
	}
	if Byte(-1) != 0 || Byte(7) != 255 {
		t.Error("light beyond black and white")
	}
	p := Picture{2, 1, []float32{0, 1}}
	if got := p.RGBA(); string(got) != "\x00\x00\x00\xff\xff\xff\xff\xff" {
		t.Errorf("%v", got)
	}
}

// A soft step from dark to bright has its crest along the middle, pointing to the bright side; a
// larger floor finds none.
func TestCrests(t *testing.T) {
	grey := New(24, 20)
	for i := range grey.Light {
		v := 1 / (1 + math.Exp(-(float64(i%24)-11)/1.2))
		grey.Light[i] = float32(v * v)
	}
	e := ClearestEdges(Colors{grey, grey, grey})
	for by, want := range map[int]float32{1: 11.5, 2: 5.5} {
		crests := e.Crests(by, 0.05)
		if len(crests) != 20/by-2 {
			t.Errorf("shrunk by %d: %d crests", by, len(crests))
		}
		for _, c := range crests {
			if math.Abs(float64(c.X-want)) > 1 || c.Right < 0.999 || math.Abs(float64(c.Down)) > 0.01 {
				t.Errorf("shrunk by %d: %+v", by, c)
			}
		}
		if none := e.Crests(by, 0.9); len(none) != 0 {
			t.Errorf("shrunk by %d: %d above any slope", by, len(none))
		}
	}
}

// What shows in color alone has edges too.
func TestEdgesInColorAlone(t *testing.T) {
	c := Colors{New(40, 40), New(40, 40), New(40, 40)}
	for i := range c.Red.Light {
		red := float32(0.3)
		if i%40 >= 20 {
			red = 0.2
		}
		// Blue makes up for red, so that the light is even.
		c.Red.Light[i], c.Green.Light[i], c.Blue.Light[i] = red, 0.3, (0.3*(Red+Blue)-Red*red)/Blue
	}
	e := ClearestEdges(c)
	if g, _ := e.Across(20, 20, 1, 0); math.Abs(g) < 0.01 {
		t.Errorf("the edge is %v steep", g)
	}
	if g, _ := e.Across(10, 20, 1, 0); math.Abs(g) > 1e-3 {
		t.Errorf("beside it %v", g)
	}
}

// The left one of two equal ones, none at the edge, none at or below the least.
func TestPeaks(t *testing.T) {
	p := Picture{5, 4, []float32{
		9, 0, 0, 0, 0,
		0, 3, 3, 0, 0,
		0, 0, 0, 2, 0,
		0, 7, 0, 0, 0,
	}}
	for least, want := range map[float32][][3]float32{0: {{1, 1, 3}, {3, 2, 2}}, 2: {{1, 1, 3}}, 3: nil} {
		var got [][3]float32
		p.Peaks(least, func(x, y int, light float32) { got = append(got, [3]float32{float32(x), float32(y), light}) })
		if !slices.Equal(got, want) {
			t.Errorf("over %v: %v, want %v", least, got, want)
		}
	}
}

// Against the mean of each square, pixel by pixel.
func TestMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := New(rapid.IntRange(1, 9).Draw(t, "w"), rapid.IntRange(1, 9).Draw(t, "h"))
		for i := range p.Light {
			p.Light[i] = rapid.Float32Range(-2, 2).Draw(t, "light")
		}
		r := rapid.IntRange(0, 12).Draw(t, "r")
		got := p.Mean(r)
		for y := range p.H {
			for x := range p.W {
				sum, n := 0.0, 0.0
				for j := max(y-r, 0); j <= min(y+r, p.H-1); j++ {
					for i := max(x-r, 0); i <= min(x+r, p.W-1); i++ {
						sum, n = sum+float64(p.At(i, j)), n+1
					}
				}
				if want := sum / n; math.Abs(float64(got.At(x, y))-want) > 1e-6 {
					t.Fatalf("pixel %d, %d: %v, want %v", x, y, got.At(x, y), want)
				}
			}
		}
	})
}
