package bridge

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"panside/internal/journal"
	"panside/internal/sync"
	"panside/internal/sync/synctest"
)

// phoneTest is a phone with its store, used as the page uses the core.
type phoneTest struct {
	t     *testing.T
	core  *Phone
	store synctest.Phone
	kept  string // bytes beside the last answer
}

type storedEntry = synctest.Entry

func newPhoneTest(t *testing.T, seed byte) *phoneTest {
	p := &phoneTest{t: t, core: NewPhone(func(b []byte) {
		for i := range b {
			seed += 3
			b[i] = seed
		}
	})}
	p.call("journal-open", `{"entries":0}`, nil)
	return p
}

// try calls a method and returns the code and field of its error.
func (p *phoneTest) try(method, in string, into any) (code, field string) {
	p.t.Helper()
	var a struct {
		OK    json.RawMessage
		Error *struct{ Code, Field, Sentence string }
	}
	out, kept := p.core.Call(method, []byte(in))
	p.kept = string(kept)
	if err := json.Unmarshal(out, &a); err != nil {
		p.t.Fatal(err)
	}
	if a.Error != nil {
		return a.Error.Code, a.Error.Field
	}
	if into != nil {
		if err := json.Unmarshal(a.OK, into); err != nil {
			p.t.Fatalf("%s: %v in %s", method, err, a.OK)
		}
	}
	return "", ""
}

func (p *phoneTest) call(method, in string, into any) {
	p.t.Helper()
	if code, field := p.try(method, in, into); code != "" {
		p.t.Fatalf("%s: %s %s", method, code, field)
	}
}

// write calls a method that writes, and stores.
func (p *phoneTest) write(method, in string) (record string, ids []string) {
	p.t.Helper()
	var w struct {
		Record  string
		Entries []journal.Row
	}
	p.call(method, in, &w)
	p.store.Put(w.Entries, false)
	for _, e := range w.Entries {
		ids = append(ids, e.ID.String())
	}
	return w.Record, ids
}

func (p *phoneTest) raws(wanted func(storedEntry) bool) string {
	var lines strings.Builder
	for _, e := range p.store.Entries {
		if wanted(e) {
			lines.WriteString("\n" + e.Raw)
		}
	}
	return lines.String()
}

func inJSON(v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(raw)
}

func TestAPhoneKeepsItsJournal(t *testing.T) {
	p := newPhoneTest(t, 1)
	hunt, _ := p.write("journal-write", `{"now":1750000000000,"kind":"hunt","set":{"source":"jar","begun":1750000000000}}`)
	find, _ := p.write("journal-write", `{"now":1750000001000,"kind":"find","set":{"hunt":"`+hunt+`","note":"a < b & “c”","kind":"cud"}}`)
	p.write("journal-count", `{"now":1750000002000,"hunt":"`+hunt+`","calls":{"ordinary":7,"look":1}}`)
	p.write("journal-pause", `{"now":1750000003000,"hunt":"`+hunt+`","begin":true}`)
	if code, field := p.try("journal-write", `{"now":1,"kind":"find","record":"`+find+`","set":{"fate":"melt"}}`, nil); code != "bad-input" || field != "fate" {
		t.Errorf("a wrong value: %q in %q", code, field)
	}

	check := func(p *phoneTest) {
		t.Helper()
		var list struct {
			Total   int
			Records []struct{ Record, Note, Kind string }
		}
		p.call("journal-list", `{"kind":"find","hunt":"`+hunt+`"}`, &list)
		if list.Total != 1 || list.Records[0].Record != find || list.Records[0].Note != "a < b & “c”" {
			t.Errorf("list %+v", list)
		}
		var hunts struct {
			Hunts []struct {
				Record  string
				State   string
				Account struct {
					Searched, Finds int
					Kinds           map[string]int
				}
			}
			Sources []struct{ Source string }
		}
		p.call("journal-hunts", `{"now":1750000009000}`, &hunts)
		if len(hunts.Hunts) != 1 || len(hunts.Sources) != 1 || hunts.Hunts[0].Account.Searched != 8 || hunts.Hunts[0].Account.Kinds["cud"] != 1 || hunts.Hunts[0].State != "paused" {
			t.Errorf("hunts %+v", hunts)
		}
	}
	check(p)
	p.call("journal-snapshot", `{}`, nil)
	snap := p.kept

	// The app is closed and opened again, with and without the snapshot.
	for i, snapshot := range []string{snap, "", "panside-state 0 of an older version"} {
		again := newPhoneTest(t, byte(100+i))
		again.store = p.store.Clone()
		var opened struct {
			Entries int
			Rebuild bool
		}
		again.call("journal-open", inJSON(map[string]any{"entries": len(p.store.Entries)})+"\n"+snapshot, &opened)
		if opened.Rebuild != strings.Contains(snapshot, "older") {
			t.Errorf("opened %+v", opened)
		}
		var added struct {
			Entries    int
			Complete   bool
			Unreadable []int
		}
		again.call("journal-add", fmt.Sprintf(`{"total":%d}`, len(p.store.Entries))+again.raws(func(storedEntry) bool { return true }), &added)
		if !added.Complete || added.Entries != len(p.store.Entries) || len(added.Unreadable) != 0 {
			t.Errorf("added %+v", added)
		}
		check(again)
		_, ids := again.write("journal-write", `{"now":1750000005000,"kind":"find","record":"`+find+`","set":{"fate":"keep"}}`)
		if writer, seq, _ := strings.Cut(ids[0], "."); seq != "1" || strings.HasPrefix(p.store.Entries[0].ID.String(), writer+".") {
			t.Errorf("the next run writes %s", ids[0])
		}
	}

	// A store that lost entries the snapshot knows.
	var opened struct {
		Entries int
		Rebuild bool
	}
	p.call("journal-open", `{"entries":1}`+"\n"+snap, &opened)
	if !opened.Rebuild || opened.Entries != 0 {
		t.Errorf("a store that lost entries: %+v", opened)
	}
}

func TestARecordWithItsHistoryAndUndo(t *testing.T) {
	p := newPhoneTest(t, 1)
	find, _ := p.write("journal-write", `{"now":1750000001000,"kind":"find","set":{"note":"first"}}`)
	own := func(e storedEntry) bool { return string(e.Record) == find }
	type detail struct {
		Kind string
		Find struct {
			Note string
			IDs  map[string][]string
		}
		History []struct {
			Field, Now string
		}
	}
	var d detail
	p.call("journal-record", `{"record":"`+find+`","now":1}`+p.raws(own), &d)
	_, ids := p.write("journal-write", `{"now":1750000002000,"kind":"find","record":"`+find+`","set":{"note":"second"},"saw":`+inJSON(d.Find.IDs)+`}`+p.raws(own))
	_, undone := p.write("journal-undo", `{"now":1750000003000,"entries":`+inJSON(ids)+`}`+p.raws(own))
	if len(undone) != 1 {
		t.Errorf("undone by %v", undone)
	}
	d = detail{}
	p.call("journal-record", `{"record":"`+find+`","now":1}`+p.raws(own), &d)
	if d.Kind != "find" || d.Find.Note != "first" || len(d.History) != 3 || d.History[2].Now != "shown" {
		t.Errorf("%+v", d)
	}
	if code, _ := p.try("journal-record", `{"record":"`+find+`"}`, nil); code != "not-found" {
		t.Errorf("without its entries: %q", code)
	}
}

// meet has a round of the phone's sync with a laptop.
func (p *phoneTest) meet(laptop *synctest.Laptop) (ended sync.Ended) {
	p.t.Helper()
	p.call("sync-wake", `{"why":"start"}`, nil)
	for step := p.step("sync-next", sync.Reply{}); ; {
		if step.Shown != nil {
			ended = step.Shown.Ended
		}
		reply := sync.Reply{Step: step.ID, Alone: true}
		switch step.Do {
		case sync.Wait:
			return ended
		case sync.Ask:
			reply.Status, reply.Body = laptop.Serve(p.store.Request(step, []byte(p.kept)))
		case sync.Read, sync.Store:
			reply = p.store.Do(step)
			if step.Store != nil && step.Store.Reopen {
				p.reopen("")
			}
		}
		step = p.step("sync-answer", reply)
	}
}

func (p *phoneTest) step(method string, r sync.Reply) (step sync.Step) {
	p.t.Helper()
	head := inJSON(struct {
		Now int64 `json:"now"`
		sync.Reply
	}{1_750_000_000_000, r})
	p.call(method, head+"\n"+string(r.Body), &step)
	return step
}

// reopen opens the notebook from the store.
func (p *phoneTest) reopen(phone string) {
	p.t.Helper()
	p.call("journal-open", fmt.Sprintf(`{"entries":%d,"phone":%q}`, len(p.store.Entries), phone), nil)
	p.call("journal-add", fmt.Sprintf(`{"total":%d}`, len(p.store.Entries))+p.raws(func(storedEntry) bool { return true }), nil)
}

func TestPhonesMeetAtTheLaptop(t *testing.T) {
	a, b := newPhoneTest(t, 1), newPhoneTest(t, 99)
	laptop := synctest.NewLaptop()
	find, _ := a.write("journal-write", `{"now":1750000001000,"kind":"find","set":{"note":"<first>","kind":"cud"}}`)
	a.meet(laptop)
	if end := b.meet(laptop); end.Is != sync.Well || len(b.store.Entries) != 2 || b.store.Entries[0].Raw != a.store.Entries[0].Raw || !b.store.Entries[0].Sent {
		t.Errorf("%+v with %+v", end, b.store.Entries)
	}
	a.write("journal-write", `{"now":1750000001000,"kind":"find","record":"`+find+`","set":{"note":"a"}}`)
	b.write("journal-write", `{"now":1750000001000,"kind":"find","record":"`+find+`","set":{"note":"b"}}`)
	b.meet(laptop)
	a.meet(laptop)
	var c struct {
		Records []struct {
			Record, Kind string
			Conflicts    []struct{ Field string }
		}
	}
	a.call("journal-conflicts", `{}`, &c)
	if len(c.Records) != 1 || c.Records[0].Kind != "find" || c.Records[0].Conflicts[0].Field != "note" {
		t.Errorf("conflicts %+v", c)
	}
}

// TestWhoWroteWhat: a phone says once a run who it is, and what it is called when
// that changes; others say it beside what it wrote.
func TestWhoWroteWhat(t *testing.T) {
	a, b := newPhoneTest(t, 1), newPhoneTest(t, 99)
	laptop := synctest.NewLaptop()
	by := func(p *phoneTest, name string) string {
		phone := ""
		for _, e := range p.store.Entries {
			if e.Kind == "phone" && !e.Sent {
				phone = string(e.Record)
			}
		}
		return fmt.Sprintf(`"by":{"phone":%q,"name":%q}`, phone, name)
	}
	find, made := a.write("journal-write", `{"now":1750000001000,`+by(a, "")+`,"kind":"find","set":{"note":"first"}}`)
	if len(made) != 2 || a.store.Entries[1].Kind != "phone" || string(a.store.Entries[1].Record) == find {
		t.Fatalf("stored %+v", a.store)
	}
	own := string(a.store.Entries[1].Record)
	if _, again := a.write("journal-write", `{"now":1750000002000,`+by(a, "")+`,"kind":"find","record":"`+find+`","set":{"fate":"keep"}}`); len(again) != 1 {
		t.Errorf("signed again: %v", again)
	}
	if _, none := a.write("journal-write", `{"now":1750000002000,`+by(a, "Kitchen phone")+`,"kind":"find","record":"`+find+`","set":{}}`); len(none) != 0 {
		t.Errorf("signed without having written: %v", none)
	}
	_, made = a.write("journal-undo", `{"now":1750000003000,`+by(a, "Kitchen phone")+`,"entries":["`+a.store.Entries[2].ID.String()+`"]}`+a.raws(func(e storedEntry) bool { return string(e.Record) == find }))
	if len(made) != 2 || a.store.Entries[4].Kind != "phone" || a.store.Entries[4].Field != "name" || string(a.store.Entries[4].Record) != own {
		t.Errorf("joined since: %+v", a.store.Entries[3:])
	}
	a.meet(laptop)
	b.meet(laptop)

	type written struct {
		Note    string
		History []struct {
			Field string
			By    *struct {
				Phone, Name string
				Here        bool
			}
		}
	}
	for _, tc := range []struct {
		p    *phoneTest
		here bool
	}{{a, true}, {b, false}} {
		var d written
		tc.p.call("journal-record", `{"record":"`+find+`"}`+tc.p.raws(func(e storedEntry) bool { return string(e.Record) == find }), &d)
		for _, e := range d.History {
			if e.By == nil || e.By.Phone != own || e.By.Name != "Kitchen phone" || e.By.Here != tc.here {
				t.Errorf("here %v: %s by %+v", tc.here, e.Field, e.By)
			}
		}
	}

	// A keeping is taken back with all that was written for it, but who it was.
	c := newPhoneTest(t, 55)
	_, made = c.write("journal-write", `{"now":1,`+by(c, "Hall phone")+`,"kind":"find","set":{"note":"x"}}`)
	_, undone := c.write("journal-undo", `{"now":2,"entries":`+inJSON(made)+`}`+c.raws(func(storedEntry) bool { return true }))
	if len(made) != 3 || len(undone) != 1 || c.store.Entries[3].Kind != "find" || c.store.Entries[3].Field != "deleted" {
		t.Errorf("of %d entries taken back by %+v", len(made), c.store.Entries[3:])
	}

	// The next run is of the same phone; one that never said who it is isn't named.
	again := newPhoneTest(t, 7)
	again.store = a.store.Clone()
	again.reopen(own)
	b.write("journal-write", `{"now":1750000009000,"kind":"find","record":"`+find+`","set":{"certainty":"guess"}}`)
	b.meet(laptop)
	again.meet(laptop)
	var d written
	again.call("journal-record", `{"record":"`+find+`"}`+again.raws(func(e storedEntry) bool { return string(e.Record) == find }), &d)
	for _, e := range d.History {
		if e.Field == "certainty" != (e.By == nil) || e.By != nil && !e.By.Here {
			t.Errorf("in the next run: %s by %+v", e.Field, e.By)
		}
	}
}

// TestAForkIsWrittenAgain: two runs under one name, made here by randomness that
// repeats itself.
func TestAForkIsWrittenAgain(t *testing.T) {
	a, twin := newPhoneTest(t, 1), newPhoneTest(t, 1)
	laptop := synctest.NewLaptop()
	a.write("journal-write", `{"now":1,"kind":"find","set":{"note":"one"}}`)
	a.meet(laptop)
	_, ids := twin.write("journal-write", `{"now":3,"kind":"find","set":{"note":"other one"}}`)
	if ids[0] != a.store.Entries[0].ID.String() {
		t.Fatalf("%v is no fork of %v", ids, a.store.Entries)
	}
	if end := twin.meet(laptop); end.Is != sync.Well {
		t.Errorf("%+v", end)
	}
	var list struct{ Total int }
	twin.call("journal-list", `{"kind":"find"}`, &list)
	if list.Total != 2 || twin.store.Renewed != 1 || twin.store.Unsent() != 0 {
		t.Errorf("%d finds, written again %d times: %+v", list.Total, twin.store.Renewed, twin.store.Entries)
	}
}

func TestAQuestionThatIsNone(t *testing.T) {
	p := newPhoneTest(t, 1)
	for method, in := range map[string]string{
		"journal-list": `{`, "sync-wake": `{"why":"boredom"}`, "sync-next": ``, "sync-answer": `[]`, "sync-part": `{"bytes":"x"}`,
	} {
		if code, _ := p.try(method, in, nil); code != "bad-input" {
			t.Errorf("%s %s: %q", method, in, code)
		}
	}
}

// TestTheServerKeepsNoNotebook: the package's own Call has no journal, for it
// would be one for everybody; a Phone has its own.
func TestTheServerKeepsNoNotebook(t *testing.T) {
	if _, has := methods["journal-open"]; has {
		t.Error("journal-open is there")
	}
	if _, has := NewPhone(func([]byte) {}).methods["journal-open"]; !has {
		t.Error("a phone has no journal")
	}
}
