// Package senses is the way into what a phone hears and sees: the door's side that can be tested
// without a browser. Sound goes in as samples and light as frames, what is found comes out as JSON;
// it is a module of its own beside the core, loaded when somebody first rings a coin or lets the
// camera read a display.
package senses

import (
	"panside/internal/json"
	"panside/internal/ring"
)

// Senses are those of one page.
type Senses struct {
	ear *ring.Ear
	eye eye
}

// heardOut is what was found in the newest sound.
type heardOut struct {
	Rings   []ringOut    `json:"rings"`
	Refused []refusalOut `json:"refused"`
	Level   float64      `json:"level"` // dB of full scale
}

type ringOut struct {
	At    float64   `json:"at"` // s since the ear began to listen
	Peaks []peakOut `json:"peaks"`
}

type peakOut struct {
	Hz    float64 `json:"hz"`
	U     float64 `json:"u"`
	Decay float64 `json:"decay"`
	Level float64 `json:"level"`
}

type refusalOut struct {
	At  float64  `json:"at"`
	Why ring.Why `json:"why"`
}

// Listen begins anew, at a rate of samples a second.
func (s *Senses) Listen(rate float64) { s.ear = ring.NewEar(rate) }

// Hear takes samples and gives what was found since, as JSON. Before Listen there is nothing.
func (s *Senses) Hear(samples []float32) []byte {
	out := heardOut{Rings: []ringOut{}, Refused: []refusalOut{}, Level: ring.Loudness(samples)}
	if s.ear != nil {
		h := s.ear.Hear(samples)
		for _, r := range h.Rings {
			o := ringOut{At: r.At}
			for _, p := range r.Peaks {
				o.Peaks = append(o.Peaks, peakOut(p))
			}
			out.Rings = append(out.Rings, o)
		}
		for _, r := range h.Refused {
			out.Refused = append(out.Refused, refusalOut(r))
		}
	}
	return answer(out)
}

// Together takes rings of one coin, as Hear gave them in a JSON list, and answers with what they
// have in common: {"why","hz","u"}.
func (s *Senses) Together(list []byte) []byte {
	var in []ringOut
	out := struct {
		Why ring.Why  `json:"why"`
		Hz  []float64 `json:"hz"`
		U   float64   `json:"u"`
	}{Why: ring.TooFew, Hz: []float64{}}
	if err := json.Unmarshal(list, &in); err != nil {
		return answer(out)
	}
	var rings []ring.Ring
	for _, r := range in {
		o := ring.Ring{At: r.At}
		for _, p := range r.Peaks {
			o.Peaks = append(o.Peaks, ring.Peak(p))
		}
		rings = append(rings, o)
	}
	e, why := ring.Together(rings)
	out.Why, out.U = why, round(e.U, 1e5)
	for _, hz := range e.Hz {
		out.Hz = append(out.Hz, round(hz, 1))
	}
	return answer(out)
}

// round to a part of one: what is kept with a find needs no more digits.
func round(x, parts float64) float64 { return float64(int64(x*parts+0.5)) / parts }

func answer(out any) []byte {
	raw, err := json.Marshal(out)
	if err != nil { // numbers that aren't finite; there are none
		return []byte(`{}`)
	}
	return raw
}
