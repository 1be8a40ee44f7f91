package sqlite

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
)

// phone writes entries of an invented searcher.
type phone struct {
	t      testing.TB
	author *journal.Author
	state  *journal.State
	now    int64
}

const someFind = journal.Record("0190a000-0000-7000-8000-000000000001")

func newPhone(t testing.TB, name journal.Writer, s *journal.State) *phone {
	t.Helper()
	a, err := journal.NewAuthor(name, s)
	if err != nil {
		t.Fatal(err)
	}
	return &phone{t, a, s, 1_750_000_000_000}
}

func (p *phone) write(field, value string) json.RawMessage {
	p.t.Helper()
	p.now++
	e, err := p.author.Write(p.state, p.now, "find", someFind, field, json.RawMessage(value))
	if err != nil {
		p.t.Fatal(err)
	}
	return e.Wire()
}

func (p *phone) writeMany(n int) (entries []json.RawMessage) {
	for i := range n {
		entries = append(entries, p.write("note", fmt.Sprintf(`"note %d"`, i)))
	}
	return entries
}

func withDevice(t testing.TB, file string) *DB {
	t.Helper()
	db, err := Open(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	err = db.AddDevice(t.Context(), device.Device{ID: "D", Name: "d", Role: device.Phone}, [32]byte{1})
	if err != nil && code(err) == fault.DataFolder {
		t.Fatal(err)
	}
	return db
}

var noon = time.UnixMilli(1_750_000_000_000)

func (db *DB) push(t testing.TB, entries ...json.RawMessage) journal.Receipt {
	t.Helper()
	r, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: entries})
	if err != nil {
		t.Fatal(err)
	}
	if r.Stored+r.Known+len(r.Refused) != len(entries) {
		t.Fatalf("receipt %+v for %d entries", r, len(entries))
	}
	return r
}

// pullAll reads every page behind a cursor.
func (db *DB) pullAll(t testing.TB, after string, limit int) (entries []json.RawMessage, cursor string, restarted bool) {
	t.Helper()
	for {
		p, err := db.EntriesAfter(t.Context(), after, "", limit)
		if err != nil {
			t.Fatal(err)
		}
		restarted = restarted || p.Restart
		entries = append(entries, p.Entries...)
		if after = p.Cursor; !p.More {
			return entries, after, restarted
		}
		if len(p.Entries) == 0 {
			t.Fatal("an empty page and more to come")
		}
	}
}

func same(a, b []json.RawMessage) bool {
	return slices.EqualFunc(a, b, func(x, y json.RawMessage) bool { return bytes.Equal(x, y) })
}

func TestEntriesComeBackByteByByte(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	db := withDevice(t, file)
	s := journal.NewState()
	a, b := newPhone(t, "a", s), newPhone(t, "b", s)
	var all []json.RawMessage
	for i := range 20 {
		all = append(all, a.write("note", fmt.Sprintf(`"a\u003c%d ü € 𝄞"`, i)), b.write("note", fmt.Sprintf(`{"n":%d.50,"big":12345678901234567890}`, i)))
	}
	if r := db.push(t, all...); r.Stored != 40 || r.Cursor == "" {
		t.Errorf("receipt %+v", r)
	}
	if r := db.push(t, all...); r.Stored != 0 || r.Known != 40 {
		t.Errorf("the same again: %+v", r)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	db = withDevice(t, file)
	for _, limit := range []int{1, 7, 40, 1000} {
		got, cursor, restarted := db.pullAll(t, "", limit)
		if !same(got, all) || restarted {
			t.Errorf("pages of %d: %d entries, restarted %v", limit, len(got), restarted)
		}
		if newest, err := db.Newest(t.Context()); err != nil || cursor != newest {
			t.Errorf("the last cursor is %q, the newest %q, %v", cursor, newest, err)
		}
	}
}

func TestPullGoesOnBehindACursor(t *testing.T) {
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	p := newPhone(t, "a", journal.NewState())
	first, more := p.writeMany(5), p.writeMany(3)
	db.push(t, first...)
	_, cursor, _ := db.pullAll(t, "", 2)
	if got, again, _ := db.pullAll(t, cursor, 2); len(got) != 0 || again != cursor {
		t.Errorf("nothing new: %d entries, cursor %q after %q", len(got), again, cursor)
	}
	db.push(t, more...)
	if got, _, _ := db.pullAll(t, cursor, 2); !same(got, more) {
		t.Errorf("behind the cursor: %s", got)
	}
}

// TestPagesHaveABound: a page of long entries ends before the limit, and one
// entry always comes.
func TestPagesHaveABound(t *testing.T) {
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	p := newPhone(t, "a", journal.NewState())
	var all []json.RawMessage
	for range 40 {
		all = append(all, p.write("note", `"`+strings.Repeat("x", 60_000)+`"`))
	}
	db.push(t, all...)
	page, err := db.EntriesAfter(t.Context(), "", "", 1000)
	if err != nil || len(page.Entries) != journal.MaxBytes/len(all[0]) || !page.More {
		t.Errorf("%d entries, more %v, %v", len(page.Entries), page.More, err)
	}
	if got, _, _ := db.pullAll(t, "", 1000); !same(got, all) {
		t.Error("the pages aren't all")
	}
}

func TestWhatIsRefusedIsNamed(t *testing.T) {
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	s := journal.NewState()
	a, b := newPhone(t, "a", s), newPhone(t, "b", s)
	a1, a2, a3 := a.write("note", `1`), a.write("note", `2`), a.write("note", `3`)
	b1 := b.write("note", `4`) // replaces a.3
	old := newPhone(t, "a", journal.NewState())
	old1 := old.write("note", `"another first"`)
	if bytes.Equal(old1, a1) {
		t.Fatal("no fork")
	}
	loose := json.RawMessage(strings.Replace(string(a2), `"value":2`, `"value": 2`, 1))
	newer := json.RawMessage(strings.Replace(string(a2), `{"id"`, `{"zone":"+1","id"`, 1))

	codes := func(r journal.Receipt) (list []string) {
		for _, f := range r.Refused {
			if f.Sentence == "" {
				t.Errorf("no sentence for %+v", f)
			}
			list = append(list, fmt.Sprint(f.Index, " ", f.ID, " ", f.Code))
		}
		return list
	}
	r := db.push(t, b1, a2, a1, loose, newer, a2)
	if got, want := codes(r), []string{"0 b.1 gap", "1 a.2 gap", "3  bad-input", "4  bad-input"}; !slices.Equal(got, want) || r.Stored != 2 {
		t.Errorf("%+v, want %v", r, want)
	}
	if loose, newer := r.Refused[2].Broken, r.Refused[3].Broken; loose != journal.RuleValue || newer != journal.RuleForm || r.Refused[0].Broken != "" {
		t.Errorf("said to be broken: %q and %q", loose, newer)
	}
	r = db.push(t, old1, a3, b1, a1)
	if got, want := codes(r), []string{"0 a.1 forked"}; !slices.Equal(got, want) || r.Stored != 2 || r.Known != 1 {
		t.Errorf("%+v, want %v", r, want)
	}
	// A second history that goes on behind the head.
	fork := journal.NewState()
	f := newPhone(t, "a", fork)
	var f4 json.RawMessage
	for i := range 4 {
		f4 = f.write("note", fmt.Sprint(i))
	}
	if got := codes(db.push(t, f4)); !slices.Equal(got, []string{"0 a.4 forked"}) {
		t.Errorf("%v", got)
	}
	if got, _, _ := db.pullAll(t, "", 100); !same(got, []json.RawMessage{a1, a2, a3, b1}) {
		t.Errorf("kept %s", got)
	}
	// What names a fork means another entry than the one of that id here.
	after := newPhone(t, "d", old.state)
	d1 := after.write("note", `"instead of another first"`)
	if got := codes(db.push(t, old1, d1)); !slices.Equal(got, []string{"0 a.1 forked", "1 d.1 gap"}) {
		t.Errorf("%v", got)
	}
	// A gap is one, also where nothing of an earlier entry is replaced.
	c := newPhone(t, "c", journal.NewState())
	c1, c2, c3 := c.write("note", `1`), c.write("kind", `2`), c.write("fate", `3`)
	for _, late := range []json.RawMessage{c2, c3} {
		if r := db.push(t, late); r.Stored != 0 || r.Refused[0].Code != fault.Gap {
			t.Errorf("before the first: %+v", r)
		}
	}
	if r := db.push(t, c1, c3, c2, c3); r.Stored != 3 || len(r.Refused) != 1 || r.Refused[0].Code != fault.Gap {
		t.Errorf("once it is whole: %+v", r)
	}
}

// TestACursorOfAnotherJournal: records that were put back, or lost their end,
// are recognised even when they have grown past the cursor's place since.
func TestACursorOfAnotherJournal(t *testing.T) {
	full := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	p := newPhone(t, "a", journal.NewState())
	entries := p.writeMany(10)
	full.push(t, entries...)
	_, cursor, _ := full.pullAll(t, "", 100)
	back := withDevice(t, filepath.Join(t.TempDir(), "y.db"))
	back.push(t, entries[:6]...)
	if got, _, restarted := back.pullAll(t, cursor, 100); !restarted || !same(got, entries[:6]) {
		t.Errorf("behind the end: restarted %v with %d entries", restarted, len(got))
	}
	other := newPhone(t, "b", journal.NewState())
	back.push(t, other.write("note", `"b"`))
	back.push(t, entries[6:]...) // the entry at the cursor's place now ends another journal
	if _, _, restarted := back.pullAll(t, cursor, 100); !restarted {
		t.Error("a journal that grew otherwise is taken for the same")
	}
	for _, bad := range []string{"x", "10", "10.", "10.zz", "-1.0011223344556677", "99999999999999999999.0011223344556677", "10.00112233445566778899"} {
		if got, _, restarted := back.pullAll(t, bad, 100); !restarted || len(got) != 11 {
			t.Errorf("cursor %q: restarted %v with %d entries", bad, restarted, len(got))
		}
	}
}

// TestAReceiptOfAnotherJournal: a phone that pushed and hasn't pulled since has a
// cursor from before its own entries. Its receipt says that they are gone.
func TestAReceiptOfAnotherJournal(t *testing.T) {
	dir := t.TempDir()
	db := withDevice(t, filepath.Join(dir, "x.db"))
	p := newPhone(t, "a", journal.NewState())
	db.push(t, p.writeMany(2)...)
	_, cursor, _ := db.pullAll(t, "", 100)
	if err := db.CopyTo(t.Context(), filepath.Join(dir, "back.db")); err != nil {
		t.Fatal(err)
	}
	receipt := db.push(t, p.writeMany(3)...).Cursor
	if page, err := db.EntriesAfter(t.Context(), cursor, receipt, 100); err != nil || page.Restart || len(page.Entries) != 3 {
		t.Errorf("all is well: %+v, %v", page, err)
	}
	back := withDevice(t, filepath.Join(dir, "back.db"))
	if page, err := back.EntriesAfter(t.Context(), cursor, receipt, 100); err != nil || !page.Restart || len(page.Entries) != 2 {
		t.Errorf("put back: %+v, %v", page, err)
	}
	// A push says so too, before its own receipt hides it.
	other := newPhone(t, "b", journal.NewState())
	for want, known := range map[bool]string{true: receipt, false: cursor} {
		r, err := back.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Receipt: known, Entries: []json.RawMessage{other.write("note", `"b"`)}})
		if err != nil || r.Restart != want || r.Stored != 1 {
			t.Errorf("pushed with %s: %+v, %v", known, r, err)
		}
	}
}

// TestPhonesPushAtOnce: everybody gets through at the first attempt, everything
// is there once, and whoever pulls meanwhile misses nothing and sees each
// writer's entries in order.
func TestPhonesPushAtOnce(t *testing.T) {
	const phones, batches, each = 4, 10, 5
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	var pushing sync.WaitGroup
	for i := range phones {
		entries := newPhone(t, journal.Writer(fmt.Sprint("phone", i)), journal.NewState()).writeMany(batches * each)
		pushing.Go(func() {
			for batch := range slices.Chunk(entries, each) {
				r, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: batch})
				if err != nil || r.Stored != each {
					t.Errorf("phone %d: %+v, %v", i, r, err)
					return
				}
			}
		})
	}
	done := make(chan struct{})
	go func() { pushing.Wait(); close(done) }()
	var got []json.RawMessage
	cursor := ""
	for pushed := false; ; {
		more, next, restarted := db.pullAll(t, cursor, 7)
		if restarted {
			t.Fatal("the own cursor isn't known")
		}
		got, cursor = append(got, more...), next
		if pushed {
			break
		}
		select {
		case <-done:
			pushed = true // and one pull more
		default:
		}
	}
	heads := map[journal.Writer]uint64{}
	for _, raw := range got {
		e, err := journal.ParseEntry(raw)
		if err != nil {
			t.Fatal(err)
		}
		if heads[e.ID.Writer]++; heads[e.ID.Writer] != e.ID.Seq {
			t.Fatalf("%s was pulled as number %d of its writer", e.ID, heads[e.ID.Writer])
		}
	}
	if all, _, _ := db.pullAll(t, "", 1000); !same(got, all) || len(all) != phones*batches*each {
		t.Errorf("pulled %d entries meanwhile, %d are there, %d were pushed", len(got), len(all), phones*batches*each)
	}
}
