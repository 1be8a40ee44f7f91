package sides_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/measure"
	"panside/internal/rectify"
	"panside/internal/rim"
	"panside/internal/sides"
)

type vec [3]float64 // right, up the picture, toward the camera

// about turns a vector counterclockwise about an axis of the picture, as seen with the axis pointing
// at the eye (Rodrigues' formula with an axis of the frame).
func (v vec) about(axis int, deg float64) vec {
	s, c := math.Sincos(deg * math.Pi / 180)
	i, j := (axis+1)%3, (axis+2)%3
	out := v
	out[i], out[j] = c*v[i]-s*v[j], s*v[i]+c*v[j]
	return out
}

// seen is the direction of a vector in the picture, degrees counterclockwise from straight up.
func (v vec) seen() float64 { return math.Atan2(-v[0], v[1]) * 180 / math.Pi }

// TestBySpace: a coin in space with the upward directions of both sides on it, turned on the table,
// turned over about an axis of the picture and turned on; the photos show where the two point.
func TestBySpace(t *testing.T) {
	axis := map[sides.Over]int{sides.TopToBottom: 0, sides.SideToSide: 1}
	rapid.Check(t, func(t *rapid.T) {
		over := rapid.SampledFrom([]sides.Over{sides.TopToBottom, sides.SideToSide}).Draw(t, "over")
		struck := rapid.SampledFrom([]sides.Over{sides.TopToBottom, sides.SideToSide}).Draw(t, "struck")
		die := rapid.Float64Range(-179, 179).Draw(t, "die")
		lain := rapid.Float64Range(-179, 179).Draw(t, "lain")
		// In order, the reverse's upward direction is that which turning over its country's way brings up.
		obverse, reverse := vec{0, 1, 0}, vec{0, 1, 0}.about(axis[struck], 180)
		// The die turned counterclockwise, seen from its side: from below.
		reverse = reverse.about(2, -die)
		obverse, reverse = obverse.about(2, lain), reverse.about(2, lain)
		first := sides.Angle{Degrees: obverse.seen(), U: 0.3}
		reverse = reverse.about(axis[over], 180)
		second := sides.Angle{Degrees: reverse.seen(), U: 0.4}
		got, ok := sides.Between(first, second, over, struck, sides.Ruler)
		if off := math.Remainder(got.Degrees-die, 360); !ok || math.Abs(off) > 1e-9 {
			t.Fatalf("%.3f degrees, want %.3f", got.Degrees, die)
		}
		if want := math.Sqrt(0.3*0.3 + 0.4*0.4 + 2*2); math.Abs(got.U-want) > 1e-9 {
			t.Fatalf("±%.3f, want %.3f", got.U, want)
		}
	})
}

func TestWhatIsNoWay(t *testing.T) {
	one := sides.Angle{Degrees: 3, U: 1}
	for _, c := range [][3]string{{"", "side-to-side", "ruler"}, {"side-to-side", "", "ruler"}, {"side-to-side", "side-to-side", ""}} {
		if _, ok := sides.Between(one, one, sides.Over(c[0]), sides.Over(c[1]), sides.Hand(c[2])); ok {
			t.Errorf("%q was taken", c)
		}
	}
}

// TestCallWaitsForTheUncertainty: 15 degrees is the book's limit, the uncertainty counts twice.
func TestCallWaitsForTheUncertainty(t *testing.T) {
	for _, c := range []struct {
		degrees, u float64
		want       sides.Call
	}{
		{3, 2, sides.Ordinary}, {-3, 2, sides.Ordinary}, {11, 2, sides.Ordinary}, {12, 2, sides.Unclear},
		{19, 2, sides.Unclear}, {19.5, 2, sides.Turned}, {-30, 5, sides.Turned}, {180, 5, sides.Turned}, {24, 5, sides.Unclear},
	} {
		if got := (sides.Angle{Degrees: c.degrees, U: c.u}).Call(); got != c.want {
			t.Errorf("%v ± %v: %s, want %s", c.degrees, c.u, got, c.want)
		}
	}
}

// TestStruck: what the book's look-for of rotated dies says in words.
func TestStruck(t *testing.T) {
	for _, c := range []struct {
		country, denomination string
		year                  int
		over                  sides.Over
		sure                  bool
	}{
		{"US", "cent", 0, sides.TopToBottom, true},
		{"EU", "two-euro", 2002, sides.SideToSide, true},
		{"CA", "quarter", 1907, sides.TopToBottom, true},
		{"CA", "quarter", 1992, sides.SideToSide, true},
		{"CA", "cent", 1859, sides.SideToSide, true},
		{"CA", "quarter", 0, sides.SideToSide, false},
		{"GB", "two-pounds", 2015, sides.SideToSide, true},
		{"GB", "crown", 1890, sides.SideToSide, false},
		{"MX", "", 0, "", false},
	} {
		if over, sure := sides.Struck(c.country, c.denomination, c.year); over != c.over || sure != c.sure {
			t.Errorf("%s %s %d: %s, %v", c.country, c.denomination, c.year, over, sure)
		}
	}
}

// TestALineSaysTheTurn: lines laid on a coin turned by 20 degrees and seen under a tilt, worked out from
// the drawn ellipse alone.
func TestALineSaysTheTurn(t *testing.T) {
	e := rim.Ellipse{X: 400, Y: 300, A: 200, B: 190, Turn: 35}
	on, why := rectify.New(e, 20, 0, 0.005)
	if why != "" {
		t.Fatal(why)
	}
	r := measure.Ruler{On: on}
	at := func(deg, far float64) rectify.Point {
		x, y := e.FromRound(far*math.Cos(deg*math.Pi/180), -far*math.Sin(deg*math.Pi/180))
		return on.ToCoin(x, y)
	}
	for along, lies := range map[sides.Along]float64{sides.Level: 20, sides.Upright: 110} {
		a, ok := sides.Of(r, at(lies+180, 0.7), at(lies, 0.7), along)
		if !ok || math.Abs(a.Degrees-20) > 1e-6 {
			t.Errorf("%s: %+v", along, a)
		}
		// 0.7 px at each end of 270 px is 0.2 degrees, the eye's own 1 and the rim's the rest.
		if !(a.U > 1 && a.U < 1.3) {
			t.Errorf("%s: ±%.3f", along, a.U)
		}
		short, _ := sides.Of(r, at(lies+180, 0.05), at(lies, 0.05), along)
		if !(short.U > 2*a.U) {
			t.Errorf("%s: a short line is as sure as a long one, ±%.2f", along, short.U)
		}
		// The other way round is upside down.
		if b, _ := sides.Of(r, at(lies, 0.7), at(lies+180, 0.7), along); math.Abs(math.Abs(math.Remainder(b.Degrees-a.Degrees, 360))-180) > 1e-6 {
			t.Errorf("%s, from the other end: %+v", along, b)
		}
	}
	if _, ok := sides.Of(r, at(0, 0.1), at(0, 0.1), sides.Level); ok {
		t.Error("a line without length")
	}
	if _, ok := sides.Of(r, at(0, 0.1), at(9, 0.1), "askew"); ok {
		t.Error("a line along nothing")
	}
}
