package senses

import (
	"strings"
	"testing"

	"panside/internal/segments/rendered"
)

// TestLightThroughTheDoor: RGBA pixels in, JSON out, from framing to a number.
func TestLightThroughTheDoor(t *testing.T) {
	l := rendered.Draw(1002)
	scene := rendered.New(l)
	var s Senses
	if got := string(s.Look(1, 1, make([]byte, 4), 0)); !strings.Contains(got, `"why":"not-a-display"`) {
		t.Errorf("before framing: %s", got)
	}
	var corners [8]float64
	for i, p := range scene.Window() {
		corners[2*i], corners[2*i+1] = p.X, p.Y
	}
	s.Frame(corners)
	ms := 0.0
	look := func(text string, frames int) (last string) {
		for range frames {
			ms += 80
			f := scene.Frame(rendered.Shown{Text: text, Unit: "g"}, ms/1000, rendered.Hand{}, 0)
			rgba := make([]byte, 0, 4*len(f.Pix))
			for _, v := range f.Pix {
				rgba = append(rgba, v, v, v, 255)
			}
			last = string(s.Look(f.Width, f.Height, rgba, ms))
		}
		return last
	}
	look("0.0", 10)
	if got := string(s.Shown("0.0")); !strings.Contains(got, `"why":"too-alike"`) {
		t.Errorf("one weight: %s", got)
	}
	look("25.7", 10)
	if got := string(s.Shown("25.7")); !strings.Contains(got, `"taught":true`) {
		t.Fatalf("two weights: %s", got)
	}
	if got := look("11.3", 12); got != `{"why":"","text":"11.3","taught":true}` {
		t.Error(got)
	}
	if got := string(s.Look(10, 10, nil, ms)); !strings.Contains(got, `"text":""`) || strings.Contains(got, `"why":""`) {
		t.Errorf("a broken frame: %s", got)
	}
}
