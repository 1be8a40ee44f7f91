package simcoin

import (
	"math"
	"testing"
)

// TestStandShowsWhatAScenesCameraSees: far above the same coin, both cameras see the same light.
func TestStandShowsWhatAScenesCameraSees(t *testing.T) {
	metal := White
	metal.Green, metal.Blue = metal.Red, metal.Red // grey, as the stand sees
	c := Coin{Diameter: 24, Thickness: 0.01, Face: Obverse(24, 2).Strike(10), Metal: metal, Tone: 0.5, Dirt: 0.4, Seed: 3}
	const size = 160
	s := Simple(c, size, 0.9, 4)
	s.Coins[0].Turn = 20
	s.Camera.Distance, s.Camera.Noise, s.Camera.Blur = 1e5, 0, 0
	lamp := s.Lamps[0]
	a := s.Render()
	b := Stand{Coin: c, Size: size, Share: 0.9, Turn: 20, Ambient: s.Ambient}.Shoot(1, lamp)
	off, n := 0.0, 0.0
	for y := range size {
		for x := range size {
			if math.Hypot(float64(x)-size/2, float64(y)-size/2) < 0.4*size {
				i := 4*(y*size+x) + 1
				off += math.Abs(float64(a.Pix[i]) - float64(b.Pix[i]))
				n++
			}
		}
	}
	if off/n > 1.5 {
		t.Errorf("%.2f steps of 255 apart", off/n)
	}
}

// TestStandMovesAndTurns: a coin moved by whole pixels is the same picture moved.
func TestStandMovesAndTurns(t *testing.T) {
	s := Stand{Coin: Coin{Diameter: 24, Face: Obverse(24, 2).Strike(10), Metal: Brown}, Size: 120, Share: 0.8}
	lamp := Lamp{From: 30, Up: 40, Strength: 0.8}
	a := s.Shoot(1, lamp)
	s.OffX, s.OffY = 3, -2
	b := s.Shoot(1, lamp)
	for y := 10; y < 110; y++ {
		for x := 10; x < 110; x++ {
			if a.Pix[4*(y*120+x)] != b.Pix[4*((y-2)*120+x+3)] {
				t.Fatalf("at %d %d: %d and %d", x, y, a.Pix[4*(y*120+x)], b.Pix[4*((y-2)*120+x+3)])
			}
		}
	}
	if x, y, r := s.Truth(); x != 63 || y != 58 || r != 48 {
		t.Errorf("truth %v %v %v", x, y, r)
	}
}
