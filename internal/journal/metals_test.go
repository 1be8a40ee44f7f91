package journal

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"panside/internal/fault"

	"pgregory.net/rapid"
)

// sameMetals compares counts in any order.
func sameMetals(a, b []MetalCount) bool {
	by := func(list []MetalCount) map[string]MetalCount {
		m := map[string]MetalCount{}
		for _, c := range list {
			m[c.Name] = c
		}
		return m
	}
	return len(a) == len(b) && maps.Equal(by(a), by(b))
}

// TestMetalsOfTwoPhonesAddUp, with coins taken back, names that differ in signs only,
// and phones that were away.
func TestMetalsOfTwoPhonesAddUp(t *testing.T) {
	names := []string{"Bronze", "bronze", "90% silver", "90 – silver", "Silver dime, 90 % or 99.9 %", "Silver dime, 90 % or 40 %", strings.Repeat("<", 80), strings.Repeat("€", 80)}
	rapid.Check(t, func(rt *rapid.T) {
		random := counted()
		phones := []*table{sit(t, random), sit(t, random), sit(t, random)}
		hunt, _ := phones[0].set(KindHunt, "", `{"source":"jar"}`)
		phones[1].hear(phones[0])
		phones[2].hear(phones[0])
		var want []MetalCount
		for range rapid.IntRange(1, 30).Draw(rt, "steps") {
			p := rapid.SampledFrom(phones).Draw(rt, "phone")
			if rapid.Bool().Draw(rt, "hear") {
				p.hear(rapid.SampledFrom(phones).Draw(rt, "other"))
				continue
			}
			m := MetalCount{rapid.SampledFrom(names).Draw(rt, "name"), rapid.Int64Range(-3, 9).Draw(rt, "coins"), rapid.Int64Range(-1, 2).Draw(rt, "keepers")}
			p.keep(p.Count(p.now, hunt, Counts{map[string]int64{"ordinary": m.Coins}, []MetalCount{m}}))
			want = join(want, []MetalCount{m})
		}
		for _, p := range phones {
			for _, o := range phones {
				p.hear(o)
			}
			h := HuntOf(p.state, hunt, p.now)
			if !sameMetals(h.Metals, onTheTable(want)) || len(h.Conflicts) != 0 || len(h.Other) != 0 {
				rt.Fatalf("counted %v, want %v; conflicts %v, other %v", h.Metals, want, h.Conflicts, h.Other)
			}
			for field := range h.IDs {
				if isCount(field) {
					rt.Fatalf("a screen would have to name %s", field)
				}
			}
			if d, err := p.Detail(hunt, p.all, p.now); err != nil || len(d.History) != 1 {
				rt.Fatalf("running numbers stand in the history: %+v, %v", d.History, err)
			}
		}
	})
}

// TestAHuntsSummary has all that is told at its end: how many of what, keepers, those
// to look at, and the time; and so has the account of all hunts of a source.
func TestAHuntsSummary(t *testing.T) {
	p := sit(t, counted())
	hunt, _ := p.set(KindHunt, "", `{"source":"jar","begun":1750000000000,"ended":1750001500000}`)
	metals := []MetalCount{{"Copper-plated zinc", 30, 0}, {"Bronze", 10, 0}, {"90% silver", 3, 3}}
	p.keep(p.Count(p.now, hunt, Counts{map[string]int64{"ordinary": 40, "keeper": 3, "look": 2, "cannot-tell": 1}, metals}))
	a := p.Hunts(p.now)[0].Account
	if !slices.Equal(a.Metals, metals) {
		t.Errorf("%v, want %v", a.Metals, metals)
	}
	if a.Counted["keeper"] != 3 || a.Counted["look"] != 2 || a.Searched != 46 || a.Active != 1_500_000 {
		t.Errorf("%+v", a)
	}
	other, _ := p.set(KindHunt, "", `{"source":"jar"}`)
	p.keep(p.Count(p.now, other, Counts{Metals: []MetalCount{{"Bronze", 25, 5}}}))
	sources := BySource(p.Hunts(p.now))
	if len(sources) != 1 || !slices.Equal(sources[0].Account.Metals, []MetalCount{{"Bronze", 35, 5}, {"Copper-plated zinc", 30, 0}, {"90% silver", 3, 3}}) {
		t.Errorf("by source: %+v", sources)
	}
	if a := p.Hunts(p.now)[1].Account; !sameMetals(a.Metals, metals) {
		t.Errorf("the sum changed a hunt's own account: %v", a.Metals)
	}
}

// TestAHuntOfBeforeHasNoMetals: what an earlier version counted opens as it was, and
// counting goes on.
func TestAHuntOfBeforeHasNoMetals(t *testing.T) {
	p := sit(t, counted())
	hunt, _ := p.set(KindHunt, "", `{"source":"jar"}`)
	p.keep(p.Count(p.now, hunt, Counts{Calls: map[string]int64{"ordinary": 7, "look": 1}}))
	if h := HuntOf(p.state, hunt, p.now); h.Metals == nil || len(h.Metals) != 0 || h.Searched != 8 {
		t.Errorf("%+v", h)
	}
	p.keep(p.Count(p.now, hunt, Counts{map[string]int64{"keeper": 1}, []MetalCount{{"90% silver", 1, 1}}}))
	if h := HuntOf(p.state, hunt, p.now); len(h.Metals) != 1 || h.Metals[0].Keepers != 1 || h.Searched != 9 {
		t.Errorf("%+v", h)
	}
}

// TestWhatIsNoMetalIsntCounted: nothing of the count is written then.
func TestWhatIsNoMetalIsntCounted(t *testing.T) {
	p := sit(t, counted())
	hunt, _ := p.set(KindHunt, "", `{"source":"jar"}`)
	before := p.Len()
	for _, m := range []MetalCount{{"", 1, 0}, {"a\nb", 1, 0}, {strings.Repeat("x", 81), 1, 0}, {"\xff", 1, 0}, {"Copper", maxCoins + 1, 0}, {"Copper", 0, -maxCoins - 1}} {
		_, err := p.Count(p.now, hunt, Counts{map[string]int64{"ordinary": 1}, []MetalCount{{"Bronze", 1, 0}, m}})
		var fe *fault.Field
		if !errors.As(err, &fe) || fe.Name != "metals" || p.Len() != before {
			t.Errorf("%+v: %v, %d entries more", m, err, p.Len()-before)
		}
	}
	p.keep(p.Count(p.now, hunt, Counts{Metals: []MetalCount{{"Bronze", 0, 0}}}))
	if p.Len() != before {
		t.Error("nothing counted was written")
	}
}
