// Package senses is the way into what a phone hears and sees: the door's side that can be tested
// without a browser. Sound goes in as samples and light as frames; it is a module of its own beside
// the core, loaded when somebody first rings a coin or lets the camera read a display. It has no
// JSON, which would make its download a seventh larger: the door in pwa/wasm/senses gives values.
package senses

import "panside/internal/ring"

// Senses are those of one page.
type Senses struct {
	ear *ring.Ear
	eye eye
}

// Heard is what was found in the newest sound.
type Heard struct {
	ring.Heard
	Level float64 // dB of full scale
}

// Listen begins anew, at a rate of samples a second.
func (s *Senses) Listen(rate float64) { s.ear = ring.NewEar(rate) }

// Hear takes samples and gives what was found since. Before Listen there is nothing.
func (s *Senses) Hear(samples []float32) Heard {
	h := Heard{Level: ring.Loudness(samples)}
	if s.ear != nil {
		h.Heard = s.ear.Hear(samples)
	}
	return h
}

// Together gives what rings of one coin, as Hear gave them, have in common, in few digits; or why
// nothing.
func Together(rings []ring.Ring) (ring.Evidence, ring.Why) {
	e, why := ring.Together(rings)
	out := ring.Evidence{U: round(e.U, 1e5)}
	for _, hz := range e.Hz {
		out.Hz = append(out.Hz, round(hz, 1))
	}
	return out, why
}

// round to a part of one: what is kept with a find needs no more digits.
func round(x, parts float64) float64 { return float64(int64(x*parts+0.5)) / parts }
