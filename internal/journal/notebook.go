package journal

import (
	"errors"
	"slices"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// Notebook is the journal of one phone in one run of the app: the state of all
// entries the phone keeps, and the writer that adds to them. The phone stores entries; the
// notebook makes them, reads them and says what they mean. It holds no I/O:
// what a method returns must be stored before anything else is done, and if
// storing fails the notebook is opened anew from what is stored.
//
// Not safe for concurrent use.
type Notebook struct {
	random func([]byte)
	state  *State
	index  *index
	author *Author
	phone  Record // see Sign
}

// keepAtHand tells which values a notebook keeps: those that lists show.
// Longer ones (readings' traces, long notes, verdicts, what is known of a photo
// beside its hash) are read from their entries when a record is looked at. This
// keeps the snapshot of ten thousand finds small enough to start from.
func keepAtHand(field string, length int) bool {
	return length <= 160 || field == findWeight && length <= 512 || isCount(field) && length <= 1024
}

// NewNotebook returns an empty notebook with a new writer. random fills a slice
// with random bytes that can't be guessed or repeated.
func NewNotebook(random func([]byte)) *Notebook {
	n := &Notebook{random: random, state: newState(keepAtHand), index: newIndex()}
	n.author = &Author{writer: newWriter(random)}
	return n
}

const hexDigits = "0123456789abcdef"

// newWriter makes a name of 80 random bits.
func newWriter(random func([]byte)) Writer {
	var b [10]byte
	random(b[:])
	name := make([]byte, 0, 2*len(b))
	for _, c := range b {
		name = append(name, hexDigits[c>>4], hexDigits[c&15])
	}
	return Writer(name)
}

// NewRecord makes a record's id: a UUID of version 7 (RFC 9562, section 5.7),
// whose first 48 bits are now in ms since 1970.
func NewRecord(now int64, random func([]byte)) Record {
	var b [16]byte
	random(b[6:])
	for i := range 6 {
		b[i] = byte(now >> (40 - 8*i))
	}
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	id := make([]byte, 0, 36)
	for i, c := range b {
		if i == 4 || i == 6 || i == 8 || i == 10 {
			id = append(id, '-')
		}
		id = append(id, hexDigits[c>>4], hexDigits[c&15])
	}
	return Record(id)
}

// ErrRebuild says that a snapshot can't be used and the notebook has to be
// opened from all entries.
var ErrRebuild = errors.New("journal: the snapshot doesn’t fit; open from the entries")

// Open makes the notebook that of a stored snapshot, "" for none, and gives it a
// new writer. Entries written or received since the snapshot was made are added
// by Add. Error: ErrRebuild; the notebook is then empty.
func (n *Notebook) Open(snapshot string) error {
	*n = *NewNotebook(n.random)
	if snapshot == "" {
		return nil
	}
	s, order, rest, err := openSnapshot(snapshot, keepAtHand)
	if err != nil || rest != "" {
		return ErrRebuild
	}
	n.state, n.index = s, indexAll(order)
	return nil
}

// Writer is the name under which this run writes.
func (n *Notebook) Writer() Writer { return n.author.writer }

// Len is the number of entries.
func (n *Notebook) Len() int { return n.state.Len() }

// State is the set as it is; its long values are left out. Not to be changed.
func (n *Notebook) State() *State { return n.state }

// Add puts in an entry that is stored already. False if it was known. Error:
// ErrFork, see Renew.
func (n *Notebook) Add(raw []byte) (Entry, bool, error) {
	e, err := ParseEntry(raw)
	if err != nil {
		return e, false, err
	}
	added, err := n.state.add(e, e.sum())
	if added {
		n.index.touch(e.Record)
	}
	return e, added, err
}

// Snapshot is the state as text, for the next Open; nil while an entry is
// missing.
func (n *Notebook) Snapshot() []byte {
	text, _ := n.state.Snapshot()
	return text
}

// Change is a wish to write some fields of one record.
type Change struct {
	Kind   string `json:"kind"`
	Record Record `json:"record"` // "" for a new one
	// Set are the new values; null takes one away.
	Set map[string]json.RawMessage `json:"set"`
	// Saw are the ids of the values that whoever decided this had before them
	// (Common.IDs). What came since stays beside the new value instead of being
	// replaced by it unseen.
	Saw map[string][]ID `json:"saw"`
	// Entries are those stored of the record, in any order: values too long to
	// be at hand are compared and completed from them.
	Entries []Entry `json:"-"`
}

// fill puts long values beside the held ones they belong to.
func (c Change) fill(held []Held) []Held {
	for i := range held {
		if held[i].Value != nil {
			continue
		}
		for _, e := range c.Entries {
			if e.ID == held[i].ID {
				held[i].Value = e.Value
			}
		}
	}
	return held
}

// sawBeside lists what was seen of all fields but the deletion.
func (c Change) sawBeside() (list []ID) {
	for field, ids := range c.Saw {
		if field != fieldDeleted {
			list = append(list, ids...)
		}
	}
	stable.Sort(list, compareIDs)
	return list
}

// Write makes the entries for a change; fields that have the value already give
// none. Errors: *fault.Field with fault.BadInput, and fault.BadInput for an
// unknown record; then nothing was written.
func (n *Notebook) Write(now int64, c Change) (Record, []Entry, error) {
	if !isName(c.Kind, 1, 20) {
		return "", nil, fault.New(fault.BadInput, say.New("record-kind-nameless"))
	}
	if c.Record != "" && n.state.Kind(c.Record) != c.Kind {
		return "", nil, fault.New(fault.BadInput, say.New("record-gone-unsaved"))
	}
	set := map[string]json.RawMessage{}
	for field, value := range c.Set {
		held := c.fill(n.state.Field(c.Record, field))
		value, err := readyValue(c.Kind, field, value, held)
		if err != nil {
			return "", nil, err
		}
		if !unchanged(held, value) || isDeletion(field, value) && n.overlooks(c.Record) {
			set[field] = value
		}
	}
	if err := n.checkSpan(c, set); err != nil {
		return "", nil, err
	}
	if c.Record == "" {
		c.Record = NewRecord(now, n.random)
	}
	var written []Entry
	saw := func(field string, id ID) bool {
		return slices.Contains(c.Saw[field], id) ||
			isCount(field) || // running numbers, which screens don't name
			slices.ContainsFunc(written, func(e Entry) bool { return e.ID == id })
	}
	fields := stable.Keys(set)
	stable.Sort(fields, deletionLast)
	for _, field := range fields {
		var made []Entry
		var err error
		if isDeletion(field, set[field]) {
			made, err = n.delete(now, c.Kind, c.Record, saw, c.sawBeside())
		} else {
			made = make([]Entry, 1)
			made[0], err = n.author.writeOver(n.state, now, c.Kind, c.Record, field, set[field], n.state.seen(c.Record, field, saw))
		}
		if err != nil {
			return c.Record, written, err // everything that can be wrong was refused before
		}
		written = append(written, made...)
	}
	if len(written) > 0 {
		n.index.touch(c.Record)
	}
	return c.Record, written, nil
}

// readyValue checks a value and makes it as it will be written.
func readyValue(kind, field string, value json.RawMessage, held []Held) (json.RawMessage, error) {
	if !isName(field, 1, 80) {
		return nil, fault.InField(field, fault.BadInput, say.New("field-unknown"))
	}
	if err := checkValue(kind, field, value); err != nil {
		return nil, err
	}
	if len(held) > 0 {
		value = carry(kind, field, held[0].Value, value)
	}
	compact, err := json.Marshal(value)
	if err != nil || !compactJSON(compact) || len(compact) > MaxValue {
		return nil, &fault.Field{Name: field, Fault: fault.Wrap(fault.BadInput, say.New("field-too-long"), err)}
	}
	return compact, nil
}

// unchanged reports whether a field shows a value already, and no other.
func unchanged(held []Held, value json.RawMessage) bool {
	if len(held) == 0 {
		return string(value) == "null"
	}
	return len(held) == 1 && string(held[0].Value) == string(value)
}

// Count adds coins judged hands-free to a hunt, by what their verdicts called for
// and by their metals; fewer than 0 takes coins back. Each writer counts in fields
// of its own, so that two phones at one jar add up; such a field is below 0 when its
// writer took back what another one, or the run before, had counted.
func (n *Notebook) Count(now int64, hunt Record, more Counts) ([]Entry, error) {
	if err := n.isHunt(hunt); err != nil {
		return nil, err
	}
	for call, n := range more.Calls {
		if !isName(call, 1, 30) || bounded(n) != n {
			return nil, fault.InField(call, fault.BadInput, say.New("hunt-too-many-coins"))
		}
	}
	for _, m := range more.Metals {
		if wrong := m.check(); !wrong.None() {
			return nil, &fault.Field{Name: "metals", Fault: fault.WithEnding(fault.BadInput, wrong, say.New("ending-reload"))}
		}
	}
	var written []Entry
	for _, call := range stable.Keys(more.Calls) {
		if more.Calls[call] == 0 {
			continue
		}
		field := huntCount + call + "/" + string(n.author.writer)
		had := int64(0)
		if held := n.state.Field(hunt, field); len(held) > 0 {
			had, _ = asCount(held[0].Value)
		}
		value, err := json.Marshal(bounded(had + more.Calls[call]))
		if err != nil {
			return nil, err
		}
		e, err := n.author.Write(n.state, now, KindHunt, hunt, field, value)
		if err != nil {
			return written, err
		}
		written = append(written, e)
	}
	metals, err := n.countMetals(now, hunt, more.Metals)
	n.index.touch(hunt) // which is there
	return append(written, metals...), err
}

// Pause begins or ends a pause of a hunt.
func (n *Notebook) Pause(now int64, hunt Record, begin bool) ([]Entry, error) {
	if err := n.isHunt(hunt); err != nil {
		return nil, err
	}
	set := map[string]json.RawMessage{}
	open := HuntOf(n.state, hunt, now).paused
	value, err := json.Marshal(now)
	if err != nil {
		return nil, err
	}
	switch {
	case begin && !open:
		set[huntPause+string(value)] = json.RawMessage("0")
	case !begin:
		for _, field := range n.state.Fields(hunt) {
			if familyOf(field) != huntPause {
				continue
			}
			if held := n.state.Field(hunt, field); len(held) > 0 && string(held[0].Value) == "0" {
				set[field] = value
			}
		}
	}
	saw := map[string][]ID{}
	for field := range set {
		for _, h := range n.state.Field(hunt, field) {
			saw[field] = append(saw[field], h.ID)
		}
	}
	_, written, err := n.Write(now, Change{Kind: KindHunt, Record: hunt, Set: set, Saw: saw})
	return written, err
}

func (n *Notebook) isHunt(id Record) error {
	if n.state.Kind(id) != KindHunt {
		return fault.New(fault.BadInput, say.New("hunt-gone"))
	}
	return nil
}
