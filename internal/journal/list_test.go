package journal

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCountsOfTwoPhonesAddUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		random := counted()
		phones := []*table{sit(t, random), sit(t, random), sit(t, random)}
		hunt, _ := phones[0].set(KindHunt, "", `{"source":"jar"}`)
		phones[1].hear(phones[0])
		phones[2].hear(phones[0])
		want := map[string]int64{}
		for range rapid.IntRange(1, 30).Draw(rt, "steps") {
			p := rapid.SampledFrom(phones).Draw(rt, "phone")
			if rapid.Bool().Draw(rt, "hear") {
				p.hear(rapid.SampledFrom(phones).Draw(rt, "other"))
				continue
			}
			calls := map[string]int64{"ordinary": rapid.Int64Range(-5, 20).Draw(rt, "ordinary"), "look": rapid.Int64Range(0, 2).Draw(rt, "look")}
			p.keep(p.Count(p.now, hunt, Counts{Calls: calls}))
			for c, n := range calls {
				if n != 0 {
					want[c] += n
				}
			}
		}
		for _, p := range phones {
			for _, o := range phones {
				p.hear(o)
			}
			h := HuntOf(p.state, hunt, p.now)
			for c := range want {
				want[c] = max(want[c], 0) // more may have been taken back than counted
			}
			if !maps.Equal(h.Counted, want) || h.Searched != want["ordinary"]+want["look"] || len(h.Conflicts) != 0 {
				rt.Fatalf("counted %v, want %v; searched %d, conflicts %v", h.Counted, want, h.Searched, h.Conflicts)
			}
		}
	})
}

func TestAHuntAndItsAccount(t *testing.T) {
	p := sit(t, counted())
	begun := p.now
	hunt, _ := p.set(KindHunt, "", `{"source":"rolls","place":"by the mill","country":"US","denomination":"cent","rolls":50,
		"paid":{"amount":"25.00","currency":"USD"},"begun":1750000000000}`)
	p.now = begun + 600_000
	p.keep(p.Pause(p.now, hunt, true))
	p.now = begun + 900_000
	if h := HuntOf(p.state, hunt, p.now); h.State != HuntPaused || h.Active != 600_000 {
		t.Errorf("paused: %+v", h)
	}
	p.keep(p.Pause(p.now, hunt, false))
	p.set(KindHunt, hunt, `{"roll/2":{"coins":30},"roll/1":{"coins":50,"done":true},"ended":1750001500000,"returned":{"amount":"24.97","currency":"USD"}}`)
	p.keep(p.Count(p.now, hunt, Counts{Calls: map[string]int64{"ordinary": 20}}))
	for _, kind := range []string{"doubled-die", "doubled-die", "cud"} {
		p.set(KindFind, "", `{"hunt":"`+string(hunt)+`","kind":"`+kind+`"}`)
	}
	gone, _ := p.set(KindFind, "", `{"hunt":"`+string(hunt)+`","kind":"cud"}`)
	p.set(KindFind, gone, `{"deleted":true}`)

	got := p.Hunts(p.now)[0]
	if got.State != HuntEnded || got.Active != 1_200_000 || got.Searched != 80 || !reflect.DeepEqual(got.Progress, []RollProgress{{1, 50, true}, {2, 30, false}}) {
		t.Errorf("hunt %+v", got.Hunt)
	}
	a := got.Account
	if a.Finds != 3 || !maps.Equal(a.Kinds, map[string]int{"doubled-die": 2, "cud": 1}) || a.PerThousand != 37.5 ||
		!slices.Equal(a.Still, []Face{{"0.03", "USD"}}) {
		t.Errorf("account %+v", a)
	}
	p.set(KindHunt, hunt, `{"searched":2500}`)
	if h := HuntOf(p.state, hunt, p.now); h.Searched != 2500 {
		t.Errorf("a person's own count: %d", h.Searched)
	}

	p.set(KindHunt, "", `{"source":"rolls","place":"by the mill","paid":{"amount":"10","currency":"USD"},"searched":500}`)
	p.set(KindHunt, "", `{"source":"jar","paid":{"amount":"1.5","currency":"EUR"}}`)
	p.set(KindHunt, "", `{"source":"jar","paid":{"amount":"9","currency":"EUR"},"deleted":true}`)
	sources := BySource(p.Hunts(p.now))
	if len(sources) != 2 || sources[0].Source != "jar" || sources[1].Account.Hunts != 2 || sources[1].Account.Searched != 3000 ||
		sources[1].Account.PerThousand != 1 || !slices.Equal(sources[1].Account.Paid, []Face{{"35.00", "USD"}}) || !slices.Equal(sources[0].Account.Paid, []Face{{"1.5", "EUR"}}) {
		t.Errorf("sources %+v", sources)
	}
}

func TestListsPageByPage(t *testing.T) {
	p := sit(t, counted())
	var want []Record
	for i := range 120 {
		denomination := []string{"cent", "dime"}[i%2]
		id, _ := p.set(KindFind, "", `{"coin":{"country":"US","denomination":"`+denomination+`"}}`)
		want = append(want, id)
	}
	slices.Reverse(want)
	var got []Record
	w := Wanted{Kind: KindFind}
	for {
		page := p.List(w)
		got = append(got, page.Records...)
		if page.Total != 120 || page.More != (len(got) < 120) {
			t.Fatalf("%d of %d, more %v", len(got), page.Total, page.More)
		}
		if !page.More {
			break
		}
		w.After = got[len(got)-1]
	}
	if !slices.Equal(got, want) {
		t.Error("the pages are not the list, newest first")
	}
	if dimes := p.List(Wanted{Kind: KindFind, Denomination: "dime"}); dimes.Total != 60 {
		t.Errorf("%d dimes", dimes.Total)
	}
	p.set(KindFind, want[0], `{"coin":{"country":"US","denomination":"half"}}`)
	if halves := p.List(Wanted{Kind: KindFind, Denomination: "half"}); !slices.Equal(halves.Records, want[:1]) {
		t.Errorf("halves %+v", halves)
	}
}

// TestHistoryIsInTheOrderThingsWereSeen, whatever the clocks said.
func TestHistoryIsInTheOrderThingsWereSeen(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	a.now += 40 * 365 * 24 * 3600 * 1000 // a clock decades ahead
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	b.set(KindFind, id, `{"note":"second"}`)
	a.hear(b)
	a.set(KindFind, id, `{"note":"third"}`)
	b.hear(a)
	d, err := b.Detail(id, b.all, b.now)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, h := range d.History {
		got = append(got, string(h.Value)+" "+h.Now)
	}
	if want := []string{`"first" replaced`, `"second" replaced`, `"third" shown`}; !slices.Equal(got, want) {
		t.Errorf("history %q", got)
	}
}

func TestACounterfeitIsNotToBePassedOn(t *testing.T) {
	p := sit(t, counted())
	id, _ := p.set(KindFind, "", `{"kind":"counterfeit","fate":"keep"}`)
	if f := p.find(id); f.Caution != "" {
		t.Errorf("kept: %q", f.Caution)
	}
	for _, fate := range []string{"spend", "trade", "bank"} {
		p.set(KindFind, id, `{"fate":"`+fate+`"}`)
		if f := p.find(id); !strings.Contains(f.Caution, "law") {
			t.Errorf("%s: %q", fate, f.Caution)
		}
	}
}

func TestRecordIDsAreVersion7(t *testing.T) {
	// RFC 9562, appendix A.6: the time 2022-02-22T19:22:22.00Z is 017F22E279B0.
	id := NewRecord(1645557742000, func(b []byte) {
		for i := range b {
			b[i] = 0xff
		}
	})
	if id != "017f22e2-79b0-7fff-bfff-ffffffffffff" {
		t.Errorf("%s", id)
	}
	if !isUUID(string(id)) {
		t.Error("refused by its own check")
	}
}

// TestAListSaysWhatTheVerdictSaid of each find, though the verdict itself is too
// long to be at hand.
func TestAListSaysWhatTheVerdictSaid(t *testing.T) {
	p := sit(t, counted())
	long := `{"call":"look","headline":"Bronze. With a small date it would be very rare.","alloys":[` + strings.Repeat(`{"name":"bronze"},`, 20) + `{}]}`
	find, _ := p.set(KindFind, "", `{"verdict":`+long+`,
		"gist":{"call":"look","metal":"bronze","seen":["small date"]},"evidence":{"us-cent-1982-date":"small"}}`)
	listed := FindOf(p.Notebook.state, find)
	if listed.Verdict != nil {
		t.Error("the list holds a whole verdict")
	}
	if want := (&Gist{"look", "bronze", []string{"small date"}}); !reflect.DeepEqual(listed.Gist, want) || listed.Evidence["us-cent-1982-date"] != "small" {
		t.Errorf("listed: %+v, %v", listed.Gist, listed.Evidence)
	}
}

func TestWhatAHuntSearchesIsToldToTheJudge(t *testing.T) {
	p := sit(t, counted())
	for source, told := range map[string]string{"jar": "jar", "rolls": "bank-roll", "box": "bank-roll", "inherited": "inherited", "shop": "jar"} {
		hunt, _ := p.set(KindHunt, "", `{"source":"`+source+`"}`)
		if h := HuntOf(p.state, hunt, p.now); h.JudgeSource != told {
			t.Errorf("%s is told as %q, want %q", source, h.JudgeSource, told)
		}
	}
	hunt, _ := p.set(KindHunt, "", `{"place":"the blue one"}`)
	if h := HuntOf(p.state, hunt, p.now); h.JudgeSource != "" {
		t.Errorf("no source is told as %q", h.JudgeSource)
	}
}
