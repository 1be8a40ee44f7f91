package segments_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"

	"panside/internal/segments/rendered"
)

// number from the environment, or else what is given.
func number(name string, or int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return n
	}
	return or
}

// TestFirstWorld counts what is read of displays of the world that the reader is tuned on.
func TestFirstWorld(t *testing.T) {
	displays, rests := 4, 5
	if os.Getenv("PANSIDE_LONG") != "" {
		displays, rests = 150, 20
	}
	displays, rests = number("PANSIDE_DISPLAYS", displays), number("PANSIDE_RESTS", rests)
	first := uint64(number("PANSIDE_SEED", 1)) * 100_000
	by := map[string]*rendered.Tally{}
	var all, ordinary rendered.Tally
	for k := range displays {
		l := rendered.DrawWide(first + uint64(k))
		tally := rendered.Sit(l, rests)
		name := l.Group()
		if by[name] == nil {
			by[name] = &rendered.Tally{}
		}
		by[name].Add(tally)
		all.Add(tally)
		if l.Ordinary() {
			ordinary.Add(tally)
		}
		if os.Getenv("PANSIDE_SHOW") != "" {
			fmt.Printf("%d %s cells %d places %d zoom %.0f blur %.1f noise %.1f glare %.2f walk %.1f: %v %d/%d %v %v\n", l.Seed, name, l.Cells, l.Places, l.Zoom, l.Blur, l.Noise, l.Glare, l.Walk, tally.Untaught, tally.Read, tally.Rests, tally.Refused, tally.Examples)
		}
	}
	var names []string
	for name := range by {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		t.Logf("%-18s %v", name, by[name])
	}
	t.Logf("%-18s %v", "ordinary", &ordinary)
	t.Logf("%-18s %v", "all", &all)
	for _, e := range all.Examples {
		t.Log(e)
	}
	if all.Wrong+all.WrongUnit > 0 {
		t.Errorf("%d wrong weights and %d wrong units", all.Wrong, all.WrongUnit)
	}
}

// TestUnitsThatLookAlike: displays that took another unit for the taught one while the rules of the
// marks were fewer: a triangle that moves to another printed unit and is faint (800014), a letter at a
// wide gap (800011), a bright mark that seemed to come and go (800008), a bar more or less in a small
// cell whose ink joins the glass's edge (900000).
func TestUnitsThatLookAlike(t *testing.T) {
	for _, seed := range []uint64{800008, 800011, 800014, 900000} {
		l := rendered.DrawWide(seed)
		l.Late, l.Hard, l.Fall = rendered.Late{}, rendered.Hard{}, 0 // nothing else that could be noticed
		sitting := rendered.NewSitting(l)
		r, why := sitting.Teach()
		if why != "" {
			t.Fatal(seed, why)
		}
		if wrong := sitting.Mistaken(r); len(wrong) > 0 {
			t.Errorf("display %d: %v read as %s", seed, wrong, l.Set[0])
		}
		if tally := sitting.Weigh(r, 2); tally.Read == 0 {
			t.Error(seed, &tally)
		}
	}
}

// TestADigitBeyondTheTaughtOnes: of a display that was taught with three digits, the layout's fourth
// cell lies off by more than half a stroke, and half the weights that need it were doubted.
func TestADigitBeyondTheTaughtOnes(t *testing.T) {
	tally := rendered.Sit(rendered.DrawWide(900008), 10)
	if tally.Read < 7 || tally.Wrong+tally.WrongUnit > 0 {
		t.Error(&tally, tally.Examples)
	}
}

// TestNarrowWorld: what could be read before the world was widened still is.
func TestNarrowWorld(t *testing.T) {
	var all rendered.Tally
	for k := range number("PANSIDE_DISPLAYS", 3) {
		all.Add(rendered.Sit(rendered.Draw(1000+uint64(k)), 5))
	}
	t.Log(&all)
	if all.Wrong+all.WrongUnit > 0 || 10*all.Read < 7*all.Rests {
		t.Error(all.Examples)
	}
}
