package journal

import (
	"encoding/json"
	"errors"
	"maps"
	"slices"
)

// ErrFork tells that a writer's history has two different entries under one id:
// a device was restored from an old state and went on under its old name. The
// newcomer is not taken; its device must write it again under a new Writer.
var ErrFork = errors.New("journal: two histories under one writer")

// State is the set of entries seen, and what follows from it. The zero value
// is not ready; use NewState. Not safe for concurrent use.
type State struct {
	entries map[ID]Entry
	hashes  map[ID]Hash
	records map[Record]*record
	heads   map[Writer]uint64 // highest seq seen
	newest  map[Writer]Stamp  // latest stamp seen
}

type record struct {
	kind   string // of the entry lowest in id, so that a quarrel has one answer
	kindBy ID
	fields map[string]*field
}

type field struct {
	ids      []ID
	replaced map[ID]bool
}

// NewState returns an empty state.
func NewState() *State {
	return &State{
		entries: map[ID]Entry{}, hashes: map[ID]Hash{}, records: map[Record]*record{},
		heads: map[Writer]uint64{}, newest: map[Writer]Stamp{},
	}
}

// Add puts an entry into the set. It returns false if it was there already.
// Errors: what Entry.Check says, and ErrFork. An entry whose predecessors are
// missing is taken all the same; Gaps tells of them.
func (s *State) Add(e Entry) (bool, error) {
	if err := e.Check(); err != nil {
		return false, err
	}
	hash := e.Hash()
	if old, ok := s.hashes[e.ID]; ok {
		if old != hash {
			return false, ErrFork
		}
		return false, nil
	}
	if before, ok := s.hashes[ID{e.ID.Writer, e.ID.Seq - 1}]; ok && before != e.Prev {
		return false, ErrFork
	}
	if after, ok := s.entries[ID{e.ID.Writer, e.ID.Seq + 1}]; ok && after.Prev != hash {
		return false, ErrFork
	}
	s.entries[e.ID], s.hashes[e.ID] = e, hash
	s.heads[e.ID.Writer] = max(s.heads[e.ID.Writer], e.ID.Seq)
	if s.newest[e.ID.Writer].Less(e.Stamp) {
		s.newest[e.ID.Writer] = e.Stamp
	}
	r := s.records[e.Record]
	if r == nil {
		r = &record{kind: e.Kind, kindBy: e.ID, fields: map[string]*field{}}
		s.records[e.Record] = r
	} else if e.ID.less(r.kindBy) {
		r.kind, r.kindBy = e.Kind, e.ID
	}
	f := r.fields[e.Field]
	if f == nil {
		f = &field{replaced: map[ID]bool{}}
		r.fields[e.Field] = f
	}
	f.ids = append(f.ids, e.ID)
	for _, id := range e.Replaces {
		f.replaced[id] = true
	}
	return true, nil
}

// Len is the number of entries in the set.
func (s *State) Len() int { return len(s.entries) }

// Entry returns one entry of the set.
func (s *State) Entry(id ID) (Entry, bool) {
	e, ok := s.entries[id]
	return e, ok
}

// Head is the writer's highest sequence number seen, 0 if none.
func (s *State) Head(w Writer) uint64 { return s.heads[w] }

// Gaps lists, for each writer, the first missing sequence number below its
// head. Nil if the histories are whole.
func (s *State) Gaps() map[Writer]uint64 {
	var gaps map[Writer]uint64
	for w, head := range s.heads {
		for seq := uint64(1); seq < head; seq++ {
			if _, ok := s.entries[ID{w, seq}]; !ok {
				if gaps == nil {
					gaps = map[Writer]uint64{}
				}
				gaps[w] = seq
				break
			}
		}
	}
	return gaps
}

// Held is a value that a field holds.
type Held struct {
	ID    ID              `json:"id"`
	Stamp Stamp           `json:"at"`
	Value json.RawMessage `json:"value"`
}

// Field returns what a record's field holds, the shown value first. More than
// one means that it was also written elsewhere, by somebody who had not seen
// the other: both are kept and offered. Nil if it was never written.
func (s *State) Field(id Record, name string) []Held {
	r := s.records[id]
	if r == nil || r.fields[name] == nil {
		return nil
	}
	f := r.fields[name]
	var held []Held
	for _, id := range f.ids {
		if !f.replaced[id] {
			held = append(held, s.held(id))
		}
	}
	if held == nil {
		// Entries that replace one another in a ring can't come from an honest
		// writer; showing all of them loses nothing.
		for _, id := range f.ids {
			held = append(held, s.held(id))
		}
	}
	ceiling := s.ceiling()
	slices.SortFunc(held, func(a, b Held) int {
		switch {
		case shownBefore(a, b, ceiling):
			return -1
		case shownBefore(b, a, ceiling):
			return 1
		}
		return 0
	})
	return held
}

func (s *State) held(id ID) Held {
	e := s.entries[id]
	return Held{ID: id, Stamp: e.Stamp, Value: e.Value}
}

// ceiling is the latest stamp that counts for order: a day beyond the second
// most advanced writer, so that one clock that runs years ahead does not win
// every quarrel to come by more than that. With one writer there is none.
func (s *State) ceiling() Stamp {
	var first, second Stamp
	for _, st := range s.newest {
		if first.Less(st) {
			first, second = st, first
		} else if second.Less(st) {
			second = st
		}
	}
	if len(s.newest) < 2 {
		return Stamp{Millis: maxMillis, Count: 1<<32 - 1}
	}
	return Stamp{Millis: second.Millis + MaxAhead}
}

// shownBefore orders the values of one field: the later stamp first, a stamp
// above the ceiling counting as the ceiling; then the higher id, so that every
// device decides alike.
func shownBefore(a, b Held, ceiling Stamp) bool {
	sa, sb := a.Stamp, b.Stamp
	if ceiling.Less(sa) {
		sa = ceiling
	}
	if ceiling.Less(sb) {
		sb = ceiling
	}
	if sa != sb {
		return sb.Less(sa)
	}
	return b.ID.less(a.ID)
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
	if r := s.records[id]; r != nil {
		return slices.Sorted(maps.Keys(r.fields))
	}
	return nil
}

// History lists every entry of a record's field, oldest first.
func (s *State) History(id Record, name string) []Held {
	r := s.records[id]
	if r == nil || r.fields[name] == nil {
		return nil
	}
	var all []Held
	for _, id := range r.fields[name].ids {
		all = append(all, s.held(id))
	}
	slices.SortFunc(all, func(a, b Held) int {
		switch {
		case a.Stamp.Less(b.Stamp) || a.Stamp == b.Stamp && a.ID.less(b.ID):
			return -1
		case a.ID == b.ID:
			return 0
		}
		return 1
	})
	return all
}
