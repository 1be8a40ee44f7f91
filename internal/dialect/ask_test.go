package dialect

import (
	"strings"
	"testing"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
)

// TestBareNumbersAreAskedAboutWithinSixLines: at one line a second the person
// waits five seconds.
func TestBareNumbersAreAskedAboutWithinSixLines(t *testing.T) {
	d := NewDecoder(Options{})
	for i := range 6 {
		d.Feed([]byte("3.11\r\n"), start.Add(time.Duration(i)*time.Second))
		ask, digits := d.NeedsUnit()
		if i < 3 && ask != AskNothing {
			t.Errorf("asked after %d lines", i+1)
		}
		if i == 5 && (ask != AskUnit || digits != "3.11") {
			t.Errorf("after six lines: %q %q", ask, digits)
		}
	}
	if name, sure, _ := d.Evidence(); name != "value-only" || sure < 0.99 {
		t.Errorf("after six lines: %s %.3f", name, sure)
	}
	answered := NewDecoder(Options{Unit: mass.Gram})
	got := values(answered.Feed([]byte("\r\n"+strings.Repeat("3.11\r\n", 5)), start))
	if ask, _ := answered.NeedsUnit(); ask != AskNothing || len(got) == 0 {
		t.Errorf("after the answer: %q, %v", ask, got)
	}
}

// TestGrIsAskedAbout: "gr" is the gram or the grain, which differ fifteenfold.
func TestGrIsAskedAbout(t *testing.T) {
	line := "ST,GS,+   3.11 gr\r\n"
	d := NewDecoder(Options{})
	got := d.Feed([]byte(line), start)
	if len(got) != 1 || got[0].HasValue || got[0].Problem.Code != fault.AmbiguousUnit {
		t.Errorf("gr was taken: %v", all2words(got))
	}
	if ask, digits := d.NeedsUnit(); ask != AskGr || digits != "3.11" || len(ask.Units()) != 2 {
		t.Errorf("not asked: %q %q", ask, digits)
	}
	for _, u := range AskGr.Units() {
		got := values(NewDecoder(Options{Gr: u}).Feed([]byte(line), start))
		if want := "3.11 " + string(u) + " stable"; len(got) != 1 || got[0] != want {
			t.Errorf("gr as %s: %v", u, got)
		}
	}
	// A scale has one word for each unit, so another word settles it ...
	grams, grains := "ST,GS,+   1.00  g\r\n", "ST,GS,+  15.43 GN\r\n"
	for before, want := range map[string]string{grams: "3.11 gr stable", grains: "3.11 g stable"} {
		got := values(NewDecoder(Options{}).Feed([]byte(before+line), start))
		if len(got) != 2 || got[1] != want {
			t.Errorf("%q before gr: %v, want %s", before, got, want)
		}
	}
	// ... unless another scale may have been put there in the meantime.
	d = NewDecoder(Options{})
	d.Feed([]byte(grams), start)
	if got := values(d.Feed([]byte(line), start.Add(sittingGap+time.Second))); len(got) != 0 {
		t.Errorf("gr was taken after a long silence: %v", got)
	}
	if got := values(NewDecoder(Options{}).Feed([]byte(grams+grains+line), start)); len(got) != 2 {
		t.Errorf("gr was taken although the scale has words for both: %v", got)
	}
}
