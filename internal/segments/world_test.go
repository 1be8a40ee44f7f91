package segments_test

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"panside/internal/segments"
	"panside/internal/segments/rendered"
)

// TestFirstWorld counts what is read of displays of the world that the reader is tuned on.
func TestFirstWorld(t *testing.T) {
	displays, rests := 12, 10
	if os.Getenv("PANSIDE_LONG") != "" {
		displays, rests = 400, 30
	}
	if n, err := strconv.Atoi(os.Getenv("PANSIDE_DISPLAYS")); err == nil {
		displays = n
	}
	first := uint64(1000)
	if n, err := strconv.ParseUint(os.Getenv("PANSIDE_SEED"), 10, 64); err == nil {
		first = n * 100_000
	}
	by := map[string]*rendered.Tally{}
	var all rendered.Tally
	for k := range displays {
		l := rendered.Draw(first + uint64(k))
		s := rendered.NewSitting(l)
		tally := rendered.Tally{Displays: 1}
		r, why := s.Teach()
		if why != "" {
			tally.Untaught = map[segments.Why]int{why: 1}
		} else {
			tally.Taught = 1
			tally.Add(s.Weigh(r, rests))
		}
		name := string(l.Kind)
		if l.Glare >= 0.12 {
			name += " glare"
		}
		if by[name] == nil {
			by[name] = &rendered.Tally{}
		}
		by[name].Add(tally)
		all.Add(tally)
		if os.Getenv("PANSIDE_SHOW") != "" {
			fmt.Printf("%d %s cells %d places %d zoom %.0f blur %.1f noise %.1f glare %.2f: %q %d/%d %v\n", l.Seed, name, l.Cells, l.Places, l.Zoom, l.Blur, l.Noise, l.Glare, why, tally.Read, tally.Rests, tally.Refused)
			for _, e := range tally.Examples {
				fmt.Println(e)
			}
		}
	}
	for name, x := range by {
		t.Logf("%-16s taught %d of %d %v; read %d of %d (%.0f%%) %v; wrong %d, wrong units %d", name, x.Taught, x.Displays, x.Untaught, x.Read, x.Rests, 100*float64(x.Read)/float64(max(x.Rests, 1)), x.Refused, x.Wrong, x.WrongUnit)
	}
	for _, e := range all.Examples {
		t.Log(e)
	}
	if all.Wrong+all.WrongUnit > 0 {
		t.Errorf("%d wrong weights and %d wrong units", all.Wrong, all.WrongUnit)
	}
}
