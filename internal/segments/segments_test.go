package segments

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/mass"
	"panside/internal/moment"
)

func drawWindow(t *rapid.T) Window {
	x := rapid.Float64Range(-10, 10)
	w := Window{{100, 50}, {400, 60}, {390, 160}, {110, 150}}
	for i := range w {
		w[i].X += x.Draw(t, "x")
		w[i].Y += x.Draw(t, "y")
	}
	return w
}

func TestThePlaneMeetsTheCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWindow(t)
		m := planeOf(w)
		for i, c := range [4]Point{{0, 0}, {m.aspect, 0}, {m.aspect, 1}, {0, 1}} {
			p := m.picture(c)
			if math.Hypot(p.X-w[i].X, p.Y-w[i].Y) > 1e-6 {
				t.Fatalf("corner %d: %v is not %v", i, p, w[i])
			}
		}
		// Lines stay lines: the middle of a diagonal's picture lies on the picture's diagonal.
		p := m.picture(Point{m.aspect / 2, 0.5})
		cross := (w[2].X-w[0].X)*(p.Y-w[0].Y) - (w[2].Y-w[0].Y)*(p.X-w[0].X)
		if math.Abs(cross) > 1e-5 {
			t.Fatalf("the middle is off the diagonal by %g", cross)
		}
	})
}

func TestABrightnessBetweenPixels(t *testing.T) {
	f := Frame{2, 2, []byte{0, 100, 100, 200}}
	for _, c := range []struct {
		at   Point
		want float32
	}{{Point{0.5, 0.5}, 0}, {Point{1, 1}, 100}, {Point{1, 0.5}, 50}, {Point{-5, -5}, 0}, {Point{9, 9}, 200}} {
		one := grid{raster: raster{w: 1, h: 1}, step: 1, places: []spot{{x: float32(c.at.X), y: float32(c.at.Y)}}}
		if got := one.look(f, warp{}, make([]float32, 1)).v[0]; math.Abs(float64(got-c.want)) > 0.5 {
			t.Errorf("at %v: %g, not %g", c.at, got, c.want)
		}
	}
}

func TestLuma(t *testing.T) {
	f := Luma(2, 1, []byte{255, 0, 0, 255, 10, 20, 30, 255}, nil)
	if f.Pix[0] != 64 || f.Pix[1] != 20 {
		t.Errorf("%v", f.Pix)
	}
	if Luma(2, 2, make([]byte, 15), nil).whole() {
		t.Error("half a pixel was taken")
	}
}

// TestLumaOfManyPixels holds the words of pixels against its formula.
func TestLumaOfManyPixels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rgba := rapid.SliceOfN(rapid.Byte(), 4, 200).Draw(t, "rgba")
		n := len(rgba) / 4
		rgba = rgba[:4*n]
		for i, got := range Luma(n, 1, rgba, nil).Pix {
			if want := (int(rgba[4*i]) + 2*int(rgba[4*i+1]) + int(rgba[4*i+2]) + 2) / 4; int(got) != want {
				t.Fatalf("pixel %d of %v: %d, not %d", i, rgba, got, want)
			}
		}
	})
}

// TestNoFormIsTwoDigits holds that a glyph stands for one digit at most.
func TestNoFormIsTwoDigits(t *testing.T) {
	of := map[glyph]int{blank: -1, minus: -2}
	for d, fs := range forms {
		for _, f := range fs {
			if other, taken := of[f]; taken {
				t.Errorf("%d and %d share a form", d, other)
			}
			of[f] = d
			if got, ok := digitOf(f); !ok || got != d {
				t.Errorf("a form of %d reads as %d", d, got)
			}
		}
	}
}

func TestParseShown(t *testing.T) {
	r := Reader{places: 2}
	for _, text := range []string{"0.00", "12.34", "-0.05", "9999.99"} {
		s, ok := parseShown(text)
		if !ok || r.textOf(s) != text {
			t.Errorf("%q: %v %v", text, s, ok)
		}
	}
	if s, ok := parseShown("12,5"); !ok || s.places != 1 {
		t.Errorf("a comma: %v %v", s, ok)
	}
	for _, text := range []string{"", ".", "1.", ".5", "1.2.3", "1-2", "1 2", "1234567", "12a", "-", "−1"} {
		if _, ok := parseShown(text); ok {
			t.Errorf("%q was taken", text)
		}
	}
}

func TestTheInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var a [nSegments][nSegments]float64
		for range 5 {
			g := rapid.Uint8Max(127).Draw(t, "g")
			for i := range a {
				for j := range a {
					if g>>i&1 == 1 && g>>j&1 == 1 {
						a[i][j]++
					}
				}
			}
		}
		for i := range a {
			a[i][i] += 0.3
		}
		inv, ok := inverse(a)
		if !ok {
			t.Fatal("none")
		}
		for i := range a {
			for j := range a {
				var x float64
				for k := range a {
					x += a[i][k] * inv[k][j]
				}
				if i == j {
					x--
				}
				if math.Abs(x) > 1e-9 {
					t.Fatalf("row %d column %d is off by %g", i, j, x)
				}
			}
		}
	})
}

// TestANeedlessZeroIsNone: an eight whose middle is lost must not become a leading zero.
func TestANeedlessZeroIsNone(t *testing.T) {
	r := Reader{places: 2, cells: 5, known: forms}
	glyphs := func(text string) (g [maxCells]glyph) {
		for i := range len(text) {
			if c := text[len(text)-1-i]; c != ' ' {
				g[i] = forms[c-'0'][0]
			}
		}
		return g
	}
	for text, want := range map[string]bool{"  312": true, "  012": true, " 1012": true, " 0312": false, "00312": false, "   12": false, "1 312": false} {
		g := glyphs(text)
		if _, ok := r.number(&g); ok != want {
			t.Errorf("%q: %v", text, ok)
		}
	}
}

// TestTheCourse: a number counts after it stood for several frames, and one that came as if a
// segment had gone much later.
func TestTheCourse(t *testing.T) {
	var c course
	stands := func(text string, from, ms int64) int64 {
		s, _ := parseShown(text)
		for at := from; at <= from+ms; at += 50 {
			if c.take(text, &s, at, false) == "" {
				return at - from
			}
		}
		return -1
	}
	if d := stands("8.11", 1000, 500); d < equalMs || d > equalMs+50 {
		t.Errorf("the first number counts after %d ms", d)
	}
	if d := stands("3.11", 2000, 500); d != -1 {
		t.Errorf("8 became 3 at once, after %d ms", d)
	}
	if d := stands("3.11", 2550, doubtMs+100); d == -1 {
		t.Error("it never counts")
	}
	if d := stands("5.67", 9000, 500); d == -1 || d > 300 {
		t.Errorf("another weight counts after %d ms", d)
	}
}

// TestWhatIsNoDisplay: noise, an even wall, broken frames and windows give no number and no panic.
func TestWhatIsNoDisplay(t *testing.T) {
	at := moment.UnixMilli(1)
	for _, w := range []Window{{}, {{0, 0}, {1, 0}, {1, 1}, {0, 1}}, {{10, 10}, {10, 90}, {90, 90}, {90, 10}}} {
		te := NewTeacher(w, mass.Gram)
		if why := te.See(Frame{100, 100, make([]byte, 10000)}, at); why != NotADisplay {
			t.Errorf("%v: %q", w, why)
		}
		if _, why := te.Reader(); why == "" {
			t.Errorf("%v gives a reader", w)
		}
	}
	w := Window{{10, 10}, {210, 10}, {210, 80}, {10, 80}}
	te := NewTeacher(w, mass.Gram)
	if why := te.See(Frame{220, 90, make([]byte, 7)}, at); why != NotADisplay {
		t.Errorf("half a frame: %q", why)
	}
	if why := te.See(Frame{220, 90, make([]byte, 220*90)}, at); why != Dark {
		t.Errorf("night: %q", why)
	}
	if why := te.Shown("0.00"); why != Busy {
		t.Errorf("too few frames: %q", why)
	}
	x := uint32(1)
	for _, text := range []string{"0.00", "3.11", "24.68"} {
		for k := range 5 {
			f := Frame{220, 90, make([]byte, 220*90)}
			for i := range f.Pix {
				x = x*1664525 + 1013904223
				f.Pix[i] = byte(x >> 24)
			}
			te.See(f, moment.UnixMilli(int64(1000+50*k)))
		}
		te.Shown(text)
	}
	if _, why := te.Reader(); why == "" {
		t.Error("noise was taken for a display")
	}
}
