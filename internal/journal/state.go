package journal

import (
	"bytes"
	"slices"
	"strings"

	"panside/internal/json"
)

// State is the set of entries seen, and what follows from it. Of an entry that
// another one replaced it keeps no value, only that it was seen. The zero value
// is not ready; use NewState. Not safe for concurrent use.
type State struct {
	chains  map[Writer]*chain
	records map[Record]*record
	size    int
	numbers []Writer // in the snapshot this state was read from
	// keep tells which values are kept, see Held; nil keeps all.
	keep func(field string, length int) bool
}

type record struct {
	id     Record
	kind   string // of its entry lowest in id, so that all phones take the same
	kindBy ID
	fields []field // in order of their names
	packed *packed // the fields as a snapshot has them, nil once they were needed

	listed listing // the index's
}

// packed is a record's part of a snapshot.
type packed struct {
	lines     string
	conflicts string // their number
	listed    string // the values it is listed by
	writers   []Writer
}

type field struct {
	name string
	held []Held
	// gone are entries that were replaced before they arrived.
	gone []ID
	// past are all entries that came, of the field of deletions alone.
	past []ID
}

// NewState returns an empty state.
func NewState() *State { return newState(nil) }

func newState(keep func(field string, length int) bool) *State {
	return &State{chains: map[Writer]*chain{}, records: map[Record]*record{}, keep: keep}
}

// Add puts an entry into the set. It returns false if it was there already.
// Errors: what Entry.Check says, and ErrFork. An entry whose predecessors are
// missing is taken all the same; Gaps tells of them.
func (s *State) Add(e Entry) (bool, error) {
	if err := e.Check(); err != nil {
		return false, err
	}
	return s.add(e, e.sum())
}

// add is Add for an entry that was checked, with its hash.
func (s *State) add(e Entry, sum [32]byte) (bool, error) {
	c := s.chains[e.ID.Writer]
	if c == nil {
		c = &chain{}
	}
	if added, err := c.add(e.ID.Seq, sum, e.Prev); !added {
		return false, err
	}
	s.chains[e.ID.Writer] = c
	s.size++
	if c.newest.Less(e.Stamp) {
		c.newest = e.Stamp
	}
	s.put(e)
	return true, nil
}

// put gives an entry that is new its place in its field.
func (s *State) put(e Entry) {
	r := s.records[e.Record]
	if r == nil {
		r = &record{id: e.Record, kind: e.Kind, kindBy: e.ID}
		s.records[e.Record] = r
	} else {
		r.unpack()
		if e.ID.less(r.kindBy) {
			r.kind, r.kindBy = e.Kind, e.ID
		}
	}
	f := r.fieldFor(e.Field)
	if e.Field == fieldDeleted {
		f.past = append(f.past, e.ID)
	}
	for _, id := range e.Replaces {
		if i := slices.IndexFunc(f.held, func(h Held) bool { return h.ID == id }); i >= 0 {
			f.held = slices.Delete(f.held, i, i+1)
		} else if c := s.chains[id.Writer]; c == nil || !c.has(id.Seq) {
			if !slices.Contains(f.gone, id) {
				f.gone = append(f.gone, id)
			}
		}
	}
	if i := slices.Index(f.gone, e.ID); i >= 0 {
		f.gone = slices.Delete(f.gone, i, i+1)
		return
	}
	h := Held{ID: e.ID, Stamp: e.Stamp}
	if s.keep == nil || s.keep(e.Field, len(e.Value)) {
		h.Value = bytes.Clone(e.Value) // it may share its memory with a whole page of entries
	}
	if isDeletion(e.Field, e.Value) {
		h.Saw = slices.Clone(e.Replaces)
	}
	f.held = append(f.held, h)
}

func (r *record) fieldFor(name string) *field {
	i, found := slices.BinarySearchFunc(r.fields, name, func(f field, n string) int { return strings.Compare(f.name, n) })
	if !found {
		r.fields = slices.Insert(r.fields, i, field{name: name})
	}
	return &r.fields[i]
}

// field finds a field, nil if the record has none of that name.
func (r *record) field(name string) *field {
	r.unpack()
	i, found := slices.BinarySearchFunc(r.fields, name, func(f field, n string) int { return strings.Compare(f.name, n) })
	if !found {
		return nil
	}
	return &r.fields[i]
}

// conflicts counts what a person has to decide: the fields with several
// different values, and a deletion that overlooked something.
func (r *record) conflicts() int {
	r.unpack()
	n := 0
	for _, f := range r.fields {
		if differ(f.held) {
			n++
		}
	}
	if len(r.overlooked()) > 0 {
		n++
	}
	return n
}

// differ reports whether values differ. Two phones that wrote the same without
// having seen one another agree. Values not at hand may differ.
func differ(held []Held) bool {
	return slices.ContainsFunc(held[min(1, len(held)):], func(h Held) bool {
		return h.Value == nil || !bytes.Equal(h.Value, held[0].Value)
	})
}

// Len is the number of entries in the set.
func (s *State) Len() int { return s.size }

// Has reports whether an entry is in the set.
func (s *State) Has(id ID) bool {
	c := s.chains[id.Writer]
	return c != nil && c.has(id.Seq)
}

// Gaps lists, for each writer, the first missing sequence number below its
// head. Nil if the histories are whole.
func (s *State) Gaps() map[Writer]uint64 {
	var gaps map[Writer]uint64
	for w, c := range s.chains {
		if len(c.beyond) > 0 {
			if gaps == nil {
				gaps = map[Writer]uint64{}
			}
			gaps[w] = c.whole() + 1
		}
	}
	return gaps
}

// Held is one value of a field.
type Held struct {
	ID    ID
	Stamp Stamp
	// Value is nil if it is too long for a Notebook to keep at hand; the entry
	// has it.
	Value json.RawMessage
	// Saw is of a deletion only: the entries it names, see Entry.Replaces.
	Saw []ID
}

// Field lists the values of a record's field that no other entry replaces, the
// one to show first. More than one means that it was written on several devices
// that had not seen one another. Nil if the field was never written, or if its
// entries replace one another in a ring, which no honest writer can do and the
// server doesn't take.
func (s *State) Field(id Record, name string) []Held {
	r := s.records[id]
	if r == nil {
		return nil
	}
	f := r.field(name)
	if f == nil || len(f.held) == 0 {
		return nil
	}
	return f.ordered()
}

func (f *field) ordered() []Held {
	held := slices.Clone(f.held)
	if len(held) > 1 {
		sortShown(held)
	}
	return held
}

// Kind is the kind of a record, "" if it is unknown.
func (s *State) Kind(id Record) string {
	if r := s.records[id]; r != nil {
		return r.kind
	}
	return ""
}

// Records lists the records of a kind in order of their ids, which for version
// 7 UUIDs is the order of their making.
func (s *State) Records(kind string) []Record {
	var ids []Record
	for id, r := range s.records {
		if r.kind == kind {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

// Fields lists the names of a record's fields in order.
func (s *State) Fields(id Record) []string {
	r := s.records[id]
	if r == nil {
		return nil
	}
	r.unpack()
	names := make([]string, len(r.fields))
	for i, f := range r.fields {
		names[i] = f.name
	}
	return names
}
