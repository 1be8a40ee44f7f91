package simcoin

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// The ellipse of the truth goes through where the pinhole puts the edge's points.
func TestEdgeIsWhereThePointsFall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Placed{
			Coin: Coin{Diameter: rapid.Float64Range(10, 40).Draw(t, "d"), Thickness: rapid.Float64Range(0.8, 3).Draw(t, "thick")},
			X:    rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y"),
			Turn: rapid.Float64Range(-180, 180).Draw(t, "turn"),
		}
		c := Camera{Width: 1000, Height: 800, PxPerMM: 10, Tilt: rapid.Float64Range(0, 30).Draw(t, "tilt"), TiltTo: rapid.Float64Range(0, 360).Draw(t, "to")}
		v := c.view()
		truth := v.truth(p)
		e := truth.Edge
		sin, cos := math.Sincos(-e.Turn * math.Pi / 180)
		for deg := 0.0; deg < 360; deg += 15 {
			dx, dy := direction(deg)
			px, py := truth.InPicture(dx*p.Diameter/2, dy*p.Diameter/2)
			a, b := (px-e.X)*cos+(py-e.Y)*sin, -(px-e.X)*sin+(py-e.Y)*cos
			if off := math.Hypot(a/e.A, b/e.B) - 1; math.Abs(off) > 1e-6 {
				t.Fatalf("%v degrees: %v off %+v", deg, off, e)
			}
			// A ray through that pixel meets the edge again.
			x, y := v.meets(v.ray(px, py), p.Thickness)
			if off := math.Hypot(x-p.X, y-p.Y) - p.Diameter/2; math.Abs(off) > 1e-9 {
				t.Fatalf("the ray misses the edge by %v mm", off)
			}
		}
		if e.B > e.A {
			t.Fatalf("the axes are swapped: %+v", e)
		}
	})
}

func small(seed uint64) Scene {
	s := Simple(Coin{Diameter: 20, Thickness: 1.5, Face: Obverse(20, seed).Strike(15), Metal: White}, 160, 0.7, seed)
	s.Camera.Noise = 0
	return s
}

func TestSameSeedSamePicture(t *testing.T) {
	a, b, c := small(3).Render(), small(3).Render(), small(4).Render()
	if !bytes.Equal(a.Pix, b.Pix) {
		t.Error("one seed gave two pictures")
	}
	if bytes.Equal(a.Pix, c.Pix) {
		t.Error("two seeds gave one picture")
	}
	if len(a.Pix) != 4*160*160 {
		t.Errorf("%d bytes", len(a.Pix))
	}
}

// grey is a pixel's green.
func grey(s Shot, x, y float64) int { return int(s.Pix[4*(int(y)*s.Width+int(x))+1]) }

// The shadow on the table falls away from the lamp, and the flanks of the rim that face it are
// brighter.
func TestLampSide(t *testing.T) {
	for _, from := range []float64{0, 90, 180, 270} {
		s := small(1)
		s.Ground, s.Coins[0].Face = Paper, Design{Diameter: 20, Rim: 1, RimHeight: 0.2}.Strike(15)
		s.Coins[0].Metal.Gloss = 0
		s.Lamps = []Lamp{{From: from, Up: 35, Strength: 0.8}}
		shot := s.Render()
		e := shot.Coins[0].Edge
		dx, dy := direction(from)
		r := e.A + 0.8*shot.Coins[0].PxPerMM
		if lit, dark := grey(shot, e.X+dx*r, e.Y+dy*r), grey(shot, e.X-dx*r, e.Y-dy*r); lit < dark+40 {
			t.Errorf("lamp at %v: table %d on its side, %d on the other", from, lit, dark)
		}
		// The rim's inner flank faces the lamp on the far side.
		flank := (20.0/2 - 1) * shot.Coins[0].PxPerMM
		if far, near := grey(shot, e.X-dx*flank, e.Y-dy*flank), grey(shot, e.X+dx*flank, e.Y+dy*flank); far < near+10 {
			t.Errorf("lamp at %v: flank %d far, %d near", from, far, near)
		}
	}
}

// A doubled word raises what was field beside its strokes; a clash sinks the field and nothing
// else, mirrored.
func TestDoubledAndClashed(t *testing.T) {
	d := Design{Diameter: 20, Stroke: 0.25, WordHeight: 0.09, Words: []Word{{Text: "I", Size: 2, X: 4}}}
	plain := d.Strike(40)
	d.Words[0].DoubledX = 0.3
	double := d.Strike(40)
	if plain.HeightAt(4.3, 0) != 0 || math.Abs(double.HeightAt(4.3, 0)-0.072) > 1e-3 || math.Abs(double.HeightAt(4, 0)-0.09) > 1e-3 {
		t.Errorf("beside the stroke %v, doubled %v", plain.HeightAt(4.3, 0), double.HeightAt(4.3, 0))
	}
	clashed := Design{Diameter: 20}.Strike(40)
	clashed.Clash(plain, 0.01, 0)
	if math.Abs(clashed.HeightAt(-4, 0)+0.01) > 1e-3 || clashed.HeightAt(4, 0) != 0 {
		t.Errorf("clash: %v mirrored, %v in place", clashed.HeightAt(-4, 0), clashed.HeightAt(4, 0))
	}
	own := plain.Copy()
	own.Clash(plain, 0.01, 180)
	if got := own.HeightAt(4, 0); math.Abs(got-0.09) > 1e-3 {
		t.Errorf("the clash cut into the own design: %v", got)
	}
}

func TestWearTakesOnlyDown(t *testing.T) {
	f := Obverse(20, 2).Strike(20)
	top := func(f *Face) (v float32) {
		for _, h := range f.Height {
			v = max(v, h)
		}
		return v
	}
	worn := f.Copy()
	worn.Wear(1)
	if ratio := top(worn) / top(f); ratio < 0.1 || ratio > 0.3 {
		t.Errorf("all worn: %v of the relief", ratio)
	}
	scratched := f.Copy()
	scratched.Scratch(20, rand.New(rand.NewPCG(1, 1)))
	changed := 0
	for i := range f.Height {
		if scratched.Height[i] > f.Height[i] {
			t.Fatal("a scratch raised the metal")
		} else if scratched.Height[i] < f.Height[i] {
			changed++
		}
	}
	if changed == 0 {
		t.Error("no scratch")
	}
}

// Noise has the size that was asked for, where the light is 1.
func TestNoise(t *testing.T) {
	c := Camera{Width: 200, Height: 200, Noise: 0.02}
	light := [3][]float32{}
	for k := range light {
		light[k] = make([]float32, 200*200)
		for i := range light[k] {
			light[k][i] = 0.25
		}
	}
	pix := c.developed(light, rand.New(rand.NewPCG(1, 1)))
	sum, square := 0.0, 0.0
	for i := 0; i < len(pix); i += 4 {
		v := math.Pow((float64(pix[i])/255+0.055)/1.055, 2.4)
		sum, square = sum+v, square+v*v
	}
	n := float64(len(pix) / 4)
	if mean, sd := sum/n, math.Sqrt(square/n-sum*sum/n/n); math.Abs(mean-0.25) > 2e-3 || math.Abs(sd-0.01) > 5e-4 {
		t.Errorf("mean %v, deviation %v", mean, sd)
	}
}

func TestJPEG(t *testing.T) {
	shot := small(2).Render()
	back := shot.JPEG(90)
	most := 0
	for i := range shot.Pix {
		most = max(most, int(shot.Pix[i])-int(back.Pix[i]), int(back.Pix[i])-int(shot.Pix[i]))
	}
	if most == 0 || most > 60 || len(back.Pix) != len(shot.Pix) {
		t.Errorf("a JPEG changed bytes by up to %d", most)
	}
}
