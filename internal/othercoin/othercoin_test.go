package othercoin

import (
	"bytes"
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 1)) }

// plain is a quarter under one lamp, seen from straight above in a small picture.
func plain(st State, azimuth float64) *Scene {
	r := random(3)
	d := NewDesign(3, 24.26)
	c := d.Strike(d.Obverse, d.Reverse, Nickel, st, r)
	return &Scene{
		Coins: []*Coin{c}, Table: Slate, Even: 0.05, Seed: 1, Lamps: []Lamp{Around(azimuth, 0.6, 300, 0, 1)},
		Camera: Camera{Width: 300, Height: 300, Focal: 200 * 240 / 24.26, Distance: 200}, Sensor: Sensor{Full: 1e6},
	}
}

func TestOneSeedOneShot(t *testing.T) {
	shoot := func() *Shot {
		s := Snapshot(7)
		s.Camera.Width, s.Camera.Height, s.Camera.Focal = 200, 150, s.Camera.Focal/5
		return s.Shoot()
	}
	a, b := shoot(), shoot()
	if !bytes.Equal(a.JPEG, b.JPEG) || a.Edge != b.Edge {
		t.Error("the same seed is photographed in two ways")
	}
}

// A photo taken before is the same again, and what is known of it.
func TestAgain(t *testing.T) {
	s := plain(State{Wear: 0.2}, 1)
	s.Camera.Width, s.Camera.Height, s.Camera.Focal = 100, 90, s.Camera.Focal/3
	s.Coins[0].Turn = 0.4
	first := s.Shoot()
	again, err := s.Again(first.JPEG)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(again.Picture.Pix, first.Picture.Pix) || again.Edge != first.Edge || again.Turn != first.Turn || again.Lamps[0] != first.Lamps[0] {
		t.Error("the photo isn't what it was")
	}
	u, v := first.Pixel(3, -4)
	if x, y := again.Pixel(3, -4); x != u || y != v {
		t.Errorf("a place is seen at %g, %g instead of %g, %g", x, y, u, v)
	}
	if _, err := s.Again(first.JPEG[:100]); err == nil {
		t.Error("half a photo is taken for one")
	}
}

// A scene's name changes with whatever is photographed.
func TestName(t *testing.T) {
	s := plain(State{Wear: 0.2}, 1)
	c := s.Coins[0]
	seen := map[string]string{s.Name(): "nothing"}
	if seen[s.Name()] == "" {
		t.Error("one scene has two names")
	}
	for what, change := range map[string]func(){
		"noise":  func() { s.Seed++ },
		"lamp":   func() { s.Lamps[0].X++ },
		"camera": func() { s.Camera.ShiftX = 0.1 },
		"turn":   func() { c.Turn = 1 },
		"height": func() { c.face.z[grid*grid/2] += 1e-6 },
		"dirt":   func() { c.dirt[9] = 0.5 },
		"tone":   func() { c.tone[9]++ },
		"luster": func() { c.flow = 0.5 },
	} {
		change()
		if was := seen[s.Name()]; was != "" {
			t.Errorf("another %s has the name it had before %s", what, was)
		}
		seen[s.Name()] = what
	}
}

// The edge is where the coin's circle is seen, however the camera stands.
func TestEdgeIsTheSeenCircle(t *testing.T) {
	r := random(5)
	for range 20 {
		e := (&Camera{Width: 1000, Height: 750, Focal: 4000, Distance: 150, X: 4, Y: -3, Tilt: 0.2 * r.Float64(), Side: 6 * r.Float64(), Roll: r.Float64()}).ready()
		q := e.ring(2, 1, 1.7, 12)
		s, c := math.Sincos(q.Angle)
		for k := range 12 {
			a := float64(k)
			u, v := e.pixel(vec{2 + 12*math.Cos(a), 1 + 12*math.Sin(a), 1.7})
			x, y := ((u-q.X)*c+(v-q.Y)*s)/q.Long, (-(u-q.X)*s+(v-q.Y)*c)/q.Short
			if d := math.Abs(math.Hypot(x, y)-1) * q.Long; d > 1e-6 {
				t.Fatalf("a point of the circle lies %g pixels off the ellipse %+v", d, q)
			}
		}
		if q.Short > q.Long {
			t.Fatalf("%+v", q)
		}
	}
}

func TestRayAndPixelAgree(t *testing.T) {
	e := (&Camera{Width: 640, Height: 480, Focal: 900, Distance: 120, X: 1, Tilt: 0.15, Side: 1, Roll: 0.4, ShiftX: 0.3}).ready()
	d := e.ray(200.25, 99.5)
	if u, v := e.pixel(e.at.add(d.times(77))); math.Hypot(u-200.25, v-99.5) > 1e-9 {
		t.Errorf("the ray through 200.25, 99.5 is seen at %g, %g", u, v)
	}
}

// From straight above a coin is as wide as its distance says, and its picture ends there.
func TestWidthFromStraightAbove(t *testing.T) {
	s := plain(State{}, 1)
	shot := s.Shoot()
	c := s.Coins[0]
	z := c.Thickness + c.face.height(c.Diameter/2*0.999, 0)
	want := s.Camera.Focal * c.Diameter / 2 / (s.Camera.Distance - z)
	if math.Abs(shot.Edge.Long/want-1) > 1e-6 || math.Abs(shot.Edge.Short/want-1) > 1e-6 || math.Abs(shot.Edge.X-150) > 1e-6 {
		t.Errorf("%+v, not %g around the middle", shot.Edge, want)
	}
	// The table is dark: light begins at the edge.
	w := &world{Scene: s, lamps: s.Lamps, eye: s.Camera.ready()}
	laid := *c
	laid.sin, laid.cos = 0, 1
	w.coins = []*Coin{&laid}
	lit := 0
	for k := range 100 {
		var f surface
		a := 2 * math.Pi * float64(k) / 100
		for _, out := range []float64{-0.5, 0.5} {
			r := want + out
			_, hit := laid.meet(w.eye.at, w.eye.ray(150+r*math.Cos(a), 150+r*math.Sin(a)), math.Inf(1), &f)
			if hit == (out < 0) {
				lit++
			}
		}
	}
	if lit < 198 {
		t.Errorf("%d of 200 rays beside the edge met what they should", lit)
	}
}

// A tilted camera sees the side wall on its own side.
func TestTiltShowsTheWall(t *testing.T) {
	s := plain(State{}, 1)
	s.Camera.Tilt, s.Camera.Side = 0.17, 0 // to the right
	e := s.Camera.ready()
	c := *s.Coins[0]
	c.cos = 1
	var f surface
	edge := e.ring(0, 0, c.Thickness, c.Diameter/2)
	_, right := c.meet(e.at, e.ray(edge.X+edge.Short+1.5, edge.Y), math.Inf(1), &f)
	if !right || f.normal.x < 0.5 {
		t.Errorf("beyond the near edge lies no wall: %v %+v", right, f.normal)
	}
	if _, left := c.meet(e.at, e.ray(edge.X-edge.Short-1.5, edge.Y), math.Inf(1), &f); left {
		t.Error("beyond the far edge lies something")
	}
}

// Slopes toward the lamp are brighter than slopes away from it, on whichever side it stands.
func TestLightComesFromTheLamp(t *testing.T) {
	for k := range 4 {
		azimuth := float64(k)*math.Pi/2 + 0.3
		s := plain(State{Roughness: 0.4}, azimuth)
		shot := s.Shoot()
		if math.Abs(math.Remainder(shot.Lamps[0]-azimuth, 2*math.Pi)) > 0.01 || math.Abs(shot.Heights[0]-0.6) > 0.02 {
			t.Errorf("a lamp at %g, 0.6 is said to stand at %g, %g", azimuth, shot.Lamps[0], shot.Heights[0])
		}
		f := s.Coins[0].face
		toward, away, nt, na := 0.0, 0.0, 0, 0
		for y := -9.0; y < 9; y += 0.05 {
			for x := -9.0; x < 9; x += 0.05 {
				sx, sy := f.slopes(x, y)
				u, v := shot.Pixel(x, y)
				l := float64(shot.Picture.RGBAAt(int(u), int(v)).G)
				switch n := -sx*math.Cos(azimuth) - sy*math.Sin(azimuth); {
				case n > 0.2:
					toward, nt = toward+l, nt+1
				case n < -0.2:
					away, na = away+l, na+1
				}
			}
		}
		if nt < 50 || na < 50 || toward/float64(nt) < 1.3*away/float64(na) {
			t.Errorf("lamp at %g: %g toward it, %g away", azimuth, toward/float64(nt), away/float64(na))
		}
	}
}

func TestDoublingIsWhereItIsSaid(t *testing.T) {
	d := NewDesign(4, 24.26)
	once := d.Strike(d.Obverse, d.Reverse, Nickel, State{}, random(1)).face
	twice := d.Strike(d.Obverse, d.Reverse, Nickel, State{Double: 1, DoubleX: 0.12, Twice: 1}, random(1)).face
	w := d.Obverse.Words[0]
	inside, outside, most := 0, 0, 0.0
	once.each(-11, -11, 11, 11, func(i int, x, y float64) {
		if diff := math.Abs(float64(once.z[i] - twice.z[i])); diff > 0.01 {
			most = max(most, diff)
			off := math.Remainder(math.Atan2(x, -y)-w.Middle, 2*math.Pi) * w.Radius
			if math.Abs(math.Hypot(x, y)-w.Radius) < w.Size/2+0.5 && math.Abs(off) < w.advance()*float64(len(w.Text)+1)/2 {
				inside++
			} else {
				outside++
			}
		}
	})
	if inside < 500 || outside > 0 || most > d.Obverse.tall+1e-3 {
		t.Errorf("%d points differ within the word's box, %d outside, by up to %g", inside, outside, most)
	}
}

// A clash is as deep as asked, only in the field, and mirrored.
func TestClashIsTheOtherSideMirrored(t *testing.T) {
	d := NewDesign(6, 24.26)
	ground := d.Obverse.relief.copied()
	d.Obverse.letter(ground, State{})
	hit := ground.copied()
	d.Obverse.clash(hit, d.Reverse, State{Clash: 0.004, Behind: 0.3})
	other := d.Reverse.relief.copied()
	d.Reverse.letter(other, State{})
	sn, cs := math.Sincos(0.3)
	sunk := 0
	ground.each(-8, -8, 8, 8, func(i int, x, y float64) {
		deep := float64(ground.z[i] - hit.z[i])
		if deep > 0.0040001 || deep < -1e-9 {
			t.Fatalf("%g deep", deep)
		}
		// A point of the other side at u, v lies behind this side's -u, v, turned.
		u, v := -(x*cs + y*sn), -x*sn+y*cs
		if math.Hypot(x, y) < 8 && deep > 0.0035 {
			if sunk++; other.height(u, v) < 0.015 || ground.z[i] > 0.01 {
				t.Fatalf("a dent at %g, %g where nothing hit: %g behind, %g of its own", x, y, other.height(u, v), ground.z[i])
			}
		}
	})
	if sunk < 2000 {
		t.Errorf("only %d points are dented", sunk)
	}
}

func TestWearTakesHeightsOnly(t *testing.T) {
	d := NewDesign(8, 21.21)
	fresh, worn := d.Obverse.relief.copied(), d.Obverse.relief.copied()
	d.Obverse.letter(fresh, State{})
	d.Obverse.letter(worn, State{})
	wear(worn, 0.8)
	fresh.finish()
	worn.finish()
	if worn.top > 0.85*fresh.top {
		t.Errorf("%g of %g mm are left", worn.top, fresh.top)
	}
}

// The lens moves light about, and takes none.
func TestBlurKeepsLight(t *testing.T) {
	for _, blur := range []float64{2.3, 6} {
		light := make([]float32, 3*40*40)
		light[3*(20*40+20)] = 100
		(&Sensor{Blur: blur}).spread(light, 40, 40)
		sum := float32(0)
		for _, v := range light {
			sum += v
		}
		if math.Abs(float64(sum)-100) > 1e-3 || light[3*(20*40+20)] > 10 {
			t.Errorf("blurred by %g, %g of 100 are left, %g of it in the middle", blur, sum, light[3*(20*40+20)])
		}
	}
}

// Noise is the root of the light counted.
func TestNoiseIsThatOfPhotons(t *testing.T) {
	light := make([]float32, 3*128*128)
	for i := range light {
		light[i] = 1
	}
	picture, jpeg := (&Sensor{Full: 1000, Quality: 100}).expose(light, 128, 128, random(2))
	if len(jpeg) == 0 || picture.Bounds() != image.Rect(0, 0, 128, 128) {
		t.Fatal("no picture")
	}
	linear := func(b byte) float64 { return math.Pow((float64(b)/255+0.055)/1.055, 2.4) }
	sum, squares, n := 0.0, 0.0, 0.0
	for i := 0; i < len(picture.Pix); i += 4 {
		v := linear(picture.Pix[i+1])
		sum, squares, n = sum+v, squares+v*v, n+1
	}
	mean := sum / n
	if got, want := math.Sqrt(squares/n-mean*mean), math.Sqrt(mean/1000); got < 0.5*want || got > 1.3*want {
		t.Errorf("noise of %g at %g, %g is the root of what was counted", got, mean, want)
	}
}

// What is meant is whole in the picture, and nothing else is.
func TestASnapshotMeansOneCoin(t *testing.T) {
	for seed := range uint64(3) {
		s := Snapshot(seed)
		e := s.Camera.ready()
		for i, c := range s.Coins {
			q := e.ring(c.X, c.Y, c.Thickness, c.Diameter/2)
			whole := q.X-q.Long > 0 && q.Y-q.Long > 0 && q.X+q.Long < float64(e.Width) && q.Y+q.Long < float64(e.Height)
			if whole != (i == 0) {
				t.Errorf("seed %d: coin %d whole: %v", seed, i, whole)
			}
			for _, o := range s.Coins[:i] {
				if math.Hypot(c.X-o.X, c.Y-o.Y) < c.Diameter-1e-9 {
					t.Errorf("seed %d: coins lie on each other", seed)
				}
			}
		}
	}
}
