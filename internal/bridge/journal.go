package bridge

import (
	"bytes"

	"errors"
	"unsafe"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/sync"
)

// phoneJournal is one phone's notebook and its sync, as the page calls them; the
// package's documentation says how.
type phoneJournal struct {
	book   *journal.Notebook
	sync   *sync.Machine
	tongue func() *say.Tongue
}

// header reads the first line and returns what follows it.
func header(in []byte, into any) (rest []byte, err error) {
	line, rest, _ := bytes.Cut(in, []byte("\n"))
	if err := json.Unmarshal(line, into); err != nil {
		return nil, fault.Wrap(fault.BadInput, say.New("journal-question-unreadable"), err)
	}
	return rest, nil
}

// stored reads entries as they were stored.
func stored(lines []byte) ([]journal.Entry, error) {
	var entries []journal.Entry
	for line := range bytes.Lines(lines) {
		e, err := journal.ParseEntry(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			return nil, fault.Wrap(fault.Damaged, say.New("phone-entry-unreadable"), err)
		}
		entries = append(entries, e)
	}
	return entries, nil
}

func (j *phoneJournal) open(in []byte) (any, error) {
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
	err = j.book.Open(unsafe.String(unsafe.SliceData(text), len(text)))
	rebuild := errors.Is(err, journal.ErrRebuild)
	if err != nil && !rebuild {
		return nil, err
	}
	if j.book.Len() > q.Entries { // the store lost entries, or the snapshot is another's
		rebuild = true
		if err := j.book.Open(""); err != nil {
			return nil, err
		}
	}
	j.book.Here(q.Phone)
	return struct {
		V       int  `json:"v"`
		Entries int  `json:"entries"`
		Rebuild bool `json:"rebuild"`
	}{PhoneProtocol, j.book.Len(), rebuild}, nil
}

func (j *phoneJournal) add(in []byte) (any, error) {
	var q struct{ Total int }
	lines, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	unreadable := []int{}
	n := 0
	for line := range bytes.Lines(lines) {
		n++
		if _, _, err := j.book.Add(bytes.TrimSuffix(line, []byte("\n"))); err != nil {
			unreadable = append(unreadable, n)
		}
	}
	return struct {
		Entries    int   `json:"entries"`
		Complete   bool  `json:"complete"`
		Unreadable []int `json:"unreadable"`
	}{j.book.Len(), j.book.Len() >= q.Total, unreadable}, nil
}

func (j *phoneJournal) snapshot(in []byte) (any, error) {
	return withBytes{struct {
		Entries int `json:"entries"`
	}{j.book.Len()}, j.book.Snapshot()}, nil
}

// written is the answer of everything that writes.
type written struct {
	Record  journal.Record `json:"record"`
	Entries []journal.Row  `json:"entries"`
}

// signature is what a page says of the phone it is on.
type signature struct {
	By *struct {
		Phone journal.Record
		Name  string
	}
}

// wrote answers with what was written and, if something was, with whose it is.
func (j *phoneJournal) wrote(now int64, s signature, id journal.Record, entries []journal.Entry) (any, error) {
	if s.By != nil && len(entries) > 0 {
		_, signed, err := j.book.Sign(now, s.By.Phone, s.By.Name)
		if err != nil {
			return nil, err
		}
		entries = append(entries, signed...)
	}
	return written{id, journal.RowsOf(entries)}, nil
}

func (j *phoneJournal) write(in []byte) (any, error) {
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
	id, entries, err := j.book.Write(q.Now, q.Change)
	if err != nil {
		return nil, err
	}
	return j.wrote(q.Now, q.signature, id, entries)
}

func (j *phoneJournal) count(in []byte) (any, error) {
	var q struct {
		Now int64
		signature
		Hunt journal.Record
		journal.Counts
	}
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	entries, err := j.book.Count(q.Now, q.Hunt, q.Counts)
	if err != nil {
		return nil, err
	}
	return j.wrote(q.Now, q.signature, q.Hunt, entries)
}

func (j *phoneJournal) pause(in []byte) (any, error) {
	var q struct {
		Now int64
		signature
		Hunt  journal.Record
		Begin bool
	}
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	entries, err := j.book.Pause(q.Now, q.Hunt, q.Begin)
	if err != nil {
		return nil, err
	}
	return j.wrote(q.Now, q.signature, q.Hunt, entries)
}

func (j *phoneJournal) undo(in []byte) (any, error) {
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
	undone, err := j.book.Undo(q.Now, q.Entries, entries)
	if err != nil {
		return nil, err
	}
	var id journal.Record
	if len(undone) > 0 {
		id = undone[0].Record
	}
	return j.wrote(q.Now, q.signature, id, undone)
}

func (j *phoneJournal) list(in []byte) (any, error) {
	var q journal.Wanted
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	page := j.book.List(q)
	records := make([]any, len(page.Records))
	for i, id := range page.Records {
		records[i] = j.read(q.Kind, id)
	}
	return struct {
		Total   int    `json:"total"`
		More    bool   `json:"more"`
		Kind    string `json:"kind"`
		Records []any  `json:"records"`
	}{page.Total, page.More, q.Kind, records}, nil
}

func (j *phoneJournal) read(kind string, id journal.Record) any {
	switch kind {
	case journal.KindFind:
		f := journal.FindOf(j.book.State(), id)
		f.Warn(j.tongue())
		return f
	case journal.KindHunt:
		return journal.HuntOf(j.book.State(), id, 0)
	}
	return journal.PlainOf(j.book.State(), id)
}

func (j *phoneJournal) record(in []byte) (any, error) {
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
	d, err := j.book.Detail(q.Record, entries, q.Now)
	if err != nil {
		return nil, err
	}
	if d.Find != nil {
		d.Find.Warn(j.tongue())
	}
	return d, nil
}

func (j *phoneJournal) hunts(in []byte) (any, error) {
	var q struct{ Now int64 }
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	hunts := j.book.Hunts(q.Now)
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

func (j *phoneJournal) conflicts([]byte) (any, error) {
	list := []inConflict{}
	for _, id := range j.book.InConflict() {
		c := journal.PlainOf(j.book.State(), id)
		list = append(list, inConflict{id, j.book.State().Kind(id), c.Conflicts, c.Overlooked})
	}
	return struct {
		Records []inConflict `json:"records"`
	}{list}, nil
}
