package sync_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/internal/sync"
	"panside/internal/sync/synctest"
)

const push, pull = "POST /journal", "GET /journal"

func TestTwoPhonesAndTheLaptopComeToTheSame(t *testing.T) {
	laptop := synctest.NewLaptop()
	a, b := newPhone(t, 1, laptop), newPhone(t, 2, laptop)
	a.m.Limit(sync.Limits{Batch: 2, Page: 3})
	for i := range 5 {
		a.write(fmt.Sprint(i+1), picture(byte(i), 10))
	}
	a.round()
	b.write("6")
	b.round()
	a.round()
	same(t, "the laptop", notesOf(t, laptop), []string{"1", "2", "3", "4", "5", "6"})
	same(t, "one phone", sorted(a.notes()), sorted(b.notes()))
	same(t, "photos", len(laptop.Photos), 5)
	a.allSent("the first")
	b.allSent("the second")
}

// TestTheOrderOfARound: entries before photos, the push before the pull.
func TestTheOrderOfARound(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.store.Used = 0.9
	a := picture(1, 10)
	p.write("1", a)
	if end := p.round(); end.Is != sync.Well || end.At != p.now {
		t.Errorf("%+v", end)
	}
	photo := "/photos/" + synctest.SumOf(a)
	same(t, "asked", laptop.Asked, []string{
		push, pull, "GET /photos/wanted",
		"POST /photos/missing", "GET " + photo + "/progress", "PUT " + photo, "POST /photos/missing",
		"POST /photos/missing", // once more before it is freed
	})
	var is []string
	for _, d := range p.doing {
		is = append(is, d.Is)
	}
	same(t, "doing", slices.Compact(is), []string{"nothing", "entries", "photos", "nothing"})
}

func TestARoundEndsRightWhicheverRequestFails(t *testing.T) {
	for _, lost := range []string{"before", "after"} {
		for nth := 1; ; nth++ {
			laptop := synctest.NewLaptop()
			p := newPhone(t, 1, laptop)
			p.m.Limit(sync.Limits{Part: 64})
			p.write("1", picture(1, 69))
			p.write("2", picture(2, 10))
			fail := func(n int, _ synctest.Request) bool { return n != nth }
			if lost == "before" {
				laptop.Before = fail
			} else {
				laptop.After = fail
			}
			why := fmt.Sprint(lost, nth)
			end := p.round()
			failed := len(laptop.Asked) >= nth
			if failed && end.Is != sync.Away {
				t.Errorf("%s: %+v", why, end)
			}
			if failed && (p.until < p.now+2250 || p.until > p.now+3750) {
				t.Errorf("%s: the next round in %d ms", why, p.until-p.now)
			}
			p.round()
			same(t, why, notesOf(t, laptop), []string{"1", "2"})
			same(t, why, len(laptop.Photos), 2)
			p.allSent(why)
			if !failed {
				break
			}
		}
	}
}

func TestNothingCountsAsSentThatTheLaptopHasNotConfirmed(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1", picture(1, 10))
	laptop.After = func(_ int, q synctest.Request) bool { return q.Method != "POST" } // stored, but the answer is lost
	p.round()
	same(t, "on the laptop, unsent, photos", fmt.Sprint(len(laptop.Entries), p.store.Unsent(), p.unsentPhotos()), "1 1 1")
}

// TestAnAnswerThatNeitherTakesNorRefuses: what a push's answer says nothing of
// isn't called sent, and isn't asked for over and over.
func TestAnAnswerThatNeitherTakesNorRefuses(t *testing.T) {
	for _, answer := range []string{
		`{"v":1,"stored":0,"known":0,"refused":[],"cursor":"1.aa","restart":false}`,
		`{"v":1,"stored":1,"known":0,"refused":[],"cursor":"1.aa","restart":false}`,
		`{"v":1,"stored":2,"known":0,"refused":[{"index":7,"code":"gap"}],"cursor":"1.aa"}`,
		`{"v":1,"stored":1,"known":1,"refused":[{"index":0,"code":"gap"},{"index":0,"code":"gap"}],"cursor":"1.aa"}`,
		`{"v":1}`, `{"v":1,"cursor":7}`, `[]`, `null`, `{`, ``,
	} {
		p := newPhone(t, 1, synctest.NewLaptop())
		p.write("1")
		p.write("2")
		asked := 0
		end := p.with(func(q synctest.Request) (int, []byte) {
			if asked++; asked > 3 {
				t.Fatalf("%s is asked for again and again", answer)
			}
			return 200, []byte(answer)
		})
		if end.Is != sync.Refused || p.store.Unsent() != 2 || p.store.Receipt != "" {
			t.Errorf("%s: %+v, %d unsent, receipt %q", answer, end, p.store.Unsent(), p.store.Receipt)
		}
	}
}

// with has a round with another laptop.
func (p *phone) with(serve func(synctest.Request) (int, []byte)) sync.Ended {
	p.t.Helper()
	p.m.Start()
	for {
		step, body := p.m.Next(p.now)
		if step.Shown != nil {
			p.shown = *step.Shown
		}
		switch step.Do {
		case sync.Wait:
			return p.shown.Ended
		case sync.Ask:
			status, answer := serve(p.store.Request(step, body))
			p.m.Answer(p.now, sync.Reply{Step: step.ID, Status: status, Body: answer})
		default:
			p.m.Answer(p.now, p.reply(step, body))
		}
	}
}

// TestWhatWouldGoOnForEver: a laptop that never knows this phone, whose pages
// never end, and a store that keeps nothing.
func TestWhatWouldGoOnForEver(t *testing.T) {
	for name, serve := range map[string]func(q synctest.Request) string{
		"a push never known": func(synctest.Request) string {
			return `{"v":1,"stored":1,"known":0,"refused":[],"cursor":"1.aa","restart":true}`
		},
		"a pull never known": func(q synctest.Request) string {
			if q.Method == "POST" {
				return `{"v":1,"stored":1,"known":0,"refused":[],"cursor":"1.aa","restart":false}`
			}
			return `{"v":1,"entries":[],"cursor":"1.aa","more":false,"restart":true}`
		},
		"more after nothing": func(q synctest.Request) string {
			if q.Method == "POST" {
				return `{"v":1,"stored":1,"known":0,"refused":[],"cursor":"1.aa","restart":false}`
			}
			return `{"v":1,"entries":[],"cursor":"1.aa","more":true,"restart":false}`
		},
		"the same page": func(q synctest.Request) string {
			if q.Method == "POST" {
				return `{"v":1,"stored":1,"known":0,"refused":[],"cursor":"1.aa","restart":false}`
			}
			return `{"v":1,"entries":[7],"cursor":"1.aa","more":true,"restart":false}`
		},
	} {
		p := newPhone(t, 1, nil)
		p.m.Limit(sync.Limits{Batch: 1})
		p.write("1")
		p.write("2")
		asked := 0
		end := p.with(func(q synctest.Request) (int, []byte) {
			if asked++; asked > 30 {
				t.Fatalf("%s: for ever", name)
			}
			return 200, []byte(serve(q))
		})
		if end.Is != sync.Refused || end.Sentence == "" {
			t.Errorf("%s: %+v", name, end)
		}
	}

	p := newPhone(t, 1, synctest.NewLaptop())
	p.write("1")
	p.m.Start()
	for n := 0; ; n++ {
		step, body := p.m.Next(p.now)
		if step.Do == sync.Wait {
			break
		}
		if n > 20 {
			t.Fatal("a store that keeps nothing: for ever")
		}
		if step.Do == sync.Store {
			p.m.Answer(p.now, sync.Reply{Step: step.ID})
		} else {
			p.m.Answer(p.now, p.reply(step, body))
		}
	}
}

func TestALaptopPutBackGetsEverythingAgain(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	for i := range 4 {
		p.write(fmt.Sprint(i+1), picture(byte(i), 10))
	}
	p.round()
	laptop.Life++
	laptop.Entries = laptop.Entries[:1]
	delete(laptop.Photos, synctest.SumOf(picture(3, 10)))
	p.round()
	same(t, "on the laptop", sorted(notesOf(t, laptop)), []string{"1", "2", "3", "4"})
	same(t, "photos", len(laptop.Photos), 4)
	p.allSent("put back")
}

// TestAReceiptTellsOfALoss: what was pushed since the last pull is gone there.
func TestAReceiptTellsOfALoss(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1")
	p.round()
	p.write("2")
	laptop.Before = func(_ int, q synctest.Request) bool { return q.Method != "GET" }
	p.round()
	laptop.Before = nil
	laptop.Entries = laptop.Entries[:1] // put back: the cursor is known, the receipt isn't
	p.write("3")
	p.round()
	same(t, "on the laptop", sorted(notesOf(t, laptop)), []string{"1", "2", "3"})
	p.allSent("a loss")
}

func TestAPageThatCouldNotBeStoredIsAskedForAgain(t *testing.T) {
	laptop := synctest.NewLaptop()
	a, b := newPhone(t, 1, laptop), newPhone(t, 2, laptop)
	for i := range 5 {
		a.write(fmt.Sprint(i + 1))
	}
	a.round()
	b.m.Limit(sync.Limits{Page: 3})
	pages := 0
	b.fails = func(s sync.Step) bool {
		if len(s.Store.Add) > 0 {
			pages++
		}
		return pages == 2
	}
	if end := b.round(); end.Is != sync.NoStore || end.Trouble != "full" || len(b.store.Entries) != 3 {
		t.Errorf("%+v with %d entries", end, len(b.store.Entries))
	}
	b.fails = nil
	b.round()
	same(t, "in the laptop's order", b.notes(), notesOf(t, laptop))
}

func TestAForkIsWrittenAgainBeforeMoreIsSent(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.m.Limit(sync.Limits{Batch: 1})
	forked := p.write("1")
	p.write("2")
	p.write("3")
	laptop.Refuse = func(id journal.ID) fault.Code {
		if id.String() == forked {
			return fault.Forked
		}
		return ""
	}
	pushes := 0
	p.at = func(s sync.Step) bool {
		if s.Do == sync.Ask && s.Ask.Method == "POST" && strings.HasSuffix(s.Ask.Path, "/journal") {
			if pushes++; pushes > 1 && slices.ContainsFunc(p.store.Entries, func(e synctest.Entry) bool { return e.ID.String() == forked }) {
				t.Error("more is sent while the fork is still there")
			}
		}
		return true
	}
	if end := p.round(); end.Is != sync.Well {
		t.Errorf("%+v", end)
	}
	same(t, "on the laptop", sorted(notesOf(t, laptop)), []string{"1", "2", "3"})
	same(t, "here", len(p.store.Entries), 3)
	if p.store.Renewed == 0 || !strings.Contains(string(laptop.Entries[0]), `"again-`) {
		t.Errorf("written again %d times: %s", p.store.Renewed, laptop.Entries[0])
	}
	p.allSent("forks")
}

func TestForksWithoutAnEndAreLeftForNow(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1")
	laptop.Refuse = func(journal.ID) fault.Code { return fault.Forked }
	p.round()
	if n := count(laptop.Asked, push); n > 10 {
		t.Errorf("%d pushes", n)
	}
	same(t, "here", len(p.store.Entries), 1)
}

func TestWhatWaitsForAPullIsPushedAfterIt(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	pulls := 0
	laptop.Refuse = func(journal.ID) fault.Code { return fault.Gap }
	laptop.After = func(_ int, q synctest.Request) bool {
		if q.Method == "GET" && strings.Contains(q.Path, "/journal") {
			if pulls++; pulls == 1 {
				laptop.Refuse = nil
			}
		}
		return true
	}
	p.write("1")
	p.round()
	same(t, "on the laptop", notesOf(t, laptop), []string{"1"})
	same(t, "left over", p.shown.LeftOver, "")
	p.write("2")
	laptop.Refuse = func(journal.ID) fault.Code { return fault.Gap }
	if end := p.round(); end.Is != sync.Well {
		t.Errorf("%+v", end)
	}
	same(t, "left over", p.shown.LeftOver, "It is a gap.")
	same(t, "only here", p.store.Unsent(), 1)
}

// TestOneDamagedEntryHoldsUpNoOther: a row that is no JSON would make the laptop
// refuse the whole batch.
func TestOneDamagedEntryHoldsUpNoOther(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1")
	p.write("2")
	p.store.Put([]journal.Row{{ID: journal.ID{Writer: "x", Seq: 1}, Raw: `{"id":"x.1","value":"ha`}}, false)
	if end := p.round(); end.Is != sync.Well || p.shown.LeftOver == "" {
		t.Errorf("%+v, %q", end, p.shown.LeftOver)
	}
	same(t, "on the laptop", notesOf(t, laptop), []string{"1", "2"})
}

func TestTheLaptopsOwnWordsAreShown(t *testing.T) {
	for body, want := range map[string]sync.Ended{
		`{"error":{"code":"wire-version","sentence":"Close the app."}}`: {Is: sync.Refused, Code: "wire-version", Sentence: "Close the app."},
		`<h1>Router login</h1>`: {Is: sync.Refused, Code: "internal"},
		``:                      {Is: sync.Refused, Code: "internal"},
	} {
		p := newPhone(t, 1, nil)
		p.write("1")
		same(t, body, p.with(func(synctest.Request) (int, []byte) { return 409, []byte(body) }), want)
	}
	for body, code := range map[string]fault.Code{
		`{"v":2,"entries":[]}`: fault.WireVersion,
		`{"entries":[]}`:       fault.WireVersion,
		`<html>`:               fault.BadInput,
	} {
		p := newPhone(t, 1, nil)
		if end := p.with(func(synctest.Request) (int, []byte) { return 200, []byte(body) }); end.Code != string(code) || end.Sentence == "" {
			t.Errorf("%s: %+v", body, end)
		}
	}
}

// TestARoundEndsInTheTongueOfThePhone, and in English before it has one.
func TestARoundEndsInTheTongueOfThePhone(t *testing.T) {
	es, err := say.Open("es", []byte(`{"sync-answer-unreadable":"No se puede leer."}`))
	if err != nil {
		t.Fatal(err)
	}
	p := newPhone(t, 1, nil)
	noise := func(synctest.Request) (int, []byte) { return 200, []byte("<html>") }
	same(t, "before", p.with(noise).Sentence, "The laptop’s answer can’t be read. Nothing is lost; it is tried again.")
	p = newPhone(t, 1, nil)
	p.m.Speak(func() *say.Tongue { return es })
	same(t, "then", p.with(noise).Sentence, "No se puede leer.")
}

// TestEntriesThatCannotBeReadAreCounted: until the laptop begins anew, for no
// later round sends them again.
func TestEntriesThatCannotBeReadAreCounted(t *testing.T) {
	p := newPhone(t, 1, nil)
	answer := `{"v":1,"entries":[{"id":"x.1","of":"a newer version"}],"cursor":"1.aa"}`
	round := func() { p.with(func(synctest.Request) (int, []byte) { return 200, []byte(answer) }) }
	round()
	same(t, "unreadable", p.shown.Unreadable, 1)
	same(t, "cursor", p.store.Cursor, "1.aa")
	answer = `{"v":1,"entries":[],"cursor":"1.aa"}`
	round()
	same(t, "unreadable after a round without", p.shown.Unreadable, 1)
	answer = `{"v":1,"entries":[{"id":"x.2","of":"a newer version"}],"cursor":"2.aa"}`
	round()
	same(t, "unreadable with one more", p.shown.Unreadable, 2)
	answer = `{"v":1,"restart":true,"entries":[{"id":"x.2","of":"a newer version"}],"cursor":"2.bb"}`
	round()
	same(t, "unreadable of a journal begun anew", p.shown.Unreadable, 1)
}

// TestPatience: when the next round comes by itself.
func TestPatience(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	laptop.Before = func(int, synctest.Request) bool { return false }
	p.round()
	for _, want := range []int64{3, 6, 12, 24, 48, 60, 60} {
		wait := p.until - p.now
		if wait < want*750 || wait > want*1250 {
			t.Errorf("waits %d ms, want about %d s", wait, want)
		}
		p.now = p.until - 1
		before := len(laptop.Asked)
		if p.go_(); len(laptop.Asked) != before {
			t.Error("a round before its time")
		}
		p.now++
		if p.go_(); len(laptop.Asked) == before {
			t.Error("no round at its time")
		}
	}
	p.round() // an occasion: the patience begins anew
	if wait := p.until - p.now; wait > 3750 {
		t.Errorf("waits %d ms after an occasion", wait)
	}
	p.now -= 365 * 24 * 3600 * 1000 // the clock is put back by a year
	before := len(laptop.Asked)
	if p.go_(); len(laptop.Asked) == before {
		t.Error("a clock that was put back makes it wait for a year")
	}
	p.m.Stop()
	p.now += 1e9
	before = len(laptop.Asked)
	if p.go_(); p.until != 0 || len(laptop.Asked) != before {
		t.Errorf("stopped, it goes on at %d", p.until)
	}
}

func TestAnotherPagesRound(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.alone = false
	if end := p.round(); end.Is != sync.Never || p.until == 0 || len(laptop.Asked) > 0 {
		t.Errorf("%+v, again at %d, asked %v", end, p.until, laptop.Asked)
	}
}

// TestWhatTheLaptopSaysOfItself: that of this phone's own push is no news.
func TestWhatTheLaptopSaysOfItself(t *testing.T) {
	laptop := synctest.NewLaptop()
	a, b := newPhone(t, 1, laptop), newPhone(t, 2, laptop)
	a.write("1")
	a.round()
	before := len(laptop.Asked)
	a.m.Notice(a.store.Cursor)
	a.go_()
	same(t, "requests for what it pushed itself", len(laptop.Asked)-before, 0)
	b.m.Start()
	b.go_()
	b.write("2")
	b.round()
	before = len(laptop.Asked)
	a.m.Notice(b.store.Cursor)
	a.go_()
	if len(laptop.Asked) == before || len(a.store.Entries) != 2 {
		t.Error("not fetched what another phone brought")
	}
	before = len(laptop.Asked)
	a.m.Notice(b.store.Cursor)
	a.go_()
	same(t, "requests for the same news", len(laptop.Asked)-before, 0)
	// One that comes while a round is under way begins another.
	a.at = func(s sync.Step) bool {
		if s.Do == sync.Ask && s.Ask.Path == "/api/v1/photos/wanted" {
			a.m.Notice("9.life1")
		}
		return true
	}
	laptop.Asked = nil
	a.round()
	same(t, "pulls", count(laptop.Asked, pull), 2)
}

// TestAnswersToNobody: those of another machine, and those given already, change
// nothing; a step is given again until it is answered.
func TestAnswersToNobody(t *testing.T) {
	p := newPhone(t, 1, synctest.NewLaptop())
	p.m.Answer(p.now, sync.Reply{Step: "", Alone: true})
	p.m.Start()
	first, _ := p.m.Next(p.now)
	again, _ := p.m.Next(p.now)
	same(t, "asked again", again.ID, first.ID)
	p.m.Answer(p.now, sync.Reply{Step: "another.1", Alone: true})
	same, _ := p.m.Next(p.now)
	p.m.Answer(p.now, sync.Reply{Step: first.ID, Alone: true})
	p.m.Answer(p.now, sync.Reply{Step: first.ID, Alone: true})
	next, _ := p.m.Next(p.now)
	if same.ID != first.ID || next.ID == first.ID || next.Read == nil {
		t.Errorf("%s, %s, then %+v", first.ID, same.ID, next)
	}
	old := next
	p.begin()
	p.m.Start()
	p.m.Next(p.now)
	p.m.Answer(p.now, sync.Reply{Step: old.ID})
	if s, _ := p.m.Next(p.now); s.Do != sync.Alone {
		t.Errorf("an answer to the machine before: %+v", s)
	}
}

// TestALaptopWithLessAndAnotherHistory: what this phone had sent may be gone
// there, and something else stands under its name. Nothing counts as sent any
// more, and a push tells what has to be written again.
func TestALaptopWithLessAndAnotherHistory(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1")
	twin := newPhone(t, 1, laptop) // writes under the same name
	p.round()
	twin.write("another 1")
	if a, b := p.store.Entries[0].ID, twin.store.Entries[0].ID; a != b {
		t.Fatalf("%v and %v are no twins", a, b)
	}
	laptop.Life, laptop.Entries = 2, nil
	twin.round()
	var forgot bool
	p.at = func(s sync.Step) bool {
		if s.Do == sync.Store && s.Store.Forget {
			forgot = true
			if len(s.Store.Add) > 0 || !s.Store.Reopen {
				t.Errorf("of a page with another history is stored %+v", s.Store)
			}
		}
		return true
	}
	if end := p.round(); end.Is != sync.Well || !forgot || p.store.Renewed != 1 {
		t.Errorf("%+v, forgot %v, written again %d times", end, forgot, p.store.Renewed)
	}
	same(t, "on the laptop", sorted(notesOf(t, laptop)), []string{"1", "another 1"})
	same(t, "here", sorted(p.notes()), []string{"1", "another 1"})
	p.allSent("another history")
}
