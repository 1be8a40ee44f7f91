package otherscale

import "testing"

// lights feeds displays at ten a second and gives when the sign was on.
func lights(s Sign, displays ...float64) (on []bool) {
	l := lamp{Sign: s}
	for i, d := range displays {
		steps := int(d)
		on = append(on, l.see(float64(i+1)/10, steps, d))
	}
	return on
}

func times(n int, v float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = v
	}
	return x
}

func firstOn(on []bool) int {
	for i, v := range on {
		if v {
			return i + 1
		}
	}
	return 0
}

func TestSignByEqualDisplays(t *testing.T) {
	for _, n := range []int{4, 8, 11, 37} {
		on := lights(Sign{Kind: Equal, Displays: n}, append([]float64{7}, times(40, 3)...)...)
		if got := firstOn(on); got != n+1 {
			t.Errorf("%d equal displays: on at display %d", n, got-1)
		}
	}
	// A recorded sign stayed off for 34 lines, another for 112 of three a display,
	// and fell back at every step of 1 d.
	on := lights(Sign{Kind: Late, Displays: 37}, append(times(37, 5), 6, 5)...)
	if !on[36] || on[35] || on[37] || on[38] {
		t.Errorf("late sign: %v", on[34:])
	}
}

// TestSignByBand: no change beyond a band for a time (manuals: 0.4 to 1 s, 0.5
// to 2 d).
func TestSignByBand(t *testing.T) {
	s := Sign{Kind: InBand, Band: 1.5, Seconds: 0.6}
	on := lights(s, append(append(times(3, 0), 10), times(10, 11)...)...)
	if got := firstOn(on); got != 10 {
		t.Errorf("on at display %d, want 0.6 s after the fourth", got)
	}
	if got := firstOn(lights(s, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2)); got != 0 {
		t.Errorf("on at display %d while it swings by 2 d", got)
	}
}

// TestSignClings: a recorded sign stayed on while the display walked 6 d a step
// at a time, off for one to three lines a step.
func TestSignClings(t *testing.T) {
	var walk []float64
	for step := range 7 {
		walk = append(walk, times(9, float64(step))...)
	}
	on := lights(Sign{Kind: Clinging, Displays: 5}, walk...)
	dark := 0
	for _, v := range on[9:] {
		if !v {
			dark++
		}
	}
	if dark != 6 {
		t.Errorf("off for %d displays of a walk of 6 d", dark)
	}
	if on := lights(Sign{Kind: Clinging, Displays: 5}, append(times(9, 0), 3)...); on[9] {
		t.Error("on over a jump of 3 d")
	}
}

func TestSignThatNeverComes(t *testing.T) {
	for _, k := range []SignKind{NoSign, Never} {
		if got := firstOn(lights(Sign{Kind: k}, times(80, 1)...)); got != 0 || (Sign{Kind: k}).Works() {
			t.Errorf("%s: on at %d", k, got)
		}
	}
}
