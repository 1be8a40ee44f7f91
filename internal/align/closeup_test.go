package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/align"
	"panside/internal/picture"
	"panside/internal/simcoin"
)

// closeUp photographs a part of a coin, x and y mm from its middle.
func closeUp(d simcoin.Design, seed uint64, turn, lamp, zoom, x, y float64) picture.Picture {
	s, _ := stand(d, 320, seed, turn)
	s.Zoom = zoom
	per := zoom * s.Share * float64(s.Size) / s.Diameter
	sn, c := math.Sincos(turn * math.Pi / 180)
	s.OffX, s.OffY = -(x*c+y*sn)*per, -(-x*sn+y*c)*per
	return see(s, seed+500, lamp, 35)
}

// TestFindFindsCloseUps: words of a coin under a microscope, on the coin's own whole picture; the lamp
// stands 0 or 60 degrees apart. What is found lies within 0.25 mm and 2 degrees; what isn't, says so.
func TestFindFindsCloseUps(t *testing.T) {
	n := 3
	if long() {
		n = 40
	}
	found := 0
	for i := range n {
		seed := uint64(i)
		r := rand.New(rand.NewPCG(seed, 19))
		d := kind(seed, i%2 == 1)
		x, y := d.Words[i%2].Middle()
		x, y = 0.88*x, 0.88*y
		turn, lamp, zoom := 360*r.Float64(), 360*r.Float64(), 2+2*r.Float64()
		whole := shot(d, 640, 2*seed, 0, lamp)
		c := closeUp(d, 2*seed, turn, lamp+turn+60*float64(i/2%2), zoom, x, y)
		p, why := align.Find(c, whole, 0, 0, nil)
		if why != "" {
			t.Logf("%d: %s, agrees by %.2f", i, why, p.Agree)
			continue
		}
		found++
		px, py := p.Map.Of(160, 160)
		off := math.Hypot((px-whole.X)/whole.R*12-x, (py-whole.Y)/whole.R*12-y)
		if off > 0.25 || offBy(p.Degrees, turn) > 2 || math.Abs(p.Scale/(zoom/2)-1) > 0.03 {
			t.Errorf("%d: off by %.2f mm and %.2f degrees, scale %.3f of %.3f, agrees by %.2f", i, off, offBy(p.Degrees, turn), p.Scale, zoom/2, p.Agree)
		}
	}
	t.Logf("found %d of %d", found, n)
	if 3*found < 2*n {
		t.Errorf("found %d of %d", found, n)
	}
}

// TestFindRefusesOthers: close-ups of other coins.
func TestFindRefusesOthers(t *testing.T) {
	n := 1
	if long() {
		n = 20
	}
	for i := range n {
		seed := uint64(i)
		whole, d := shot(kind(seed, false), 640, 2*seed, 0, 40), kind(seed+50, true)
		x, y := d.Words[i%2].Middle()
		if p, why := align.Find(closeUp(d, seed, 30, 60, 2.5, 0.85*x, 0.85*y), whole, 0.3, 0.5, nil); why == "" {
			t.Errorf("%d: another coin's close-up was found: %+v", i, p)
		}
	}
}
