// Package simring is the first world of rings: sounds that the ear in internal/ring is
// tuned on. What is measured here holds for this world; another one, by another hand, judges.
//
// What it is made of, with figures that are assumed where no source is named:
//
//   - A coin (strike.go) is a sum of damped sinusoids. Relief and cladding split its modes in two,
//     which beat; the finger's tip damps each mode otherwise, and each time anew.
//   - Wood touches it for 0.3 to 2 ms with a force like half a sine, whose spectrum falls by 12 dB
//     an octave above 1/2T and has holes. The wood's own modes from 150 Hz up knock, and are up to
//     20 dB louder than the coin in the first 20 ms.
//   - A room (room.go) sends the tap back: early reflections, and a tail that dies away.
//   - A telephone's microphone (room.go) has a peak between 7 and 13 kHz, loses what is low and
//     what is highest.
//   - A kitchen (kitchen.go): air and hum, and one of a fan, a refrigerator, running water, and
//     crockery.
//   - What isn't a coin's ring: others.go.
package simring

import (
	"math"
	"math/rand/v2"
)

// Scene is what is rendered.
type Scene struct {
	Rate float64
	Rand *rand.Rand
	// Noise in dB: the tap's power in its first 60 ms, the knock included, over the noise's
	// over the whole band. Above 60: none.
	Noise float64
	// Knock is by how many dB the wood is louder than the coin in the first 20 ms.
	Knock float64
}

// Kind of sound.
type Kind string

// The kinds.
const (
	Coin     Kind = "coin"
	Click    Kind = "click"
	Voice    Kind = "voice"
	Music    Kind = "music"
	TwoCoins Kind = "two-coins"
	Bounce   Kind = "bounce"
	Silence  Kind = "silence"
	Clipping Kind = "clipping"
	Glass    Kind = "glass"
	Crockery Kind = "crockery"
)

// Render gives seconds of sound: taps of the coin of those modes, or what the kind says. other
// are the modes of a second coin.
func (s Scene) Render(kind Kind, modes, other []float64, taps int) []float64 {
	n := int(s.Rate * (0.5 + 0.9*float64(max(taps, 1))))
	x := make([]float64, n)
	const level = 0.25
	switch kind {
	case Silence:
		for i := range x {
			x[i] = 3e-5 * s.Rand.NormFloat64()
		}
		return x
	case Voice:
		s.voice(x)
	case Music:
		s.music(x)
	default:
		s.taps(x, kind, modes, other, max(taps, 1))
		s.room(x)
	}
	ear := s.microphone()
	ear.hear(x)
	scale(x, level/loudest(x))
	s.addNoise(x, ear)
	if kind == Clipping {
		for i := range x {
			x[i] = max(-1, min(1, x[i]*12))
		}
	}
	return x
}

// taps are those of one coin, or of what the kind says, 0.3 to 0.9 s apart.
func (s Scene) taps(x []float64, kind Kind, modes, other []float64, taps int) {
	first, second := s.coin(modes), s.coin(other)
	apart := s.between(0.3, 0.9)
	if kind == Bounce {
		apart = 0.9
	}
	for t := range taps {
		at := int(s.Rate * (0.35 + apart*(float64(t)+0.1*s.Rand.Float64())))
		size := 0.3 + 0.7*s.Rand.Float64()
		switch kind {
		case Click:
			s.knock(x, at, size)
		case Glass:
			s.glass(x, at)
		case Crockery:
			s.crockery(x, at, size)
		case Bounce:
			gap := 0.11 + 0.07*s.Rand.Float64()
			for range 6 {
				s.tap(x, at, size, first)
				at += int(gap * s.Rate)
				gap *= 0.75
				size *= 0.75
			}
		case TwoCoins:
			s.tap(x, at, size, first, second)
		default:
			s.tap(x, at, size, first)
		}
	}
}

func loudest(x []float64) float64 {
	top := 1e-12
	for _, v := range x {
		top = max(top, math.Abs(v))
	}
	return top
}

func scale(x []float64, by float64) {
	for i := range x {
		x[i] *= by
	}
}

// between is a number from low to high, alike by its logarithm.
func (s Scene) between(low, high float64) float64 {
	return low * math.Pow(high/low, s.Rand.Float64())
}
