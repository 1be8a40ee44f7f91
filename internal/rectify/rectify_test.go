package rectify_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/picture"
	"panside/internal/rectify"
	"panside/internal/rim"
	"panside/internal/simcoin"
)

func anyUpright(t *rapid.T) rectify.Upright {
	a := rapid.Float64Range(50, 2000).Draw(t, "a")
	u, why := rectify.New(rim.Ellipse{
		X: rapid.Float64Range(0, 4000).Draw(t, "x"), Y: rapid.Float64Range(0, 4000).Draw(t, "y"),
		A: a, B: a * rapid.Float64Range(0.9, 1).Draw(t, "ratio"), Turn: rapid.Float64Range(-89, 90).Draw(t, "lean"),
	}, rapid.Float64Range(10, 45).Draw(t, "diameter"), rapid.Float64Range(-180, 180).Draw(t, "turn"), 0.003)
	if why != "" {
		t.Fatal(why)
	}
	return u
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUpright(t)
		p := rectify.Point{X: rapid.Float64Range(-20, 20).Draw(t, "px"), Y: rapid.Float64Range(-20, 20).Draw(t, "py")}
		if q := u.ToCoin(u.ToPhoto(p)); math.Hypot(p.X-q.X, p.Y-q.Y) > 1e-9 {
			t.Fatalf("%v came back from the photo as %v", p, q)
		}
		s := rectify.NewSquare(rapid.IntRange(16, 2000).Draw(t, "size"))
		x, y := u.OnSquare(s, p)
		if q := u.FromSquare(s, x, y); math.Hypot(p.X-q.X, p.Y-q.Y) > 1e-9 {
			t.Fatalf("%v came back from the square as %v", p, q)
		}
		// The outline lies at the book's radius.
		if q := u.ToCoin(u.Edge.Outline(rapid.Float64Range(0, 360).Draw(t, "deg"))); math.Abs(math.Hypot(q.X, q.Y)-u.Radius()) > 1e-9 {
			t.Fatalf("the edge lies at %v mm", math.Hypot(q.X, q.Y))
		}
		if none := u.Bent(p, rectify.Factors{}); none != p {
			t.Fatalf("without factors %v went to %v", p, none)
		}
	})
}

func TestRefuses(t *testing.T) {
	good := rim.Ellipse{X: 10, Y: 10, A: 5, B: 4}
	for _, c := range []struct {
		e    rim.Ellipse
		mm   float64
		want rectify.Why
	}{
		{good, 20, ""}, {rim.Ellipse{}, 20, rectify.NoRim}, {rim.Ellipse{A: 1, B: 2}, 20, rectify.NoRim},
		{rim.Ellipse{A: math.Inf(1), B: 2}, 20, rectify.NoRim}, {rim.Ellipse{X: math.NaN(), A: 2, B: 2}, 20, rectify.NoRim},
		{good, 0, rectify.NoDiameter}, {good, 900, rectify.NoDiameter}, {good, math.NaN(), rectify.NoDiameter},
	} {
		if _, why := rectify.New(c.e, c.mm, 0, 0); why != c.want {
			t.Errorf("%+v, %v mm: %q, want %q", c.e, c.mm, why, c.want)
		}
	}
}

// shot is a coin under tilt, turned, with a lump at a known place.
func shot() (simcoin.Shot, rectify.Point) {
	at := rectify.Point{X: 5, Y: -3}
	f := simcoin.Design{Diameter: 24, Rim: 1, RimHeight: 0.1}.Strike(20)
	f.Raise(at.X, at.Y, 1, 0.4)
	s := simcoin.Simple(simcoin.Coin{Diameter: 24, Thickness: 1.5, Face: f, Metal: simcoin.White}, 400, 0.8, 1)
	s.Coins[0].Turn = 70
	s.Camera.Tilt, s.Camera.TiltTo = 9, 30
	s.Lamps = []simcoin.Lamp{{From: 0, Up: 60, Strength: 0.4}, {From: 180, Up: 60, Strength: 0.4}}
	return s.Render(), at
}

// Places of a rendered coin come to where they were designed, within what is stated.
func TestPlacesOfARenderedCoin(t *testing.T) {
	s, _ := shot()
	truth := s.Coins[0]
	u, why := rectify.New(rim.Ellipse(truth.Edge), 24, truth.Turn, 0)
	if why != "" {
		t.Fatal(why)
	}
	for _, p := range []rectify.Point{{}, {X: 5, Y: -3}, {X: -8}, {Y: 11}, {X: 7, Y: 7}} {
		x, y := truth.InPicture(p.X, p.Y)
		got := u.ToCoin(x, y)
		if off := math.Hypot(got.X-p.X, got.Y-p.Y); off > 3*u.Uncertainty(p) {
			t.Errorf("%v came to %v, %.3f mm off with a standard uncertainty of %.3f", p, got, off, u.Uncertainty(p))
		}
	}
	if u.Uncertainty(rectify.Point{}) >= u.Uncertainty(rectify.Point{X: 12}) {
		t.Error("the middle is no surer than the edge")
	}
}

// The upright picture shows the lump where it was struck, and the table beyond the edge.
func TestUprightPicture(t *testing.T) {
	s, at := shot()
	u, _ := rectify.New(rim.Ellipse(s.Coins[0].Edge), 24, s.Coins[0].Turn, 0)
	photo, _ := picture.FromRGBA(s.Pix, s.Width, s.Height)
	for _, size := range []int{120, 500} {
		sq := rectify.NewSquare(size)
		p, why := u.Picture(photo, sq, nil)
		if why != "" || p.W != size || p.H != size {
			t.Fatalf("%q %dx%d", why, p.W, p.H)
		}
		// The lump's flanks face the two lamps and away: the sum of what differs from the field has
		// its middle at the lump.
		field := p.Sample(u.OnSquare(sq, rectify.Point{X: at.X + 2.5, Y: at.Y}))
		var sum, mx, my float64
		for y := range size {
			for x := range size {
				q := u.FromSquare(sq, float64(x)+0.5, float64(y)+0.5)
				if math.Hypot(q.X-at.X, q.Y-at.Y) < 2 {
					w := math.Max(math.Abs(float64(p.At(x, y)-field))-0.02, 0)
					sum, mx, my = sum+w, mx+w*q.X, my+w*q.Y
				}
			}
		}
		if off := math.Hypot(mx/sum-at.X, my/sum-at.Y); !(off < 0.15) {
			t.Errorf("%d px: the lump stands %.2f mm off", size, off)
		}
	}
	// Three channels of one light are that light.
	sq := rectify.NewSquare(60)
	grey, _ := u.Picture(photo, sq, nil)
	colors, _ := u.Colors(picture.Colors{Red: photo, Green: photo, Blue: photo}, sq, nil)
	for i := range grey.Light {
		if grey.Light[i] != colors.Blue.Light[i] {
			t.Fatal("a channel differs")
		}
	}
	if _, why := u.Colors(picture.Colors{Red: photo, Green: photo, Blue: photo}, sq, func(done float64) bool { return done < 0.3 }); why != rectify.Stopped {
		t.Errorf("stopped: %q", why)
	}
}
