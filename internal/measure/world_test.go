package measure_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"panside/internal/measure"
	"panside/internal/picture"
	"panside/internal/rectify"
	"panside/internal/rim"
	"panside/internal/simcoin"
)

// TestStatedUncertaintyCovers measures on rendered coins of 300 to 780 px whose rim was found, tilted
// to ten degrees, by clicks 0.7 px off: a line of 2 mm, a patch of 6 mm², an angle, a clip's share, an
// off-center strike.
func TestStatedUncertaintyCovers(t *testing.T) {
	scenes := 8
	if os.Getenv("PANSIDE_LONG") != "" {
		scenes = 60
	}
	faces := map[float64]*simcoin.Face{}
	for _, d := range []float64{17.9, 21.2, 24.3, 26.5} {
		faces[d] = simcoin.Obverse(d, 1).Strike(12)
	}
	type tally struct{ off, z []float64 }
	all := map[string]*tally{}
	add := func(name string, got measure.Value, want, relative float64) {
		c := all[name]
		if c == nil {
			c = &tally{}
			all[name] = c
		}
		c.off = append(c.off, math.Abs(got.Value-want)/relative)
		c.z = append(c.z, (got.Value-want)/got.U)
	}
	for n := range scenes {
		r := rand.New(rand.NewPCG(uint64(n), 0x3ea5))
		in := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
		d := []float64{17.9, 21.2, 24.3, 26.5}[r.IntN(4)]
		c := simcoin.Coin{Diameter: d, Thickness: in(1.3, 2.1), Face: faces[d], Metal: simcoin.White, Tone: 0.5}
		px := in(300, 780)
		s := simcoin.Simple(c, int(px*1.25), 1/1.25, uint64(n))
		s.Coins[0].Turn = in(0, 360)
		s.Camera.Tilt, s.Camera.TiltTo, s.Camera.Distance = in(0, 10), in(0, 360), in(150, 400)
		s.Lamps[0].From, s.Clutter = in(0, 360), 0.2
		shot := s.Render()
		photo, _ := picture.ShrunkColors(shot.Pix, shot.Width, shot.Height, 1)
		f, why := rim.Find(photo, nil)
		if why != "" || f.Check {
			t.Logf("scene %d: %q %v", n, why, f.Check)
			continue
		}
		truth := shot.Coins[0]
		up, w := rectify.New(f.Ellipse, d, truth.Turn, f.U)
		if w != "" {
			t.Fatal(w)
		}
		ruler := measure.Ruler{On: up}
		click := func(p point) point {
			x, y := truth.InPicture(p.X, p.Y)
			x, y = x+0.7*r.NormFloat64(), y+0.7*r.NormFloat64()
			return up.ToCoin(math.Floor(x)+0.5, math.Floor(y)+0.5)
		}
		for range 24 {
			far, to, lean := d/2*in(0, 0.85), in(0, 2*math.Pi), in(0, 2*math.Pi)
			at := point{X: far * math.Cos(to), Y: far * math.Sin(to)}
			step := func(x, y float64) point {
				return point{X: at.X + x*math.Cos(lean) - y*math.Sin(lean), Y: at.Y + x*math.Sin(lean) + y*math.Cos(lean)}
			}
			l, _ := ruler.Length(click(at), click(step(2, 0)))
			add("2 mm line, mm", l, 2, 1)
			// Twelve corners around a patch of 6 mm²: a regular one of radius ρ has 3ρ².
			var corners []point
			for k := range 12 {
				s, c := math.Sincos(float64(k) * math.Pi / 6)
				corners = append(corners, click(step(math.Sqrt2*c, math.Sqrt2*s)))
			}
			a, why := ruler.Area(corners)
			if why != "" {
				t.Fatal(why)
			}
			add("6 mm² patch, of 1", a, 6, 6)
			g, _ := ruler.Angle(click(step(4, 0)), click(at), click(step(2, 2*math.Sqrt(3))))
			add("60 degrees, degrees", g, 60, 1)
			// A clip cut off straight at 0.7 of the radius, its outline traced far beyond the edge.
			s2, c2 := math.Sincos(to)
			side := func(x, y float64) point { return point{X: (x*c2 - y*s2) * d / 2, Y: (x*s2 + y*c2) * d / 2} }
			share, why := ruler.Share([]point{click(side(0.7, -1)), click(side(1.3, -1)), click(side(1.3, 1)), click(side(0.7, 1))})
			if why != "" {
				t.Fatal(why)
			}
			add("clip, % of the face", share, 100*(math.Acos(0.7)-0.7*math.Sqrt(1-0.49))/math.Pi, 1)
			border := func(deg float64) point {
				s, c := math.Sincos(to + deg*math.Pi/180)
				return point{X: d * (0.1*math.Cos(to) + 0.43*c), Y: d * (0.1*math.Sin(to) + 0.43*s)}
			}
			off, _, why := ruler.OffCenter(click(border(110)), click(border(180)), click(border(250)))
			if why != "" {
				t.Fatal(why)
			}
			add("off center, % of the diameter", off, 10, 1)
		}
	}
	// A tenth above those of the trials, since these clicks are rounded to pixels beside.
	limits := map[string]float64{"2 mm line, mm": 0.034, "6 mm² patch, of 1": 0.0125}
	for name, c := range all {
		slices.Sort(c.off)
		square := 0.0
		for _, z := range c.z {
			square += z * z
		}
		rms := math.Sqrt(square / float64(len(c.z)))
		median := c.off[len(c.off)/2]
		t.Logf("%-30s median error %.4f, p90 %.4f; error over stated uncertainty %.2f (%d)", name, median, c.off[len(c.off)*9/10], rms, len(c.z))
		if limit := limits[name]; limit > 0 && median > limit {
			t.Errorf("%s: median error %.4f, more than %.3f", name, median, limit)
		}
		if rms > 1.3 || rms < 0.4 {
			t.Errorf("%s: the error is %.2f times what is stated", name, rms)
		}
	}
	if len(all["2 mm line, mm"].off) < 24*scenes*3/4 {
		t.Error("too few rims were found")
	}
}
