package relief_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"panside/internal/picture"
	"panside/internal/relief"
	"panside/internal/simcoin"
)

func see(s simcoin.Shot) picture.Picture {
	p, ok := picture.FromRGBA(s.Pix, s.Width, s.Height)
	if !ok {
		panic("the renderer's picture has another size than it says")
	}
	return p
}

// stand is a coin of 24 mm on a stand, dull unless said otherwise.
func stand(size int, seed uint64) simcoin.Stand {
	f := simcoin.Obverse(24, seed).Strike(math.Min(40, float64(size)/24))
	metal := simcoin.Brown
	metal.Gloss = 0
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: f, Metal: metal, Seed: seed}
	return simcoin.Stand{Coin: c, Size: size, Share: 0.94, Blur: 0.7, Noise: 0.006}
}

func disc(s simcoin.Stand) relief.Disc {
	s.OffX, s.OffY = 0, 0
	x, y, r := s.Truth()
	return relief.Disc{X: x, Y: y, R: r}
}

// around photographs with n lamps around; change may move stand and lamp of each.
func around(s simcoin.Stand, n int, up float64, change func(k int, s *simcoin.Stand, l *simcoin.Lamp)) []relief.Frame {
	var out []relief.Frame
	for k := range n {
		side := 360*float64(k)/float64(n) + 20
		st, l := s, simcoin.Lamp{From: side, Up: up, Strength: 0.9}
		if change != nil {
			change(k, &st, &l)
		}
		out = append(out, relief.Frame{Picture: see(st.Shoot(uint64(k)+100*s.Seed, l)), Lamp: relief.Lamp{Side: side, Up: up}})
	}
	return out
}

// against compares with the slopes of the heights the coin was rendered from, as it lay in the first
// frame: their correlation, and the factor that ours are to be multiplied by, within the rim.
func against(first simcoin.Stand, r relief.Relief) (agree, factor float64) {
	x0, y0, rad := first.Truth()
	per := rad / (first.Diameter / 2)
	sn, c := math.Sincos(first.Turn * math.Pi / 180)
	height := func(px, py float64) float64 {
		x, y := (px-x0)/per, (py-y0)/per
		return first.Face.HeightAt(x*c-y*sn, x*sn+y*c) * per
	}
	var tt, oo, to float64
	for y := range r.H {
		for x := range r.W {
			px, py := float64(x)+0.5, float64(y)+0.5
			if math.Hypot(px-x0, py-y0) > 0.85*rad {
				continue
			}
			// The lens blurs over about a pixel to each side.
			p, q := (height(px+1, py)-height(px-1, py))/2, (height(px, py+1)-height(px, py-1))/2
			a, b := float64(r.Right.Light[y*r.W+x]), float64(r.Down.Light[y*r.W+x])
			tt += p*p + q*q
			oo += a*a + b*b
			to += a*p + b*q
		}
	}
	return to / math.Sqrt(tt*oo), to / oo
}

// TestBrokenAssumptions has one scene for each thing that a real coin does and the model doesn't, with
// what it costs: how well the slopes agree with the true ones.
func TestBrokenAssumptions(t *testing.T) {
	base := stand(400, 3)
	for _, c := range []struct {
		name   string
		n      int
		up     float64
		least  float64
		change func(k int, s *simcoin.Stand, l *simcoin.Lamp)
	}{
		{"none", 4, 35, 0.97, nil},
		{"cast shadows", 4, 25, 0.96, func(_ int, s *simcoin.Stand, _ *simcoin.Lamp) { s.Shadows = true }},
		{"tone and dirt", 4, 35, 0.96, func(_ int, s *simcoin.Stand, _ *simcoin.Lamp) { s.Tone, s.Dirt = 0.8, 0.5 }},
		{"gloss", 4, 35, 0.95, func(_ int, s *simcoin.Stand, _ *simcoin.Lamp) { s.Metal = simcoin.White }},
		{"gloss, eight lamps", 8, 35, 0.965, func(_ int, s *simcoin.Stand, _ *simcoin.Lamp) { s.Metal = simcoin.White }},
		{"light of the room", 4, 35, 0.965, func(_ int, s *simcoin.Stand, _ *simcoin.Lamp) { s.Ambient = 0.25 }},
		{"lamps off by 7 degrees", 4, 35, 0.94, func(k int, _ *simcoin.Stand, l *simcoin.Lamp) { l.From += []float64{7, -7, 5, -6}[k] }},
		{"a near lamp", 4, 35, 0.965, func(_ int, _ *simcoin.Stand, l *simcoin.Lamp) { l.Near = 60 }},
		{"exposure of its own", 4, 35, 0.965, func(k int, _ *simcoin.Stand, l *simcoin.Lamp) { l.Strength = 0.5 + 0.15*float64(k) }},
	} {
		r, why := relief.Of(around(base, c.n, c.up, c.change), disc(base), nil)
		if why != "" {
			t.Errorf("%s: %s", c.name, why)
			continue
		}
		agree, factor := against(base, r)
		t.Logf("%-24s agrees by %.3f, slopes × %.2f, apart %.2f px, doubted %.2f", c.name, agree, factor, r.Apart, r.Doubt)
		if agree < c.least {
			t.Errorf("%s: agrees by %.3f, want %.3f", c.name, agree, c.least)
		}
	}
}

// TestSlippedFramesAreFound: frames moved by px and turned by tenths of a degree are laid over each
// other within half a pixel, up to a twentieth of the picture; those that can't be are refused.
func TestSlippedFramesAreFound(t *testing.T) {
	base := stand(400, 3)
	for _, far := range []float64{1, 4} {
		var first simcoin.Stand
		var want []relief.Slip
		frames := around(base, 4, 35, func(k int, s *simcoin.Stand, l *simcoin.Lamp) {
			r := rand.New(rand.NewPCG(uint64(k), 3))
			s.OffX, s.OffY, s.Turn = far*r.NormFloat64(), far*r.NormFloat64(), 0.3*r.NormFloat64()
			l.From += 14*r.Float64() - 7
			if k == 0 {
				first = *s
			}
			want = append(want, relief.Slip{X: s.OffX - first.OffX, Y: s.OffY - first.OffY, Degrees: s.Turn - first.Turn})
		})
		r, why := relief.Of(frames, disc(base), nil)
		if why != "" {
			t.Errorf("%v px: %s, apart %.2f, %+v", far, why, r.Apart, r.Slip)
			continue
		}
		for k, s := range r.Slip {
			if math.Hypot(s.X-want[k].X, s.Y-want[k].Y) > 0.5 || math.Abs(s.Degrees-want[k].Degrees) > 0.05 {
				t.Errorf("%v px, frame %d: %+v, want %+v", far, k, s, want[k])
			}
		}
		if agree, _ := against(first, r); agree < 0.94 {
			t.Errorf("%v px: agrees by %.3f", far, agree)
		}
	}
	// Another coin in one frame.
	frames, other := around(base, 4, 35, nil), stand(400, 8)
	other.Turn = 60
	frames[2].Picture = around(other, 4, 35, nil)[2].Picture
	if r, why := relief.Of(frames, disc(base), nil); why != relief.Slipped {
		t.Errorf("another coin in one frame: %q, apart %.2f", why, r.Apart)
	}
}

// TestRegistrationHoldsItsLimit: each frame is warped by a bow that no move undoes. One px of it leaves
// places 0.4 px apart and passes; two px leave 0.8 px, more than the limit, and are refused.
func TestRegistrationHoldsItsLimit(t *testing.T) {
	base := stand(400, 3)
	for bow, refused := range map[float64]bool{0.3: false, 1: false, 2: true, 6: true} {
		frames := bent(around(base, 4, 35, nil), bow)
		r, why := relief.Of(frames, disc(base), nil)
		t.Logf("bow %v: apart %.2f %s", bow, r.Apart, why)
		if refused != (why == relief.Slipped) {
			t.Errorf("bow of %v px: %q, apart %.2f", bow, why, r.Apart)
		}
	}
}

// bent warps each frame by a bow of so many px to a side of its own.
func bent(frames []relief.Frame, bow float64) []relief.Frame {
	out := slices.Clone(frames)
	for k := range out {
		p, to := out[k].Picture, picture.New(400, 400)
		sn, c := math.Sincos(2 * float64(k))
		for y := range 400 {
			for x := range 400 {
				u, v := float64(x)/200-1, float64(y)/200-1
				to.Light[y*400+x] = p.Sample(float64(x)+0.5+bow*c*(2*u*u-v), float64(y)+0.5+bow*sn*(2*v*v-u*u))
			}
		}
		out[k].Picture = to
	}
	return out
}

// TestHeightsOfAKnownHill: slopes of a hill known in closed form give its heights, but for the mean.
func TestHeightsOfAKnownHill(t *testing.T) {
	const n, wide = 200, 18.0
	hill := func(x, y float64) float64 {
		return 6 * math.Exp(-((x-90)*(x-90)+(y-110)*(y-110))/(2*wide*wide))
	}
	r := relief.Relief{W: n, H: n, Right: picture.New(n, n), Down: picture.New(n, n)}
	for y := range n {
		for x := range n {
			px, py := float64(x)+0.5, float64(y)+0.5
			r.Right.Light[y*n+x] = float32(-(px - 90) / (wide * wide) * hill(px, py))
			r.Down.Light[y*n+x] = float32(-(py - 110) / (wide * wide) * hill(px, py))
		}
	}
	h := r.Heights()
	rise := float64(h.At(90, 110) - h.At(150, 60))
	if want := hill(90.5, 110.5) - hill(150.5, 60.5); math.Abs(rise-want) > 0.03*want {
		t.Errorf("the top stands %.3f over the field, want %.3f", rise, want)
	}
	mean := 0.0
	for _, v := range h.Light {
		mean += float64(v)
	}
	if math.Abs(mean/n/n) > 1e-3 {
		t.Errorf("mean %v", mean/n/n)
	}
}

// TestRelitIsLambert: single slopes by hand: flat, a slope toward the lamp, one away in shadow.
func TestRelitIsLambert(t *testing.T) {
	r := relief.Relief{W: 3, H: 1, Right: picture.New(3, 1), Down: picture.New(3, 1)}
	r.Right.Light[1], r.Right.Light[2] = -1, 2 // falls to the right; rises steeply
	p := r.Relit(relief.Lamp{Side: 0, Up: 45}, 1)
	for i, want := range []float64{math.Sqrt2 / 2, 1, 0} {
		if math.Abs(float64(p.Light[i])-want) > 1e-6 {
			t.Errorf("pixel %d: %v, want %v", i, p.Light[i], want)
		}
	}
	r.Down.Light[0] = 1 // rises downward, so it faces up
	if v := r.Relit(relief.Lamp{Side: 90, Up: 45}, 1).Light[0]; math.Abs(float64(v)-1) > 1e-6 {
		t.Errorf("facing a lamp at the top: %v", v)
	}
}

func TestWhyNot(t *testing.T) {
	base := stand(100, 3)
	good := around(base, 4, 35, nil)
	change := func(f func(f []relief.Frame)) []relief.Frame {
		c := append([]relief.Frame(nil), good...)
		f(c)
		return c
	}
	black, white := picture.New(100, 100), picture.New(100, 100)
	for i := range white.Light {
		white.Light[i] = 1
	}
	for name, c := range map[string]struct {
		frames []relief.Frame
		want   relief.Why
	}{
		"three":            {good[:3], relief.TooFew},
		"seventeen":        {append(append(append(append(append([]relief.Frame(nil), good...), good...), good...), good...), good[0]), relief.TooMany},
		"another size":     {change(func(f []relief.Frame) { f[1].Picture = picture.New(90, 100) }), relief.Sizes},
		"one side":         {change(func(f []relief.Frame) { f[2].Lamp.Side, f[3].Lamp.Side = 30, 100 }), relief.OneSided},
		"two sides":        {change(func(f []relief.Frame) { f[1].Lamp.Side, f[3].Lamp.Side = 20, 200 }), relief.OneSided},
		"from above":       {change(func(f []relief.Frame) { f[1].Lamp.Up = 90 }), relief.OneSided},
		"a side unknown":   {change(func(f []relief.Frame) { f[1].Lamp.Side = math.NaN() }), relief.OneSided},
		"a black frame":    {change(func(f []relief.Frame) { f[1].Picture = black }), relief.Dark},
		"a frame in glare": {change(func(f []relief.Frame) { f[1].Picture = white }), relief.Glare},
	} {
		if _, why := relief.Of(c.frames, disc(base), nil); why != c.want {
			t.Errorf("%s: %q, want %q", name, why, c.want)
		}
	}
	n := 0
	if _, why := relief.Of(good, disc(base), func(float64) bool { n++; return n < 2 }); why != relief.Stopped {
		t.Errorf("stopped: %q", why)
	}
}

// BenchmarkFourFrames of 1 megapixel: laying over, slopes, heights and one new light, each against a
// bare pass over the same frames.
func BenchmarkFourFrames(b *testing.B) {
	s := stand(1000, 3)
	frames := around(s, 4, 35, nil)
	r, why := relief.Of(frames, disc(s), nil)
	if why != "" {
		b.Fatal(why)
	}
	b.Run("bare", func(b *testing.B) {
		for b.Loop() {
			for _, f := range frames {
				f.Picture.Shrink(1)
			}
		}
	})
	b.Run("relief", func(b *testing.B) {
		for b.Loop() {
			relief.Of(frames, disc(s), nil)
		}
	})
	b.Run("heights", func(b *testing.B) {
		for b.Loop() {
			r.Heights()
		}
	})
	b.Run("relit", func(b *testing.B) {
		for b.Loop() {
			r.Relit(relief.Lamp{Side: 100, Up: 30}, 1)
		}
	})
}
