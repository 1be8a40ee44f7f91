package relief_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/relief"
	"panside/internal/simcoin"
)

// onDial photographs a coin that is turned by equal steps under a lamp at the top that stands still. A
// hand sets the dial within sd degrees and the paper slips by some pixels; rims are found within a third of
// a per cent. first is the stand of the first photo.
func onDial(base simcoin.Stand, n int, sd float64, seed uint64, change func(k int, s *simcoin.Stand)) (frames []relief.OnDial, first simcoin.Stand) {
	r := rand.New(rand.NewPCG(seed, 2))
	for k := range n {
		s := base
		turn := 360 * float64(k) / float64(n)
		s.Turn = turn + sd*r.NormFloat64()
		s.OffX, s.OffY = 3*r.NormFloat64(), 3*r.NormFloat64()
		if change != nil {
			change(k, &s)
		}
		if k == 0 {
			first = s
		}
		x, y, rad := s.Truth()
		rough := func() float64 { return 0.003 * rad * r.NormFloat64() }
		frames = append(frames, relief.OnDial{
			Picture: see(s.Shoot(uint64(k)+100*seed, simcoin.Lamp{From: 90, Up: 30, Strength: 0.9})),
			On:      relief.Disc{X: x + rough(), Y: y + rough(), R: rad + rough()},
			Turn:    turn,
		})
	}
	return frames, first
}

// byDial goes the whole way: turns found, then the relief.
func byDial(frames []relief.OnDial) (relief.Relief, int, relief.Why) {
	found, astray, why := relief.Turns(frames, nil)
	if why != "" {
		return relief.Relief{}, astray, why
	}
	r, why := relief.Dial(found, relief.Lamp{Side: 90, Up: 30}, nil)
	return r, 0, why
}

// TestDialTurnsBack: the slopes agree with the true ones as with a lamp that is moved, be the dial set to
// three degrees.
func TestDialTurnsBack(t *testing.T) {
	for _, c := range []struct {
		name  string
		n     int
		sd    float64
		least float64
		metal simcoin.Metal
	}{
		{"eight, set exactly", 8, 0, 0.95, simcoin.Brown},
		{"eight, by hand", 8, 2, 0.95, simcoin.Brown},
		{"four, by hand", 4, 2, 0.93, simcoin.Brown},
		{"four, white metal", 4, 2, 0.9, simcoin.White},
	} {
		base := stand(400, 5)
		base.Metal = c.metal
		frames, first := onDial(base, c.n, c.sd, 1, nil)
		r, astray, why := byDial(frames)
		if why != "" {
			t.Errorf("%s: %s of frame %d, apart %.2f", c.name, why, astray, r.Apart)
			continue
		}
		agree, _ := against(first, r)
		t.Logf("%-20s agrees by %.3f, apart %.2f px", c.name, agree, r.Apart)
		if agree < c.least {
			t.Errorf("%s: agrees by %.3f, want %.3f", c.name, agree, c.least)
		}
	}
}

// TestTurnsAreFound within a degree, whatever the dial says up to its limit.
func TestTurnsAreFound(t *testing.T) {
	var truly []float64
	frames, _ := onDial(stand(400, 7), 8, 3, 3, func(_ int, s *simcoin.Stand) { truly = append(truly, s.Turn) })
	found, _, why := relief.Turns(frames, nil)
	if why != "" {
		t.Fatal(why)
	}
	most := 0.0
	for k, f := range found {
		most = math.Max(most, math.Abs(math.Remainder(f.Turn-found[0].Turn-(truly[k]-truly[0]), 360)))
	}
	t.Logf("turns are at most %.2f degrees off", most)
	if most > 1 {
		t.Errorf("%.2f degrees off", most)
	}
}

// TestWrongTurnsAreNamed: a dial that was turned to the wrong mark, or not turned at all, or one frame
// of the coin's other side.
func TestWrongTurnsAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		frame int
		by    float64
	}{"one mark too far": {2, 90}, "not turned": {1, -90}, "the first one": {0, 90}, "between the marks": {3, 20}} {
		frames, _ := onDial(stand(400, 5), 4, 1, 4, func(k int, s *simcoin.Stand) {
			if k == c.frame {
				s.Turn += c.by
			}
		})
		found, astray, why := relief.Turns(frames, nil)
		if why != relief.Astray || astray != c.frame {
			t.Errorf("%s: %q of frame %d", name, why, astray)
			continue
		}
		if off := found[astray].Turn - frames[astray].Turn - c.by; math.Abs(off) > 5 {
			t.Errorf("%s: found %.1f degrees off what it is", name, off)
		}
		// Believed all the same, it makes no relief.
		if c.by != 20 {
			continue
		}
		for k, f := range frames {
			to, first := f.On, frames[0].On
			frames[k].Map = align.Moved(-first.X, -first.Y).Then(align.Turned(f.Turn)).Then(align.Moved(to.X, to.Y))
		}
		if _, why := relief.Dial(frames, relief.Lamp{Side: 90, Up: 30}, nil); why != relief.Slipped {
			t.Errorf("%s, believed: %q", name, why)
		}
	}
	frames, _ := onDial(stand(400, 5), 4, 1, 4, nil)
	other := stand(400, 5)
	other.Face = simcoin.Reverse(24, 5).Strike(16)
	others, _ := onDial(other, 4, 1, 4, nil)
	frames[2].Picture = others[2].Picture
	if _, astray, why := byDial(frames); why != relief.Astray && why != relief.Slipped {
		t.Errorf("the other side: %q of frame %d", why, astray)
	}
}

func TestWhyNoDial(t *testing.T) {
	frames, _ := onDial(stand(100, 5), 4, 0, 1, nil)
	lamp := relief.Lamp{Side: 90, Up: 30}
	if _, why := relief.Dial(nil, lamp, nil); why != relief.TooFew {
		t.Errorf("none: %q", why)
	}
	if _, why := relief.Dial(frames[:3], lamp, nil); why != relief.TooFew {
		t.Errorf("three: %q", why)
	}
	if _, _, why := relief.Turns(frames, func(float64) bool { return false }); why != relief.Stopped {
		t.Errorf("stopped: %q", why)
	}
	same := append([]relief.OnDial(nil), frames...)
	for k := range same {
		same[k].Turn, same[k].Map = 0, align.Identity
	}
	if _, why := relief.Dial(same, lamp, nil); why != relief.OneSided {
		t.Errorf("never turned: %q", why)
	}
	bad := append([]relief.OnDial(nil), frames...)
	bad[1].On = relief.Disc{}
	if _, _, why := relief.Turns(bad, nil); why != relief.Sizes {
		t.Errorf("a frame without a rim: %q", why)
	}
	bad[1].On, bad[1].Picture = frames[1].On, picture.Picture{}
	if _, why := relief.Dial(bad, lamp, nil); why != relief.Sizes {
		t.Errorf("a frame without a picture: %q", why)
	}
}
