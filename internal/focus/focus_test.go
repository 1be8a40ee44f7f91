package focus_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/focus"
	"panside/internal/picture"
	"panside/internal/simcoin"
)

// stand is a close-up of a coin's rim and letters, out of focus off a level.
func stand(seed uint64) simcoin.Stand {
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: simcoin.Obverse(24, seed).Strike(20), Metal: simcoin.Brown, Tone: 0.4, Seed: seed}
	return simcoin.Stand{Coin: c, Size: 256, Share: 0.94, Zoom: 1.3, Blur: 0.5, Noise: 0.004, Ambient: 0.25}
}

func see(s simcoin.Stand, seed uint64) picture.Picture {
	shot := s.Shoot(seed, simcoin.Lamp{From: 120, Up: 35, Strength: 0.7})
	p, ok := picture.FromRGBA(shot.Pix, shot.Width, shot.Height)
	if !ok {
		panic("the renderer's picture has another size than it says")
	}
	return p
}

// TestSharpnessFallsWithBlur: each more blurred photo has a lower score, whatever the exposure, and
// noise isn't taken for detail.
func TestSharpnessFallsWithBlur(t *testing.T) {
	last := math.Inf(1)
	for _, blur := range []float64{0.5, 1, 1.5, 2, 3, 4} {
		s := stand(2)
		s.Blur = blur
		p := see(s, 1)
		score := focus.Sharpness(p)
		t.Logf("blur %.1f: %.4f", blur, score)
		if !(score < last) {
			t.Errorf("blur %v: %v, not below %v", blur, score, last)
		}
		last = score
		dim := picture.New(p.W, p.H)
		for i, v := range p.Light {
			dim.Light[i] = v / 3
		}
		if d := focus.Sharpness(dim); math.Abs(d-score) > 0.02*score {
			t.Errorf("blur %v: %v at a third of the light, %v at all of it", blur, d, score)
		}
	}
	r := rand.New(rand.NewPCG(1, 1))
	p := picture.New(128, 128)
	for i := range p.Light {
		p.Light[i] = 0.5 + 0.02*float32(r.NormFloat64())
	}
	noise := focus.Sharpness(p)
	if noise > 0.1 {
		t.Errorf("white noise: %v", noise)
	}
	for name, p := range map[string]picture.Picture{"black": picture.New(64, 64), "small": picture.New(8, 8), "empty": {}} {
		if s := focus.Sharpness(p); s != 0 {
			t.Errorf("%s: %v", name, s)
		}
	}
}

// TestSharpestOfABurst: of a burst with a moving hand, the frame that moved the least.
func TestSharpestOfABurst(t *testing.T) {
	var burst []picture.Picture
	for k, blur := range []float64{2.1, 1.4, 0.6, 1.1, 1.8} {
		s := stand(4)
		s.Blur = blur
		burst = append(burst, see(s, uint64(k)))
	}
	if at, score := focus.Sharpest(burst); at != 2 || score <= 0 {
		t.Errorf("frame %d, %v", at, score)
	}
	if at, _ := focus.Sharpest(nil); at != -1 {
		t.Errorf("of none: %d", at)
	}
}

// snr is how near two pictures are, dB of full scale, within the middle.
func snr(a, b picture.Picture) float64 {
	sum, n := 0.0, 0.0
	for y := 20; y < a.H-20; y++ {
		for x := 20; x < a.W-20; x++ {
			d := float64(a.At(x, y) - b.At(x, y))
			sum += d * d
			n++
		}
	}
	return -10 * math.Log10(sum/n)
}

// TestStackIsSharpAllOver: seven steps with a shaking hand come nearer to the picture that is sharp all
// over than the best step does, by 2 dB or more.
func TestStackIsSharpAllOver(t *testing.T) {
	base := stand(6)
	deep := simcoin.Obverse(24, 6)
	deep.Bust, deep.BustSize = 1, 0.9 // a high bust, its flanks at every level
	base.Face = deep.Strike(20)
	truth := see(base, 99)
	steps := make([]focus.Step, 7)
	still := make([]focus.Step, 7)
	r := rand.New(rand.NewPCG(5, 5))
	best := 0.0
	for k := range steps {
		s := base
		s.Soft, s.Focus = 12, 0.9*float64(k)/6
		still[k].Light = see(s, uint64(k))
		best = math.Max(best, snr(still[k].Light, truth))
		if k != 3 {
			s.OffX, s.OffY = 1.5*r.NormFloat64(), 1.5*r.NormFloat64()
		}
		steps[k].Light = see(s, uint64(k))
	}
	got, why := focus.Stack(steps, nil)
	if why != "" {
		t.Fatal(why)
	}
	ideal, why := focus.Stack(still, nil)
	if why != "" {
		t.Fatal(why)
	}
	t.Logf("best step %.1f dB, stack %.1f dB, of steps that didn't move %.1f dB", best, snr(got.Light, truth), snr(ideal.Light, truth))
	if snr(got.Light, truth) < best+2 {
		t.Errorf("the stack is %.1f dB, the best step %.1f", snr(got.Light, truth), best)
	}
}

// TestStackOfOneScene: steps that are all the same give themselves back, colors too.
func TestStackOfOneScene(t *testing.T) {
	p := see(stand(1), 1)
	red := picture.New(p.W, p.H)
	for i, v := range p.Light {
		red.Light[i] = v / 2
	}
	step := focus.Step{Light: p, Colors: []picture.Picture{red}}
	got, why := focus.Stack([]focus.Step{step, step, step}, nil)
	if why != "" {
		t.Fatal(why)
	}
	for i, v := range got.Light.Light {
		if math.Abs(float64(v-p.Light[i])) > 2e-3 || math.Abs(float64(got.Colors[0].Light[i]-red.Light[i])) > 2e-3 {
			t.Fatalf("pixel %d: %v and %v, want %v and %v", i, v, got.Colors[0].Light[i], p.Light[i], red.Light[i])
		}
	}
}

func TestWhyNot(t *testing.T) {
	p, other := see(stand(1), 1), see(stand(9), 1)
	step := focus.Step{Light: p}
	turned := picture.New(p.W, p.H)
	for i := range turned.Light {
		turned.Light[i] = other.Light[len(other.Light)-1-i]
	}
	for name, c := range map[string]struct {
		steps []focus.Step
		want  focus.Why
	}{
		"one":           {[]focus.Step{step}, focus.TooFew},
		"sizes":         {[]focus.Step{step, {Light: picture.New(99, 99)}}, focus.Sizes},
		"colors":        {[]focus.Step{step, {Light: p, Colors: []picture.Picture{p}}}, focus.Sizes},
		"another scene": {[]focus.Step{step, {Light: turned}}, focus.Slipped},
	} {
		if _, why := focus.Stack(c.steps, nil); why != c.want {
			t.Errorf("%s: %q, want %q", name, why, c.want)
		}
	}
	if _, why := focus.Stack([]focus.Step{step, step}, func(float64) bool { return false }); why != focus.Stopped {
		t.Errorf("stopped: %q", why)
	}
}

// BenchmarkStack of seven steps of 1 megapixel, against a bare pass over them.
func BenchmarkStack(b *testing.B) {
	s := stand(3)
	s.Size = 1000
	p := see(s, 1)
	steps := make([]focus.Step, 7)
	for i := range steps {
		steps[i].Light = p
	}
	b.Run("bare", func(b *testing.B) {
		for b.Loop() {
			for _, s := range steps {
				s.Light.Shrink(1)
			}
		}
	})
	b.Run("stack", func(b *testing.B) {
		for b.Loop() {
			focus.Stack(steps, nil)
		}
	})
	b.Run("sharpness", func(b *testing.B) {
		for b.Loop() {
			focus.Sharpness(p)
		}
	})
}
