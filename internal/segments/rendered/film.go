package rendered

import (
	"math"

	"panside/internal/segments"
)

// film is what changes from frame to frame, but for the display itself.
type film struct {
	walk    [3]float64 // of the hand: right, down, roll; each −1 to 1 or so
	drift   float64
	breath  float64
	dim     float64
	settled bool    // the teaching is over
	gain    float64 // of the exposure; 0 is 1
	edge    float64 // where a shadow's edge stands, as a share of the width
	phase   float64 // of the bands
	was     []bool
	curve   [1025]float32
}

// Dim darkens all by a share, as a hand over the lamp does, from the next frame on.
func (s *Scene) Dim(share float64) { s.dim = share }

// Hand is what lies before the display: a disc of that place and size, in digit heights; none
// with a radius of 0.
type Hand struct{ X, Y, R float64 }

// Frame draws what shows at a time in seconds, which only grows; the segments follow with their
// lag. moved is how far the phone has moved, in pixels.
func (s *Scene) Frame(sh Shown, at float64, hand Hand, moved float64) segments.Frame {
	l := s.Look
	dt := at - s.last
	s.last = at
	s.light(sh, dt)
	pix := s.pix
	copy(pix, s.soft)
	for _, p := range s.cover {
		k := l.Ghost + (1-l.Ghost)*s.level[p.shape]
		if l.Band > 0 {
			row := float64(int(p.pixel) / l.FrameW)
			k *= 1 - l.Band*(0.5+0.5*math.Sin(2*math.Pi*(row/l.BandRows+s.phase)))
		}
		pix[p.pixel] += float32(k) * p.share
	}
	if hand.R > 0 {
		hx, hy := s.toPicture(hand.X, hand.Y)
		for p := range pix {
			if math.Hypot(float64(p%l.FrameW)-hx, float64(p/l.FrameW)-hy) < hand.R*l.Zoom {
				pix[p] = 0.45
			}
		}
	}
	s.shadow(pix)
	s.wander(dt)
	out := segments.Frame{Width: l.FrameW, Height: l.FrameH, Pix: make([]byte, len(pix))}
	s.develop(&out, moved)
	if l.Blocks > 0 {
		blocks(&out, l.Blocks)
	}
	return out
}

// light lets the segments follow what shows.
func (s *Scene) light(sh Shown, dt float64) {
	follow := 1 - math.Exp(-dt/max(s.Lag, 1e-3))
	fade := follow
	if s.Fall > 0 {
		fade = 1 - math.Exp(-dt/max(s.Lag*s.Fall, 1e-3))
	}
	on := s.lit(sh)
	share := 1.0
	if s.Blend > 0 && s.rng.Float64() < s.Blend {
		share = s.rng.Float64() // the state changed while the shutter was open
	}
	for i := range on {
		to := boolTo(on[i])
		if s.was == nil {
			s.level[i] = to // it has been on for long
		}
		if s.was != nil && s.was[i] != on[i] {
			to = share*to + (1-share)*boolTo(s.was[i])
		}
		by := follow
		if to < s.level[i] {
			by = fade
		}
		s.level[i] += (to - s.level[i]) * by
	}
	s.was = on
}

// wander moves the hand, the exposure and the lens on.
func (s *Scene) wander(dt float64) {
	keep := math.Exp(-dt / 0.5)
	kick := math.Sqrt(1 - keep*keep)
	for k := range s.walk {
		s.walk[k] = keep*s.walk[k] + kick*s.rng.NormFloat64()
	}
	slow := math.Exp(-dt / 2)
	s.drift = slow*s.drift + math.Sqrt(1-slow*slow)*s.rng.NormFloat64()
	s.breath += dt
	s.phase = math.Mod(s.phase+7.3*dt, 1)
}

// develop makes the picture of light: moved, turned and scaled a little, by the tone curve, with
// noise.
func (s *Scene) develop(out *segments.Frame, moved float64) {
	l := s.Look
	dx := s.Shake*s.rng.NormFloat64() + moved + l.Walk*s.walk[0]
	dy := s.Shake*s.rng.NormFloat64() + moved/2 + l.Walk*s.walk[1]
	scale := 1 + l.Breath*math.Sin(2*math.Pi*s.breath/1.7)
	roll := l.Roll * s.walk[2]
	if s.settled {
		dx, dy, scale, roll = dx+l.Slip, dy-l.Slip/2, scale+l.Grow, roll+l.Twist
	}
	gain := float32((1 + l.Drift*s.drift) * (1 - s.dim) * 1024 / 1.1)
	if l.Shiver > 0 {
		gain *= float32(1 + l.Shiver*s.rng.NormFloat64())
	}
	if s.gain > 0 {
		gain *= float32(s.gain)
	}
	if s.curve[1024] == 0 {
		s.setCurve()
	}
	cx, cy := float64(l.FrameW)/2, float64(l.FrameH)/2
	ca, sa := math.Cos(roll)/scale, math.Sin(roll)/scale
	grain := s.rng.IntN(len(s.noise))
	w, h := l.FrameW, l.FrameH
	pix := s.pix
	for j := range h {
		for i := range w {
			x, y := float64(i)-cx-dx, float64(j)-cy-dy
			x, y = cx+ca*x+sa*y, cy-sa*x+ca*y
			x, y = min(max(x, 0), float64(w)-1.001), min(max(y, 0), float64(h)-1.001)
			a, b := int(x), int(y)
			u, v := float32(x-float64(a)), float32(y-float64(b))
			k := b*w + a
			p, q := pix[k]+u*(pix[k+1]-pix[k]), pix[k+w]+u*(pix[k+w+1]-pix[k+w])
			e := int((p + v*(q-p)) * gain)
			if grain++; grain >= len(s.noise) {
				grain = 0
			}
			out.Pix[j*w+i] = byte(min(max(s.curve[min(max(e, 0), 1024)]+s.noise[grain], 0), 255))
		}
	}
}

func (s *Scene) setCurve() {
	c := s.Curve
	if c == 0 {
		c = 1
	}
	for k := range s.curve {
		s.curve[k] = float32(250 * math.Pow(1.1*float64(k)/1024, c))
	}
}

// wave are the eight cosines of the blocks.
var wave = func() (c [8][8]float32) {
	for k := range c {
		for n := range c[k] {
			c[k][n] = float32(0.5 * math.Cos(math.Pi*(float64(n)+0.5)*float64(k)/8))
			if k == 0 {
				c[k][n] = float32(math.Sqrt(0.125))
			}
		}
	}
	return c
}()

// blocks rounds the cosines of blocks of eight by eight pixels, the finer the coarser, as films are
// packed.
func blocks(f *segments.Frame, step float64) {
	var in, mid [8][8]float32
	for y := 0; y+8 <= f.Height; y += 8 {
		for x := 0; x+8 <= f.Width; x += 8 {
			for j := range 8 {
				for i := range 8 {
					in[j][i] = float32(f.Pix[(y+j)*f.Width+x+i])
				}
			}
			turn(&in, &mid, false)
			turn(&mid, &in, false)
			for j := range 8 {
				for i := range 8 {
					q := float32(step * (2 + 1.5*float64(i+j)))
					in[j][i] = q * float32(math.Round(float64(in[j][i]/q)))
				}
			}
			turn(&in, &mid, true)
			turn(&mid, &in, true)
			for j := range 8 {
				for i := range 8 {
					f.Pix[(y+j)*f.Width+x+i] = byte(min(max(in[j][i]+0.5, 0), 255))
				}
			}
		}
	}
}

// turn transforms the rows and lays them down as columns.
func turn(in, out *[8][8]float32, back bool) {
	for j := range 8 {
		for k := range 8 {
			var sum float32
			for n := range 8 {
				if back {
					sum += wave[n][k] * in[j][n]
				} else {
					sum += wave[k][n] * in[j][n]
				}
			}
			out[k][j] = sum
		}
	}
}
