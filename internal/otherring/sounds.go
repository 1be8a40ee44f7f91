package otherring

import (
	"math"
	"math/rand/v2"
)

// Sound is one that isn't a coin rung well.
type Sound string

// The sounds to refuse.
const (
	Clicks   Sound = "click"
	Speech   Sound = "speech"
	Tune     Sound = "music"
	TwoCoins Sound = "two coins"
	Bouncing Sound = "bouncing coin"
	Silence  Sound = "silence"
	Clipping Sound = "clipping"
	Glass    Sound = "glass"
	Bell     Sound = "bell"
	Key      Sound = "dropped key"
)

// Sounds are all.
var Sounds = []Sound{Clicks, Speech, Tune, TwoCoins, Bouncing, Silence, Clipping, Glass, Bell, Key}

// Coined reports whether a coin is in the sound, so that its metal may be named.
func (k Sound) Coined() bool { return k == Bouncing || k == Clipping }

// Strange is a clip of a sound to refuse, three of it where it is struck, in a noise. Coins
// are c and, for two, other.
func (s *Scene) Strange(k Sound, c, other Coin, kind Noise, db float64, rng *rand.Rand) []float64 {
	out := make([]float64, int(inner*3.2))
	times := []float64{0.4, 0.4 + 0.4 + 0.4*rng.Float64(), 1.9 + 0.4*rng.Float64()}
	same := rng.Uint64() // what is struck is the same thing each time
	for _, t := range times {
		thing := rand.New(rand.NewPCG(same, 7))
		switch k {
		case Clicks:
			s.knocks(out, t, 1, rng)
		case TwoCoins:
			s.tap(out, c, t, 1, rng)
			s.tap(out, other, t+0.004*rng.Float64(), 0.4+rng.Float64(), rng)
		case Bouncing:
			gap, force := 0.09+0.1*rng.Float64(), 1.5
			for at := t; gap > 0.008 && at < t+0.9; at, gap, force = at+gap, gap*(0.65+0.15*rng.Float64()), force*0.75 {
				s.tap(out, c, at, force, rng)
			}
		case Clipping:
			s.tap(out, c, t, 1, rng)
		case Glass:
			base := 600 * math.Pow(5, thing.Float64())
			for i, r := range []float64{1, 2.1 + 0.4*thing.Float64(), 3.8 + 0.6*thing.Float64(), 5.8 + thing.Float64()} {
				decaying(out, t, base*r, (0.15+0.9*thing.Float64())/float64(i+1), rng.Float64()/float64(i+1), 6*rng.Float64())
			}
			s.knocks(out, t, 0.3, rng)
		case Bell:
			base := 500 * math.Pow(6, thing.Float64())
			for _, r := range []float64{0.5, 1, 1.19, 1.5, 2, 2.51, 2.66, 3.01, 4.1} {
				decaying(out, t, base*r, (0.5+2*thing.Float64())/r, rng.Float64()/r, 6*rng.Float64())
			}
		case Key:
			base := 2500 + 4000*thing.Float64()
			var bits []float64
			for range 9 {
				bits = append(bits, base*(1+3.5*thing.Float64()))
			}
			at, force := t, 1.0
			for range 2 + rng.IntN(4) {
				for _, hz := range bits {
					decaying(out, at, hz, 0.006+0.06*rng.Float64()*rng.Float64(), force*rng.Float64(), 6*rng.Float64())
				}
				s.knocks(out, at, force, rng)
				at, force = at+0.03+0.1*rng.Float64(), force*0.6
			}
		}
	}
	switch k {
	case Speech:
		s.voice(out, rng)
	case Tune:
		s.tune(out, rng)
	case Silence:
		hiss(out, 1e-4, rng)
		s.microphone(out)
		for i := range out {
			out[i] *= 0.3
		}
		return s.convert(out)
	}
	clip := *s
	if k == Clipping {
		clip.loud = 4 * math.Pow(4, rng.Float64())
	}
	return clip.record(out, times, kind, db, rng)
}

// tune is notes of a plucked or blown instrument in equal temperament, some of them high.
func (s *Scene) tune(out []float64, rng *rand.Rand) {
	octave := 220 * math.Pow(2, float64(rng.IntN(4)))
	blown := rng.IntN(2) == 0
	for t := 0.1; t < float64(len(out))/inner; t += 0.12 * float64(1+rng.IntN(4)) {
		hz := octave * math.Pow(2, float64(rng.IntN(13))/12)
		for k := 1; k < 12; k++ {
			f, a := hz*float64(k)*math.Sqrt(1+3e-4*float64(k*k)), math.Pow(float64(k), -0.6-rng.Float64())
			if !blown {
				decaying(out, t, f, 0.5/float64(k), a, 6*rng.Float64())
				continue
			}
			first, n := int(t*inner), int(0.25*inner)
			for i := 0; i < n && first+i < len(out); i++ {
				rise := math.Min(1, math.Min(float64(i)/800, float64(n-i)/2000))
				out[first+i] += 0.5 * a * rise * math.Sin(2*math.Pi*hz*float64(k)*float64(i)/inner)
			}
		}
	}
}
