package journal

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
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
		c.Saw, c.Entries = PlainOf(p.state, id).IDs, p.all
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

func ids(entries []Entry) []ID {
	list := make([]ID, len(entries))
	for i, e := range entries {
		list[i] = e.ID
	}
	return list
}

func (p *table) entry(id ID) Entry {
	p.t.Helper()
	at := slices.IndexFunc(p.all, func(e Entry) bool { return e.ID == id })
	if at < 0 {
		p.t.Fatalf("no entry %v", id)
	}
	return p.all[at]
}

func (p *table) find(id Record) Find {
	p.t.Helper()
	d, err := p.Detail(id, p.all, p.now)
	if err != nil || d.Find == nil {
		p.t.Fatal(d, err)
	}
	d.Find.Warn(say.English)
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
	if _, again := p.set(KindFind, id, wholeFind); len(again) != 0 {
		t.Errorf("saving the same again made %d entries", len(again))
	}
	if _, _, err := p.Write(p.now, Change{Kind: KindHunt, Record: id, Set: map[string]json.RawMessage{"note": json.RawMessage(`"x"`)}}); fault.Of(err).Code != fault.BadInput {
		t.Errorf("a find written as a hunt: %v", err)
	}
}

// TestAFindOpensWhoseFactIsGone: the kind, the coin and the answers that it points at
// needn't be in the book of today.
func TestAFindOpensWhoseFactIsGone(t *testing.T) {
	p := sit(t, counted())
	id, _ := p.set(KindFind, "", `{"kind":"of-an-older-book","coin":{"country":"XX","denomination":"gone","year":1801},"evidence":{"us-gone-mark":"above"}}`)
	f := p.find(id)
	if f.Kind != "of-an-older-book" || f.Coin == nil || f.Coin.Denomination != "gone" || f.Evidence["us-gone-mark"] != "above" {
		t.Errorf("%+v", f)
	}
	if got := p.List(Wanted{Kind: KindFind}); got.Total != 1 {
		t.Errorf("listed %+v", got)
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
				var fe *fault.Field
				if !errors.As(err, &fe) || fe.Name != field || len(made) != 0 || p.Len() != 0 {
					t.Errorf("%s %s = %s: %v, %d entries", kind, field, v, err, p.Len())
					continue
				}
				if f := fault.Of(err); f.Code != fault.BadInput || !strings.Contains(f.English(), ". Nothing was saved") {
					t.Errorf("%s %s = %s: %q", kind, field, v, f.English())
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
	// A photo's value is too long to be at hand.
	photo := "photo/2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824"
	about := func(more string) string {
		return `{"` + photo + `":{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/jpeg","bytes":312000,"taken":1750000001000` + more + `}}`
	}
	newer.set(KindFind, id, about(`,"side":"obverse","light":"raking, from the left"`))
	p.hear(newer)
	p.set(KindFind, id, about(`,"side":"reverse"`))
	newer.hear(p)
	if got := string(newer.all[len(newer.all)-1].Value); !strings.Contains(got, "raking") || !strings.Contains(got, "reverse") {
		t.Errorf("the photo is now %s", got)
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

// TestTwoPhonesThatAgreeAreNoConflict: both wrote the same, and the next edit
// replaces both.
func TestTwoPhonesThatAgreeAreNoConflict(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	a.set(KindFind, id, `{"fate":"keep"}`)
	b.set(KindFind, id, `{"fate":"keep"}`)
	a.hear(b)
	if f := a.find(id); f.Fate != "keep" || len(f.Conflicts) != 0 || len(a.InConflict()) != 0 || len(f.IDs["fate"]) != 2 {
		t.Errorf("%+v", f)
	}
	_, made := a.set(KindFind, id, `{"fate":"trade"}`)
	if len(made) != 1 || len(made[0].Replaces) != 2 {
		t.Errorf("%+v", made)
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
	undo := func(entries []Entry) ([]Entry, error) { return p.Undo(p.now, ids(entries), p.all) }
	edit := p.keep(second(p.set(KindFind, id, `{"note":"second","fate":"trade"}`)), nil)
	p.all = p.all[:4] // keep put them in twice
	undone := p.keep(undo(edit))
	if f := p.find(id); f.Note != "first" || f.Fate != "" || f.Kind != "cud" {
		t.Errorf("after undo: %+v", f)
	}
	if _, err := undo(edit); err == nil || fault.Of(err).Code != fault.BadInput {
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

// TestAChoiceTakenBackOpensTheConflictAgain: each value is there again, with
// the phone that wrote it and when, the one that was shown before the others.
func TestAChoiceTakenBackOpensTheConflictAgain(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	_, made, err := a.Sign(a.now, "", "Kitchen phone")
	a.keep(made, err)
	_, made, err = b.Sign(b.now, "", "Sam’s phone")
	b.keep(made, err)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	b.now += 60_000
	a.set(KindFind, id, `{"note":"a"}`)
	b.set(KindFind, id, `{"note":"b"}`)
	a.hear(b)
	said := func(p *table) (list []string) {
		f := p.find(id)
		for _, c := range f.Conflicts {
			for _, v := range append([]ConflictValue{c.Shown}, c.Others...) {
				list = append(list, fmt.Sprintf("%s by %s at %d, here %v", v.Value, v.By.Name, v.At, v.By.Here))
			}
		}
		return list
	}
	want := said(a)
	if len(want) != 2 || want[0] != fmt.Sprintf(`"b" by Sam’s phone at %d, here false`, b.now-1000) || want[1] != fmt.Sprintf(`"a" by Kitchen phone at %d, here true`, a.now-1000) {
		t.Fatal(want)
	}
	for _, choice := range []string{`"a"`, `"b"`, `"both"`, `null`} {
		_, made := a.set(KindFind, id, `{"note":`+choice+`}`)
		if got := said(a); len(got) != 0 {
			t.Fatalf("%s chosen: %v", choice, got)
		}
		back := a.keep(a.Undo(a.now, ids(made), a.all))
		if got := said(a); !slices.Equal(got, want) {
			t.Fatalf("%s taken back: %v", choice, got)
		}
		redone := a.keep(a.Undo(a.now, ids(back), a.all))
		if f := a.find(id); len(f.Conflicts) != 0 || choice != "null" && `"`+f.Note+`"` != choice {
			t.Fatalf("%s done again: %+v", choice, f.Common)
		}
		a.keep(a.Undo(a.now, ids(redone), a.all))
		if got := said(a); !slices.Equal(got, want) {
			t.Fatalf("%s taken back once more: %v", choice, got)
		}
	}
	b.hear(a)
	if got := said(b); len(got) != 2 || got[0] != strings.Replace(want[0], "false", "true", 1) || got[1] != strings.Replace(want[1], "true", "false", 1) {
		t.Errorf("on the other phone: %v", got)
	}
}

// TestUndoLeavesWhatAnotherPhoneWrote beside the earlier value.
func TestUndoLeavesWhatAnotherPhoneWrote(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	_, made := a.set(KindFind, id, `{"note":"a"}`)
	b.set(KindFind, id, `{"note":"b"}`)
	a.hear(b)
	a.keep(a.Undo(a.now, []ID{made[0].ID}, a.all))
	if f := a.find(id); f.Note != "first" || len(f.Conflicts) != 1 || string(f.Conflicts[0].Others[0].Value) != `"b"` {
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
	anew := sit(t, random)
	was := anew.Writer()
	if err := anew.Open(""); err != nil || anew.Writer() == was {
		t.Errorf("opened anew after a failure to store, it goes on as %s, %v", anew.Writer(), err)
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
	forked := []ID{mine[0].ID}
	part, _ := Renew(forked, mine[:1])
	whole, drop := Renew(forked, mine)
	if len(whole) != 2 || len(drop) != 2 || !reflect.DeepEqual(part, whole[:1]) || whole[0].Stamp != mine[0].Stamp {
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

	// A third phone that replaced a forked entry is written again with it, from
	// there on.
	other := sit(t, counted())
	other.hear(twin)
	before := len(other.all)
	other.set(KindFind, "", `{"note":"of its own"}`)
	other.set(KindFind, id, `{"kind":"off-centre"}`)
	other.set(KindFind, "", `{"note":"later"}`)
	again, drop := Renew(forked, slices.Concat(mine, other.all[before:]))
	if len(again) != 4 || len(drop) != 4 || drop[2] != other.all[before+1].ID || again[2].ID.Seq != 1 || again[3].Prev != again[2].Hash() ||
		!slices.Equal(again[2].Replaces, []ID{whole[1].ID}) || !reflect.DeepEqual(again[:2], whole) {
		t.Errorf("%+v", again)
	}
}
