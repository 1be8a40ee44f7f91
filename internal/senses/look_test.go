package senses

import (
	"testing"

	"panside/internal/segments"
	"panside/internal/segments/rendered"
)

// TestLightThroughTheDoor: RGBA pixels in, a number out, from framing on.
func TestLightThroughTheDoor(t *testing.T) {
	l := rendered.Draw(1002)
	scene := rendered.New(l)
	var s Senses
	if got := s.Look(1, 1, make([]byte, 4), 0); got != (Looked{Why: segments.NotADisplay}) {
		t.Errorf("before framing: %+v", got)
	}
	var corners [8]float64
	for i, p := range scene.Window() {
		corners[2*i], corners[2*i+1] = p.X, p.Y
	}
	s.Frame(corners)
	ms := 0.0
	look := func(text string, frames int) (last Looked) {
		for range frames {
			ms += 80
			f := scene.Frame(rendered.Shown{Text: text, Unit: "g"}, ms/1000, rendered.Hand{}, 0)
			rgba := make([]byte, 0, 4*len(f.Pix))
			for _, v := range f.Pix {
				rgba = append(rgba, v, v, v, 255)
			}
			last = s.Look(f.Width, f.Height, rgba, ms)
		}
		return last
	}
	look("0.0", 10)
	if got := s.Shown("0.0"); got != (Looked{Why: segments.TooAlike}) {
		t.Errorf("one weight: %+v", got)
	}
	look("25.7", 10)
	if got := s.Shown("25.7"); got != (Looked{Taught: true}) {
		t.Fatalf("two weights: %+v", got)
	}
	if got := look("11.3", 12); got != (Looked{Text: "11.3", Taught: true}) {
		t.Errorf("%+v", got)
	}
	if got := s.Look(10, 10, nil, ms); got.Text != "" || got.Why == "" {
		t.Errorf("a broken frame: %+v", got)
	}
}
