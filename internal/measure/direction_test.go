package measure_test

import (
	"math"
	"testing"

	"panside/internal/measure"
	"panside/internal/rectify"
	"panside/internal/rim"
)

// TestDirection: along the axes by hand, and across 180 degrees, where a small change must stay small.
func TestDirection(t *testing.T) {
	on, _ := rectify.New(rim.Ellipse{X: 0, Y: 0, A: 200, B: 200}, 20, 0, 0.002)
	r := measure.Ruler{On: on}
	for _, c := range []struct{ x, y, want float64 }{{5, 0, 0}, {0, -5, 90}, {0, 5, -90}, {-5, -1e-9, 180}, {-5, 5, -135}} {
		v, why := r.Direction(rectify.Point{}, rectify.Point{X: c.x, Y: c.y})
		if why != "" || math.Abs(math.Remainder(v.Value-c.want, 360)) > 1e-6 || !(v.U > 0.1 && v.U < 2) {
			t.Errorf("to %v %v: %+v %s", c.x, c.y, v, why)
		}
	}
	if _, why := r.Direction(rectify.Point{X: 1}, rectify.Point{X: 1}); why != measure.Same {
		t.Errorf("one place twice: %q", why)
	}
}
