package virtualscale_test

import (
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/book/data"
	"panside/internal/fault"
	"panside/internal/simscale"
	"panside/server/virtualscale"
)

var tray = virtualscale.Tray(data.Coins())

func TestScriptReadsEveryAction(t *testing.T) {
	s, err := virtualscale.ParseScript("all", `
# a remark
after 500ms put bronze-cent   # and another
after 1m30s put zinc-cent slow
after 0s lift zinc-cent
	after 1s clear
after 1s bump
after 1s tare
after 1s unplug
after 1s plug
after 1s garbage
after 1s again
`, tray)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, step := range s.Steps {
		got = append(got, step.String())
	}
	want := "after 500ms put bronze-cent;after 1m30s put zinc-cent slow;after 0s lift zinc-cent;after 1s clear;after 1s bump;after 1s tare;after 1s unplug;after 1s plug;after 1s garbage;after 1s again"
	if strings.Join(got, ";") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, ";"), want)
	}
	if s.Steps[1].How != simscale.SlowHand {
		t.Errorf("“slow” is %q", s.Steps[1].How)
	}
}

func TestScriptSaysWhatIsWrongAndWhere(t *testing.T) {
	for text, wants := range map[string][]string{
		"":                                          {"no steps", "bronze-cent"},
		"\nput bronze-cent":                         {"Line 2", "after"},
		"after put x":                               {"Line 1", "time"},
		"after 2 put bronze-cent":                   {"Line 1", "time"},
		"after -2s bump":                            {"time"},
		"after 61m bump":                            {"hour"},
		"after 1s":                                  {"a step is like"},
		"after 1s jump":                             {"no action “jump”"},
		"after 1s put":                              {"needs a coin"},
		"after 1s put doubloon":                     {"no coin “doubloon”"},
		"after 1s put bronze-cent thrown":           {"gentle, dropped or slow"},
		"after 1s put bronze-cent slow x":           {"too many words"},
		"after 1s lift bronze-cent slow":            {"too many words"},
		"after 1s bump bronze-cent":                 {"too many words"},
		"after 10ms bump\nafter 10ms again":         {"Line 2", "at least a second"},
		"after 9s again\nafter 1s bump":             {"Line 2", "nothing comes after"},
		"after 1s put bronze-cent\nafter 1s bump x": {"Line 2"},
	} {
		_, err := virtualscale.ParseScript("bad", text, tray)
		if err == nil || fault.Of(err).Code != fault.BadInput {
			t.Errorf("%q: got %v", text, err)
			continue
		}
		for _, want := range wants {
			if !strings.Contains(fault.Of(err).English(), want) {
				t.Errorf("%q: the sentence lacks %q: %s", text, want, fault.Of(err).English())
			}
		}
	}
}

func FuzzParseScript(f *testing.F) {
	f.Add("after 1s put bronze-cent slow\nafter 2s again")
	f.Add("# nothing\n\nafter 1h clear")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := virtualscale.ParseScript("fuzz", text, tray)
		if err != nil {
			return
		}
		var b strings.Builder
		for _, step := range s.Steps {
			b.WriteString(step.String() + "\n")
		}
		again, err := virtualscale.ParseScript("fuzz", b.String(), tray)
		if err != nil || len(again.Steps) != len(s.Steps) {
			t.Fatalf("%q is written as %q, which can't be read: %v", text, b.String(), err)
		}
	})
}

// The demo evening must run through without a step that can't be done, leave
// an empty pan, and begin again.
func TestEveningRunsThrough(t *testing.T) {
	s, err := virtualscale.Evening(tray)
	if err != nil {
		t.Fatal(err)
	}
	last := s.Steps[len(s.Steps)-1]
	if last.Do != virtualscale.Again {
		t.Errorf("the evening ends with %v", last)
	}
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		lines := 0
		for _, step := range s.Steps {
			lines += len(b.readings(step.After))
			if err := b.Perform(step); err != nil {
				t.Errorf("%v: %v", step, err)
			}
		}
		if st := b.State(); len(st.Pan) > 0 || !st.PluggedIn {
			t.Errorf("at the end: %+v", st)
		}
		if lines < 500 {
			t.Errorf("only %d lines all evening", lines)
		}
	})
}

func TestPlayingAndStoppingAScript(t *testing.T) {
	script, err := virtualscale.ParseScript("two", "after 1s put nickel\nafter 1s lift half\nafter 1s clear\nafter 1s again", tray)
	if err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		if b.State().Script != nil {
			t.Error("a script runs that nobody started")
		}
		b.Play(t.Context(), script)
		at := func(d time.Duration, want virtualscale.Progress, pan int) {
			t.Helper()
			time.Sleep(d)
			synctest.Wait()
			if st := b.State(); st.Script == nil || *st.Script != want || len(st.Pan) != pan {
				t.Errorf("got %+v with %d on the pan, want %+v with %d", st.Script, len(st.Pan), want, pan)
			}
		}
		at(1500*time.Millisecond, virtualscale.Progress{Name: "two", Running: true, Step: 1, Of: 4, Next: "after 1s lift half"}, 1)
		at(time.Second, virtualscale.Progress{Name: "two", Running: true, Step: 2, Of: 4, Next: "after 1s clear"}, 1) // the half was never there
		at(time.Second, virtualscale.Progress{Name: "two", Running: true, Step: 3, Of: 4, Next: "after 1s again"}, 0)
		at(2*time.Second, virtualscale.Progress{Name: "two", Running: true, Step: 1, Of: 4, Next: "after 1s lift half"}, 1)
		b.Stop()
		at(5*time.Second, virtualscale.Progress{Name: "two", Running: false, Step: 1, Of: 4}, 1)
		b.Play(t.Context(), script)
		b.Play(t.Context(), script) // the second takes over
		at(1500*time.Millisecond, virtualscale.Progress{Name: "two", Running: true, Step: 1, Of: 4, Next: "after 1s lift half"}, 1)
	})
}
