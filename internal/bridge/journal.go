package bridge

import (
	"bytes"
	"errors"
	"maps"
	"unsafe"

	"panside/internal/book"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
)

// The journal's methods hold one phone's notebook and so are there in the
// phone's WebAssembly only. The phone keeps entries, the core knows what they
// mean:
//
//   - The phone stores each entry as the text it was given ("raw"), never as a
//     parsed object written out again: its hash is over these very bytes. It
//     stores by inserting under the entry's id, which must be unique there; a
//     second page that writes at the same time then fails instead of
//     overwriting. It keeps beside each entry its record (indexed), a running
//     number, and whether the laptop has it ("sent").
//   - What a method returns to be stored is stored in one transaction before
//     the next journal call. If storing fails, the notebook is ahead of the
//     store: call journal-open again, then say that it wasn't saved.
//   - All journal calls of a phone go one after the other, over all its pages
//     (a lock by name of the browser does that).
//
// Each method takes one line of JSON. Where more is to be handed over, it
// follows after the line end just as it is stored: entries one a line, the
// snapshot, or the body of the laptop's answer. Times ("now") are ms since
// 1970.
//
// Starting. Each start of the app writes under a name of its own, so that a
// phone that was put back to an old state, or shows the app twice, clashes with
// nothing; the name isn't to be stored:
//
//	journal-open      {"entries":N,"phone":id} + snapshot
//	                  N the number of entries in the store, nothing after the
//	                  line without a snapshot; phone see below
//	                  -> {"entries","rebuild"}
//	                  rebuild: drop the snapshot, open without one and add all.
//	journal-add       {"total":N} + entries, at most some thousand a call: first
//	                  all that are newer than the snapshot, or all
//	                  -> {"entries","complete","unreadable":[line,…]}
//	                  complete is false when fewer than N are in; with a
//	                  snapshot: rebuild as above.
//	journal-snapshot  {} -> {"entries"} + snapshot
//	                  Bytes beside the answer's line, to be stored with the
//	                  running number of the last entry handed over, now and
//	                  then: after a thousand new entries, when the page is left.
//	                  Without bytes: none now.
//
// Writing; all answer {"record","entries":[{"id","record","kind","field",
// "raw"}]}, to be stored with sent = no. All take "by":{"phone":id,"name":NAME}
// too: the name that the laptop knows this phone by, "" before it joined one,
// and the record that says so. phone is "" at first; the entries then hold one
// of kind "phone", whose record is to be kept for the calls to come. So other
// phones can say who wrote what. A phone that gives no by stays nameless.
//
//	journal-write     {"now","kind":"find"|"hunt"|"setting"|…,"record":""|id,
//	                  "set":{field:value,…},"saw":ids} + all entries of the
//	                  record, if there is one
//	                  record "" makes a new one. null takes a value away. saw is
//	                  the "ids" of the record as it was on the screen. Refused
//	                  values: error with "field"; then nothing was written.
//	                  The fields and their values are in internal/journal's
//	                  fields.go and value.go; others are kept as they are.
//	journal-count     {"now","hunt":id,"calls":{"ordinary":3,"look":1}}
//	                  coins judged hands-free since the last time, below 0 for
//	                  those taken back; every ten coins or few seconds is often
//	                  enough
//	journal-pause     {"now","hunt":id,"begin":true|false}
//	journal-undo      {"now","entries":[id,…]} + all entries of their records
//	                  the ids one write answered with; an undo can be undone
//
// Reading:
//
//	journal-list      {"kind","hunt","find_kind","fate","denomination",
//	                  "deleted","after","limit"}, all but kind optional
//	                  -> {"total","more","kind","records":[…]}, newest first;
//	                  finds without trace and what else is long
//	journal-record    {"record":id,"now"} + all entries of the record
//	                  -> {"kind","find"|"hunt"|"plain":{…},"history":[…]}
//	                  its values and entries with "by":{"phone","name","here"},
//	                  left out where nobody said who it was
//	journal-hunts     {"now"} -> {"hunts":[{…,"account"}],"sources":[…],
//	                  "counting"}, the hunt that coins are counted for, or ""
//	journal-conflicts {} -> {"records":[{"record","kind","conflicts",
//	                  "overlooked"}]}, what a person has to decide
//
// With the laptop. Push first, then pull, page by page until more is false:
//
//	push              POST {"v":1,"receipt":RECEIPT,"entries":[raw,raw,…]} of
//	                  what isn't sent, in order, at most 1000 and 900 kB at once
//	journal-pushed    {"sent":[ids of the batch]} + body of the answer 200
//	                  -> {"stored":[ids],"refused":[{"index","code","sentence"}],
//	                  "forked":[ids],"receipt","restart"}
//	                  In one transaction: on restart first what is said below;
//	                  mark stored as sent; store receipt. Push the rest too. Then, if
//	                  there were forked: call journal-renew and push anew. What
//	                  is refused otherwise waits: pull, then push once more.
//	journal-renew     {"forked":[ids]} + all entries that are still not sent
//	                  -> {"entries":[…],"drop":[ids]}
//	                  In one transaction: delete drop and the snapshot, store
//	                  entries (sent = no). Then open anew.
//	pull              GET …?after=CURSOR&receipt=RECEIPT, as stored, "" at first
//	journal-pulled    {} + body of the answer 200
//	                  -> {"entries":[…],"known":[ids],"changed":[records],
//	                  "cursor","more","restart","forked","unreadable"}
//	                  Store entries with sent = yes, mark known as sent, store
//	                  cursor, in one transaction. restart: see below. forked: store nothing, open anew, push;
//	                  that ends in journal-renew.
//
// restart tells that the laptop was put back from a backup, or is another one:
// first, in the same transaction, forget receipt and cursor and mark every entry
// and every photo as not sent. So keep a sent photo for some weeks if there is
// room, and ask photos/missing before it goes.
//
// No run of this app makes forks; they are provided for because a record must
// not be lost even to a fault that nobody has thought of.
type journalDoor struct{ book *journal.Notebook }

// Phone is the core as one phone has it: all methods, its own notebook, and its
// own hand on the book. Not
// safe for concurrent use.
type Phone struct {
	methods map[string]func(in []byte) (any, error)
	shelf   func() *book.Shelf
}

// NewPhone returns a phone with an empty notebook. random fills a slice with
// random bytes.
func NewPhone(random func([]byte)) *Phone {
	s := book.NewShelf()
	p := &Phone{maps.Clone(methods), func() *book.Shelf { return s }}
	maps.Copy(p.methods, journalMethods(random))
	maps.Copy(p.methods, shelfMethods(s))
	return p
}

// Call is the package's Call with the journal's methods, of which one answers
// with bytes beside its line.
func (p *Phone) Call(method string, in []byte) (line, kept []byte) {
	return call(p.methods, &p.shelf, method, in)
}

func journalMethods(random func([]byte)) map[string]func(in []byte) (any, error) {
	d := &journalDoor{journal.NewNotebook(random)}
	return map[string]func(in []byte) (any, error){
		"journal-open":      d.open,
		"journal-add":       d.add,
		"journal-snapshot":  d.snapshot,
		"journal-write":     d.write,
		"journal-count":     d.count,
		"journal-pause":     d.pause,
		"journal-undo":      d.undo,
		"journal-list":      d.list,
		"journal-record":    d.record,
		"journal-hunts":     d.hunts,
		"journal-conflicts": d.conflicts,
		"journal-pushed":    d.pushed,
		"journal-renew":     d.renew,
		"journal-pulled":    d.pulled,
	}
}

// header reads the first line and returns what follows it.
func header(in []byte, into any) (rest []byte, err error) {
	line, rest, _ := bytes.Cut(in, []byte("\n"))
	if err := json.Unmarshal(line, into); err != nil {
		return nil, fault.Wrap(fault.BadInput, "The page asked the journal something it doesn't understand. Nothing was changed; load the page again.", err)
	}
	return rest, nil
}

// stored reads entries as they were stored.
func stored(lines []byte) ([]journal.Entry, error) {
	var entries []journal.Entry
	for line := range bytes.Lines(lines) {
		e, err := journal.ParseEntry(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			return nil, fault.Wrap(fault.Damaged, "An entry on this phone can't be read. Nothing was changed; what the laptop has is not touched by this.", err)
		}
		entries = append(entries, e)
	}
	return entries, nil
}

// rawEntry is an entry to be stored.
type rawEntry struct {
	ID     journal.ID     `json:"id"`
	Record journal.Record `json:"record"`
	Kind   string         `json:"kind"`
	Field  string         `json:"field"`
	Raw    string         `json:"raw"`
}

func rawOf(entries []journal.Entry) []rawEntry {
	list := make([]rawEntry, len(entries))
	for i, e := range entries {
		list[i] = rawEntry{e.ID, e.Record, e.Kind, e.Field, string(e.Wire())}
	}
	return list
}

func (d *journalDoor) open(in []byte) (any, error) {
	var q struct {
		Entries int
		Phone   journal.Record
	}
	text, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	// The question is the bridge's from the call on and nobody writes to it any
	// more, so that the notebook can read on in it: another copy would take a
	// phone as long as the reading.
	err = d.book.Open(unsafe.String(unsafe.SliceData(text), len(text)))
	rebuild := errors.Is(err, journal.ErrRebuild)
	if err != nil && !rebuild {
		return nil, err
	}
	if d.book.Len() > q.Entries { // the store lost entries, or the snapshot is another's
		rebuild = true
		if err := d.book.Open(""); err != nil {
			return nil, err
		}
	}
	d.book.Here(q.Phone)
	return struct {
		Entries int  `json:"entries"`
		Rebuild bool `json:"rebuild"`
	}{d.book.Len(), rebuild}, nil
}

func (d *journalDoor) add(in []byte) (any, error) {
	var q struct{ Total int }
	lines, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	unreadable := []int{}
	n := 0
	for line := range bytes.Lines(lines) {
		n++
		if _, _, err := d.book.Add(bytes.TrimSuffix(line, []byte("\n"))); err != nil {
			unreadable = append(unreadable, n)
		}
	}
	return struct {
		Entries    int   `json:"entries"`
		Complete   bool  `json:"complete"`
		Unreadable []int `json:"unreadable"`
	}{d.book.Len(), d.book.Len() >= q.Total, unreadable}, nil
}

func (d *journalDoor) snapshot(in []byte) (any, error) {
	return withBytes{struct {
		Entries int `json:"entries"`
	}{d.book.Len()}, d.book.Snapshot()}, nil
}

// written is the answer of everything that writes.
type written struct {
	Record  journal.Record `json:"record"`
	Entries []rawEntry     `json:"entries"`
}

// signature is what a page says of the phone it is on.
type signature struct {
	By *struct {
		Phone journal.Record
		Name  string
	}
}

// wrote answers with what was written and, if something was, with whose it is.
func (d *journalDoor) wrote(now int64, s signature, id journal.Record, entries []journal.Entry) (any, error) {
	if s.By != nil && len(entries) > 0 {
		_, signed, err := d.book.Sign(now, s.By.Phone, s.By.Name)
		if err != nil {
			return nil, err
		}
		entries = append(entries, signed...)
	}
	return written{id, rawOf(entries)}, nil
}

func (d *journalDoor) write(in []byte) (any, error) {
	var q struct {
		Now int64
		signature
		journal.Change
	}
	lines, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	if q.Entries, err = stored(lines); err != nil {
		return nil, err
	}
	id, entries, err := d.book.Write(q.Now, q.Change)
	if err != nil {
		return nil, err
	}
	return d.wrote(q.Now, q.signature, id, entries)
}

func (d *journalDoor) count(in []byte) (any, error) {
	var q struct {
		Now int64
		signature
		Hunt  journal.Record
		Calls map[string]int64
	}
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	entries, err := d.book.Count(q.Now, q.Hunt, q.Calls)
	if err != nil {
		return nil, err
	}
	return d.wrote(q.Now, q.signature, q.Hunt, entries)
}

func (d *journalDoor) pause(in []byte) (any, error) {
	var q struct {
		Now int64
		signature
		Hunt  journal.Record
		Begin bool
	}
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	entries, err := d.book.Pause(q.Now, q.Hunt, q.Begin)
	if err != nil {
		return nil, err
	}
	return d.wrote(q.Now, q.signature, q.Hunt, entries)
}

func (d *journalDoor) undo(in []byte) (any, error) {
	var q struct {
		Now int64
		signature
		Entries []journal.ID
	}
	lines, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	entries, err := stored(lines)
	if err != nil {
		return nil, err
	}
	undone, err := d.book.Undo(q.Now, q.Entries, entries)
	if err != nil {
		return nil, err
	}
	var id journal.Record
	if len(undone) > 0 {
		id = undone[0].Record
	}
	return d.wrote(q.Now, q.signature, id, undone)
}

func (d *journalDoor) list(in []byte) (any, error) {
	var q journal.Wanted
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	page := d.book.List(q)
	records := make([]any, len(page.Records))
	for i, id := range page.Records {
		records[i] = d.read(q.Kind, id)
	}
	return struct {
		Total   int    `json:"total"`
		More    bool   `json:"more"`
		Kind    string `json:"kind"`
		Records []any  `json:"records"`
	}{page.Total, page.More, q.Kind, records}, nil
}

func (d *journalDoor) read(kind string, id journal.Record) any {
	switch kind {
	case journal.KindFind:
		return journal.FindOf(d.book.State(), id)
	case journal.KindHunt:
		return journal.HuntOf(d.book.State(), id, 0)
	}
	return journal.PlainOf(d.book.State(), id)
}

func (d *journalDoor) record(in []byte) (any, error) {
	var q struct {
		Now    int64
		Record journal.Record
	}
	lines, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	entries, err := stored(lines)
	if err != nil {
		return nil, err
	}
	return d.book.Detail(q.Record, entries, q.Now)
}

func (d *journalDoor) hunts(in []byte) (any, error) {
	var q struct{ Now int64 }
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	hunts := d.book.Hunts(q.Now)
	return struct {
		Hunts    []journal.HuntAccount   `json:"hunts"`
		Sources  []journal.SourceAccount `json:"sources"`
		Counting journal.Record          `json:"counting"`
	}{hunts, journal.BySource(hunts), journal.Counting(hunts)}, nil
}

// inConflict is one record about which a person has to decide.
type inConflict struct {
	Record     journal.Record       `json:"record"`
	Kind       string               `json:"kind"`
	Conflicts  []journal.Conflict   `json:"conflicts"`
	Overlooked []journal.Overlooked `json:"overlooked,omitempty"`
}

func (d *journalDoor) conflicts([]byte) (any, error) {
	list := []inConflict{}
	for _, id := range d.book.InConflict() {
		c := journal.PlainOf(d.book.State(), id)
		list = append(list, inConflict{id, d.book.State().Kind(id), c.Conflicts, c.Overlooked})
	}
	return struct {
		Records []inConflict `json:"records"`
	}{list}, nil
}
