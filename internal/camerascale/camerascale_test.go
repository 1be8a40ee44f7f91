package camerascale

import (
	"testing"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
)

var at = moment.UnixMilli(1_000)

func TestADisplaysNumber(t *testing.T) {
	for shown, want := range map[string]struct{ value, step string }{
		"12.34": {"12.34", "0.01"}, "-0.05": {"-0.05", "0.01"}, "25.7": {"25.7", "0.1"}, "3.110": {"3.110", "0.001"}, "7": {"7", "1"},
	} {
		r := Read(shown, at)
		if !r.HasValue || r.Quantity.Value.String() != want.value || r.Quantity.Unit != mass.Gram || r.Resolution.String() != want.step || r.Dialect != Dialect || r.At != at {
			t.Errorf("%s: %+v", shown, r)
		}
	}
	for _, bad := range []string{"", "1.2.3", "12,3", "8E", "1e3", "99999999999999999999"} {
		if r := Read(bad, at); r.HasValue || r.Problem == nil || r.Problem.Code != fault.Garbled {
			t.Errorf("%q: %+v", bad, r)
		}
	}
}

func TestWhyThereIsNoNumber(t *testing.T) {
	for why, fails := range map[string]bool{"moving": false, "doubt": false, "moved": true, "dark": true, "other-unit": true, "of-a-newer-phone": true} {
		if r := Unread(why, at); r.HasValue || (r.Problem != nil) != fails {
			t.Errorf("%s: %+v", why, r)
		}
	}
}

// TestOnlyWhatWasConfirmedPasses: a load, what the display showed, and nothing past a step of it.
func TestOnlyWhatWasConfirmedPasses(t *testing.T) {
	load := mass.Estimate{Phase: mass.PhaseSettled, Mean: 11.5, Pile: 11.5, U: 0.01, Resolution: 0.01, Placement: 4}
	with := func(change func(*mass.Estimate)) mass.Estimate {
		e := load
		change(&e)
		return e
	}
	shows := Read("11.50", at)
	for name, c := range map[string]struct {
		e         mass.Estimate
		r         mass.Reading
		placement uint64
		shown     string
	}{
		"another number":    {load, shows, 4, "11.56"},
		"another load":      {load, shows, 3, "11.50"},
		"a moving display":  {load, Unread("moving", at), 4, "11.50"},
		"a load that moves": {with(func(e *mass.Estimate) { e.Phase = mass.PhaseMoving }), shows, 4, "11.50"},
		"one on a pile":     {with(func(e *mass.Estimate) { e.Pile = 23 }), shows, 4, "11.50"},
	} {
		var g Gate
		if g.Confirm(c.e, c.r, c.placement, c.shown) || g.Passes(load, shows) {
			t.Errorf("%s was confirmed", name)
		}
	}
	var g Gate
	if g.Passes(load, shows) {
		t.Error("it passes unasked")
	}
	if !g.Confirm(load, shows, 4, "11.50") || !g.Passes(load, shows) || !g.Passes(load, Read("11.51", at)) {
		t.Error("what was confirmed doesn't pass")
	}
	if g.Passes(load, Read("11.52", at)) || g.Passes(load, Unread("moving", at)) || g.Passes(with(func(e *mass.Estimate) { e.Placement = 5 }), shows) {
		t.Error("what wasn't confirmed passes")
	}
}
