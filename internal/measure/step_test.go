package measure

import (
	"math"
	"testing"

	"panside/internal/rectify"
	"panside/internal/rim"
)

// TestStep by plain arithmetic: the place's height over a line that lies aslant, on either side; and
// on the line itself the uncertainty is still that of hand and map.
func TestStep(t *testing.T) {
	on, why := rectify.New(rim.Ellipse{X: 500, Y: 500, A: 400, B: 400}, 20, 0, 0.002)
	if why != "" {
		t.Fatal(why)
	}
	r := Ruler{On: on}
	a, b := rectify.Point{X: 1, Y: 1}, rectify.Point{X: 4, Y: 5}
	for _, off := range []float64{0, 0.2, -0.2} {
		// The line's direction is (3, 4)/5, so (4, -3)/5 stands across it.
		at := rectify.Point{X: 2 + 0.8*off, Y: 1 + 4.0/3 - 0.6*off}
		v, why := r.Step(a, b, at)
		if why != "" || math.Abs(v.Value-math.Abs(off)) > 1e-9 || !(v.U > 0.01 && v.U < 0.1) {
			t.Errorf("%v off: %+v %s", off, v, why)
		}
	}
	if _, why := r.Step(a, a, b); why != Same {
		t.Errorf("a line through one place: %q", why)
	}
}
