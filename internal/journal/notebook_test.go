package journal

import (
	"encoding/json"
	"errors"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/fault"
)

// counted is randomness that never repeats.
func counted() func([]byte) {
	rng := rand.New(rand.NewPCG(7, 7))
	return func(b []byte) {
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
	}
}

// table is a test's phone.
type table struct {
	*Notebook
	t   testing.TB
	now int64
	all []Entry // everything this phone stored
}

func sit(t testing.TB, random func([]byte)) *table {
	return &table{NewNotebook(random), t, 1_750_000_000_000, nil}
}

func (p *table) keep(entries []Entry, err error) []Entry {
	p.t.Helper()
	if err != nil {
		p.t.Fatal(err)
	}
	p.all = append(p.all, entries...)
	p.now += 1000
	return entries
}

func (p *table) set(kind string, id Record, fields string) (Record, []Entry) {
	p.t.Helper()
	c := Change{Kind: kind, Record: id}
	if err := json.Unmarshal([]byte(fields), &c.Set); err != nil {
		p.t.Fatal(err)
	}
	if id != "" {
		c.Saw = PlainOf(p.state, id).IDs
	}
	id, made, err := p.Write(p.now, c)
	return id, p.keep(made, err)
}

// hear takes over what another phone stored.
func (p *table) hear(o *table) {
	p.t.Helper()
	for _, e := range o.all {
		_, added, err := p.Add(e.Wire())
		if err != nil {
			p.t.Fatal(err)
		}
		if added {
			p.all = append(p.all, e)
		}
	}
}

func (p *table) find(id Record) Find {
	p.t.Helper()
	d, err := p.Detail(id, p.all, p.now)
	if err != nil || d.Find == nil {
		p.t.Fatal(d, err)
	}
	return *d.Find
}

const wholeFind = `{
	"hunt":"0190a000-0000-7000-8000-000000000001","found":1750000000000,
	"coin":{"country":"US","denomination":"cent","year":1982,"mint":"D"},
	"weight":{"value":"3.11","unit":"g","mean_g":3.1102,"u_g":0.0076,"resolution_g":0.01,"status":"stable","at":1750000000000,
		"scale":{"name":"virtual scale","kind":"virtual","dialect":"status-comma","assumed":true},
		"calibration":{"repeatability_g":0.003,"calibration_g":0.0058,"assumed":true}},
	"trace":{"unit":"g","from":1749999999000,"after":[0,300,600],"shown":["0.00","3.02","3.11"],"status":["zero","moving","stable"]},
	"verdict":{"call":"look","headline":"Bronze cent of a zinc year.","alloys":[{"name":"bronze","probability":0.999}]},
	"kind":"transitional-alloy","certainty":"likely","note":"Rings like bronze.\nLook at the date again.",
	"photo/2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824":
		{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/jpeg","bytes":312000,"side":"obverse","where":"date","x":0.7,"y":0.6,"taken":1750000001000},
	"lies":{"in":"flip","label":"17","where":"top drawer"},"fate":"second-opinion"}`

func TestAFindIsReadAsItWasWritten(t *testing.T) {
	p := sit(t, counted())
	id, made := p.set(KindFind, "", wholeFind)
	if len(made) != 12 {
		t.Errorf("%d entries", len(made))
	}
	f := p.find(id)
	raw, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	var got, want map[string]any
	if err := errors.Join(json.Unmarshal(raw, &got), json.Unmarshal([]byte(wholeFind), &want)); err != nil {
		t.Fatal(err)
	}
	photo := "photo/2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824"
	want["photos"] = []any{want[photo]}
	delete(want, photo)
	for name, v := range want {
		if !reflect.DeepEqual(got[name], v) {
			t.Errorf("%s is %v, want %v", name, got[name], v)
		}
	}
	if len(f.Conflicts) != 0 || len(f.Other) != 0 || f.Deleted {
		t.Errorf("%+v", f.Common)
	}
	// The list has it without what is long.
	short := FindOf(p.state, id)
	if short.Weight == nil || len(short.Photos) != 1 || short.Photos[0].SHA256 != photo[6:] {
		t.Errorf("in the list: %+v", short)
	}
	if _, again := p.set(KindFind, id, wholeFind); len(again) != 1 {
		// What is known of the photo is not at hand to compare with.
		t.Errorf("saving the same again made %d entries", len(again))
	}
}

func TestKnownFieldsAreChecked(t *testing.T) {
	for kind, cases := range map[string]map[string][]string{
		KindFind: {
			"deleted":   {`"yes"`, `1`},
			"note":      {`5`, `"` + strings.Repeat("x", 8001) + `"`},
			"hunt":      {`"x"`, `{}`},
			"found":     {`-1`, `1.5`, `"today"`, `253402300800000`},
			"coin":      {`{}`, `{"country":"us","denomination":"cent"}`, `{"country":"US","denomination":"cent","year":82}`, `{"country":"US","denomination":"cent","mint":"toolong"}`, `7`},
			"weight":    {`{}`, `{"value":"3,11","unit":"g"}`, `{"value":"3.11"}`, `{"value":"3.11","unit":"tael"}`, `{"value":"3.11","unit":"g","u_g":-1}`},
			"trace":     {`{"after":[1],"shown":[],"status":[]}`},
			"verdict":   {`{}`, `{"call":"Look!","headline":"x"}`, `"bronze"`},
			"kind":      {`"No Name"`, `""`},
			"certainty": {`"sure"`},
			"lies":      {`{"in":"pocket"}`, `{"label":"two\nlines"}`},
			"fate":      {`"sell"`},
			"photo/2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824": {
				`{}`, `{"sha256":"2CF2","type":"image/jpeg","bytes":1}`,
				`{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/gif","bytes":1}`,
				`{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/png","bytes":26214401}`,
				`{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/png","bytes":1,"side":"front"}`,
				`{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/png","bytes":1,"x":1.5}`,
			},
		},
		KindHunt: {
			"source":           {`"bank"`},
			"place":            {`"` + strings.Repeat("x", 81) + `"`, `"a\tb"`},
			"country":          {`"USA"`},
			"denomination":     {`"Cent"`},
			"rolls":            {`-1`, `10001`},
			"coins":            {`1e3`},
			"paid":             {`25`, `{"amount":"25"}`, `{"amount":"-1","currency":"USD"}`, `{"amount":"1.00001","currency":"USD"}`, `{"amount":"1e3","currency":"USD"}`, `{"amount":"25.00","currency":"usd"}`, `{"amount":"1000000000","currency":"USD"}`},
			"begun":            {`"now"`},
			"pause/1750000000": {`true`},
			"roll/1":           {`{"coins":-1}`, `50`},
		},
		KindSetting: {"deleted": {`0`}},
	} {
		for field, values := range cases {
			for _, v := range values {
				p := sit(t, counted())
				_, made, err := p.Write(p.now, Change{Kind: kind, Set: map[string]json.RawMessage{field: json.RawMessage(v), "a": json.RawMessage("1")}})
				var fe *FieldError
				if !errors.As(err, &fe) || fe.Field != field || len(made) != 0 || p.Len() != 0 {
					t.Errorf("%s %s = %s: %v, %d entries", kind, field, v, err, p.Len())
					continue
				}
				if f := fault.Of(err); f.Code != fault.BadInput || !strings.Contains(f.Sentence, ". Nothing was saved") {
					t.Errorf("%s %s = %s: %q", kind, field, v, f.Sentence)
				}
			}
		}
	}
}

func TestWhatIsNewerThanThisVersionIsKept(t *testing.T) {
	newer, p := sit(t, counted()), sit(t, counted())
	id, _ := newer.set(KindFind, "", `{"note":"x","lies":{"in":"flip","label":"3","shelf":{"row":2}},"hue":"<red & brown>"}`)
	// Values that only a newer version's rules allow.
	for field, v := range map[string]string{"fate": `"loan"`, "certainty": `{"of":"two"}`} {
		made, err := newer.author.Write(newer.state, newer.now, KindFind, id, field, json.RawMessage(v))
		newer.keep([]Entry{made}, err)
	}
	other, _ := newer.set("swap", "", `{"with":"a neighbour","count":[1,2]}`)
	p.hear(newer)
	f := p.find(id)
	if string(f.Other["hue"]) != `"\u003cred \u0026 brown\u003e"` || string(f.Other["fate"]) != `"loan"` || string(f.Other["certainty"]) != `{"of":"two"}` || f.Fate != "" {
		t.Errorf("%+v", f)
	}
	if d, err := p.Detail(other, p.all, 0); err != nil || d.Kind != "swap" || string(d.Plain.Other["count"]) != `[1,2]` {
		t.Errorf("%+v %v", d, err)
	}
	if got := p.List(Wanted{Kind: "swap"}); got.Total != 1 {
		t.Errorf("listed %+v", got)
	}
	// Editing here keeps the part of the place this version doesn't know, and a
	// part it does know goes when it is left out.
	p.set(KindFind, id, `{"lies":{"in":"tube"}}`)
	newer.hear(p)
	held := newer.state.Field(id, "lies")
	var lies map[string]any
	if len(held) != 1 || json.Unmarshal(held[0].Value, &lies) != nil || !reflect.DeepEqual(lies, map[string]any{"in": "tube", "shelf": map[string]any{"row": 2.0}}) {
		t.Errorf("lies %v", lies)
	}
}

// TestTwoPhonesEditTheSameFindOffline: both values stay, the later is shown,
// and choosing one ends it.
func TestTwoPhonesEditTheSameFindOffline(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first","kind":"cud"}`)
	b.hear(a)
	b.now += 60_000
	a.set(KindFind, id, `{"note":"a’s note"}`)
	b.set(KindFind, id, `{"note":"b’s note","fate":"keep"}`)
	a.hear(b)
	b.hear(a)
	for _, p := range []*table{a, b} {
		f := p.find(id)
		if f.Note != "b’s note" || len(f.Conflicts) != 1 || f.Conflicts[0].Field != "note" || string(f.Conflicts[0].Others[0].Value) != `"a’s note"` {
			t.Errorf("%+v", f.Common)
		}
		if f.Fate != "keep" || f.Kind != "cud" {
			t.Errorf("the other fields: %+v", f)
		}
		if got := p.InConflict(); !slices.Equal(got, []Record{id}) {
			t.Errorf("in conflict: %v", got)
		}
	}
	a.set(KindFind, id, `{"note":"a’s note"}`) // the loser is chosen
	b.hear(a)
	if f := b.find(id); f.Note != "a’s note" || len(f.Conflicts) != 0 || len(b.InConflict()) != 0 {
		t.Errorf("%+v", f.Common)
	}
}

// TestAStaleScreenOverwritesNothing: while a form is open, another phone's note
// arrives. Saving the form leaves it beside.
func TestAStaleScreenOverwritesNothing(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	form := a.find(id).IDs
	b.set(KindFind, id, `{"note":"b’s note"}`)
	a.hear(b)
	_, made, err := a.Write(a.now, Change{Kind: KindFind, Record: id, Set: map[string]json.RawMessage{"note": json.RawMessage(`"a’s note"`)}, Saw: form})
	a.keep(made, err)
	if f := a.find(id); len(f.Conflicts) != 1 {
		t.Errorf("%+v", f.Common)
	}
}

func TestUndo(t *testing.T) {
	p := sit(t, counted())
	id, _ := p.set(KindFind, "", `{"note":"first","kind":"cud"}`)
	undo := func(entries []Entry) ([]Entry, error) {
		ids := make([]ID, len(entries))
		for i, e := range entries {
			ids[i] = e.ID
		}
		return p.Undo(p.now, ids, p.all)
	}
	edit := p.keep(second(p.set(KindFind, id, `{"note":"second","fate":"trade"}`)), nil)
	p.all = p.all[:4] // keep put them in twice
	undone := p.keep(undo(edit))
	if f := p.find(id); f.Note != "first" || f.Fate != "" || f.Kind != "cud" {
		t.Errorf("after undo: %+v", f)
	}
	if _, err := undo(edit); fault.Of(err).Code != fault.BadInput {
		t.Errorf("undone twice: %v", err)
	}
	p.keep(undo(undone))
	if f := p.find(id); f.Note != "second" || f.Fate != "trade" {
		t.Errorf("after undo of undo: %+v", f)
	}
	if _, err := p.Undo(p.now, []ID{{"nobody", 1}}, p.all); fault.Of(err).Code != fault.NotFound {
		t.Errorf("unknown: %v", err)
	}

	other, made := p.set(KindFind, "", `{"note":"by mistake","kind":"cud"}`)
	p.keep(undo(made))
	if f := p.find(other); !f.Deleted || f.Note != "by mistake" {
		t.Errorf("a new find undone: %+v", f)
	}
	if got := p.List(Wanted{Kind: KindFind}); got.Total != 1 {
		t.Errorf("listed %+v", got)
	}
	if got := p.List(Wanted{Kind: KindFind, Deleted: true}); !slices.Equal(got.Records, []Record{other}) {
		t.Errorf("deleted ones %+v", got)
	}
	p.set(KindFind, other, `{"deleted":false}`)
	if got := p.List(Wanted{Kind: KindFind}); got.Total != 2 {
		t.Errorf("taken back %+v", got)
	}
}

func second(_ Record, e []Entry) []Entry { return e }

// TestUndoGivesBackTheShownOfSeveral: what ended a conflict is undone to the
// value that was shown.
func TestUndoGivesBackTheShownOfSeveral(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	b.now += 60_000
	a.set(KindFind, id, `{"note":"a"}`)
	b.set(KindFind, id, `{"note":"b"}`)
	a.hear(b)
	_, made := a.set(KindFind, id, `{"note":"both"}`)
	a.keep(a.Undo(a.now, []ID{made[0].ID}, a.all))
	if f := a.find(id); f.Note != "b" || len(f.Conflicts) != 0 {
		t.Errorf("%+v", f.Common)
	}
}

func TestAnEditAfterADeletionShows(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	a.set(KindFind, id, `{"deleted":true}`)
	if f := a.find(id); !f.Deleted || f.EditedSince {
		t.Errorf("%+v", f.Common)
	}
	b.now += 60_000
	b.set(KindFind, id, `{"note":"it is a good one"}`)
	a.hear(b)
	if f := a.find(id); !f.Deleted || !f.EditedSince {
		t.Errorf("%+v", f.Common)
	}
}

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
			calls := map[string]int64{"ordinary": rapid.Int64Range(0, 20).Draw(rt, "ordinary"), "look": rapid.Int64Range(0, 2).Draw(rt, "look")}
			p.keep(p.Count(p.now, hunt, calls))
			for c, n := range calls {
				if n > 0 {
					want[c] += n
				}
			}
		}
		for _, p := range phones {
			for _, o := range phones {
				p.hear(o)
			}
			h := HuntOf(p.state, hunt, p.now)
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
	if h := HuntOf(p.state, hunt, p.now); !h.Paused || h.Active != 600_000 {
		t.Errorf("paused: %+v", h)
	}
	p.keep(p.Pause(p.now, hunt, false))
	p.set(KindHunt, hunt, `{"roll/2":{"coins":30},"roll/1":{"coins":50,"done":true},"ended":1750001500000,"returned":{"amount":"24.97","currency":"USD"}}`)
	p.keep(p.Count(p.now, hunt, map[string]int64{"ordinary": 20}))
	for _, kind := range []string{"doubled-die", "doubled-die", "cud"} {
		p.set(KindFind, "", `{"hunt":"`+string(hunt)+`","kind":"`+kind+`"}`)
	}
	gone, _ := p.set(KindFind, "", `{"hunt":"`+string(hunt)+`","kind":"cud"}`)
	p.set(KindFind, gone, `{"deleted":true}`)

	got := p.Hunts(p.now)[0]
	if got.Paused || got.Active != 1_200_000 || got.Searched != 80 || !reflect.DeepEqual(got.Progress, []RollProgress{{1, 50, true}, {2, 30, false}}) {
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

// TestAPhonePutBackToAnOldState goes on beside its earlier self: each run of the
// app has its own name, so nothing clashes and nothing is lost.
func TestAPhonePutBackToAnOldState(t *testing.T) {
	random := counted()
	p := sit(t, random)
	id, _ := p.set(KindFind, "", `{"note":"first"}`)
	back := sit(t, random)
	back.hear(p)
	p.set(KindFind, id, `{"note":"second"}`)
	back.set(KindFind, id, `{"kind":"cud"}`)
	if back.Writer() == p.Writer() {
		t.Fatal("two runs under one name")
	}
	p.hear(back)
	back.hear(p)
	for _, b := range []*table{p, back} {
		if f := b.find(id); f.Note != "second" || f.Kind != "cud" || len(f.Conflicts) != 0 {
			t.Errorf("%+v", f)
		}
	}
}

// TestForkedEntriesAreWrittenAgain: two runs under one name, which no honest
// app makes. What is refused comes in under another name, the same whoever
// writes it again, and however much of it they have.
func TestForkedEntriesAreWrittenAgain(t *testing.T) {
	p, twin := sit(t, zeros), sit(t, zeros)
	id, _ := p.set(KindFind, "", `{"note":"first"}`)
	twin.hear(p)
	p.set(KindFind, id, `{"note":"second"}`)
	old := len(twin.all)
	twin.set(KindFind, id, `{"kind":"cud"}`)
	twin.set(KindFind, id, `{"kind":"die-clash"}`)
	mine := twin.all[old:]
	if _, _, err := p.Add(mine[0].Wire()); err != ErrFork {
		t.Fatalf("the fork: %v", err)
	}
	part, whole := Renew(mine[:1]), Renew([]Entry{mine[1], mine[0]})
	if len(whole) != 2 || !reflect.DeepEqual(part, whole[:1]) || whole[0].Stamp != mine[0].Stamp {
		t.Fatalf("%+v\n%+v", part, whole)
	}
	for _, e := range whole {
		if _, added, err := p.Add(e.Wire()); !added || err != nil {
			t.Fatal(added, err)
		}
		p.all = append(p.all, e)
	}
	if f := p.find(id); f.Note != "second" || f.Kind != "die-clash" || len(f.Conflicts) != 0 {
		t.Errorf("%+v", f)
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
