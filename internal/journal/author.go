package journal

import (
	"encoding/json"
	"errors"
	"slices"
)

// Author writes entries for one Writer.
type Author struct {
	writer Writer
	seq    uint64
	prev   Hash
	clock  Clock
}

// NewAuthor goes on where the writer's entries in s end. Error: the writer's
// history in s has a gap, so that its last hash is not known.
func NewAuthor(w Writer, s *State) (*Author, error) {
	if !isName(string(w), 1, 40) {
		return nil, errors.New("journal: not a writer's name")
	}
	a := &Author{writer: w, seq: s.Head(w)}
	if a.seq > 0 {
		last := ID{w, a.seq}
		a.prev = s.hashes[last]
		a.clock.resume(s.newest[w])
		if _, gap := s.Gaps()[w]; gap {
			return nil, errors.New("journal: the history of " + string(w) + " has a gap")
		}
	}
	return a, nil
}

// Write makes the next entry and puts it into s: a new value for a field,
// replacing whatever the field holds in s. now is ms since 1970. The value is
// made compact. On error nothing was written.
func (a *Author) Write(s *State, now int64, kind string, id Record, field string, value json.RawMessage) (Entry, error) {
	compact, err := json.Marshal(value)
	if err != nil {
		return Entry{}, err
	}
	held := s.Field(id, field)
	for _, h := range held {
		a.clock.Saw(h.Stamp, now)
	}
	before := a.clock
	e := Entry{
		ID: ID{a.writer, a.seq + 1}, Stamp: a.clock.Tick(now), Record: id, Kind: kind, Field: field,
		Value: compact, Prev: a.prev,
	}
	for _, h := range held {
		e.Replaces = append(e.Replaces, h.ID)
	}
	slices.SortFunc(e.Replaces, func(x, y ID) int {
		if x.less(y) {
			return -1
		}
		return 1
	})
	if _, err := s.Add(e); err != nil {
		a.clock = before
		return Entry{}, err
	}
	a.seq, a.prev = e.ID.Seq, s.hashes[e.ID]
	return e, nil
}
