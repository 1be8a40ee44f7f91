package journal

import (
	"errors"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/json"
)

// TestAHuntCantEndBeforeItBegins: such times are refused, whichever of them is
// written last; those of before, and of two phones, are said.
func TestAHuntCantEndBeforeItBegins(t *testing.T) {
	const at = 1_750_000_000_000
	for what, tc := range map[string]struct {
		there, set, wrong string
	}{
		"an end before":               {`{"begun":1750000000000}`, `{"ended":1749999999999}`, huntEnded},
		"a begin behind":              {`{"begun":1750000000000,"ended":1750000001000}`, `{"begun":1750000001001}`, huntBegun},
		"both at once":                {`{"source":"jar"}`, `{"begun":1750000000000,"ended":1749999999999}`, huntEnded},
		"an end at the begin":         {`{"begun":1750000000000}`, `{"ended":1750000000000}`, ""},
		"the begin taken away":        {`{"begun":1750000000000}`, `{"begun":null,"ended":1}`, ""},
		"an end of one not begun":     {`{"source":"jar"}`, `{"ended":1}`, ""},
		"another field of wrong ones": {`{"source":"jar"}`, `{"note":"x"}`, ""},
	} {
		p := sit(t, counted())
		id, _ := p.set(KindHunt, "", tc.there)
		before := p.Len()
		c := Change{Kind: KindHunt, Record: id, Saw: PlainOf(p.state, id).IDs}
		if err := json.Unmarshal([]byte(tc.set), &c.Set); err != nil {
			t.Fatal(err)
		}
		_, made, err := p.Write(at, c)
		if tc.wrong == "" {
			if err != nil || len(made) == 0 {
				t.Errorf("%s: %v", what, err)
			}
			continue
		}
		var fe *fault.Field
		if !errors.As(err, &fe) || fe.Name != tc.wrong || p.Len() != before || !strings.Contains(fault.Of(err).English(), "before it begins. Nothing was saved") {
			t.Errorf("%s: %v, %d entries more", what, err, p.Len()-before)
		}
	}

	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindHunt, "", `{"begun":1750000000000,"ended":1750000005000}`)
	b.hear(a)
	a.set(KindHunt, id, `{"begun":1750000004000}`)
	b.set(KindHunt, id, `{"ended":1750000003000}`)
	if h := HuntOf(a.state, id, a.now); h.EndsBeforeBegin {
		t.Errorf("its times are right: %+v", h)
	}
	a.hear(b)
	if h := HuntOf(a.state, id, a.now); !h.EndsBeforeBegin || h.Active != 0 {
		t.Errorf("its times contradict one another: %+v", h)
	}
	a.set(KindHunt, id, `{"note":"which was it?"}`) // the rest can be written all the same
	a.set(KindHunt, id, `{"ended":1750000004000}`)
	if h := HuntOf(a.state, id, a.now); h.EndsBeforeBegin {
		t.Errorf("corrected: %+v", h)
	}
}

// TestOneHuntCounts: of several that go on it is the one made last, and the next
// one as soon as that is paused, ended or deleted.
func TestOneHuntCounts(t *testing.T) {
	p := sit(t, counted())
	p.set(KindHunt, "", `{"source":"jar"}`)
	first, _ := p.set(KindHunt, "", `{"begun":1750000000000}`)
	second, _ := p.set(KindHunt, "", `{"begun":1740000000000}`)
	third, _ := p.set(KindHunt, "", `{"begun":1740000000000}`)
	expect := func(what string, want Record) {
		t.Helper()
		if got := Counting(p.Hunts(p.now)); got != want {
			t.Errorf("%s: %q counts, not %q", what, got, want)
		}
	}
	expect("all go on", third)
	p.set(KindHunt, third, `{"deleted":true}`)
	expect("the third deleted", second)
	p.keep(p.Pause(p.now, second, true))
	expect("the second paused", first)
	p.set(KindHunt, first, `{"ended":1760000000000}`)
	expect("the first ended", "")
}
