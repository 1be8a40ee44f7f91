package journal

import (
	"errors"

	"panside/internal/json"
	"panside/internal/stable"
)

// Author writes entries for one Writer.
type Author struct {
	writer Writer
	clock  Clock
}

// NewAuthor goes on where the writer's entries in s end. Error: not a writer's
// name.
func NewAuthor(w Writer, s *State) (*Author, error) {
	if !isWriter(string(w)) {
		return nil, errors.New("journal: not a writer’s name")
	}
	a := &Author{writer: w}
	if c := s.chains[w]; c != nil {
		a.clock.resume(c.newest)
	}
	return a, nil
}

// Write makes the next entry and puts it into s: a new value for a field,
// replacing whatever the field holds in s; a deletion has seen whatever the
// record holds. now is ms since 1970. The value is made compact. Error: the
// value is no JSON or too long, or the writer's history in s has a gap, so that
// its last hash is not known. On error nothing was written.
func (a *Author) Write(s *State, now int64, kind string, id Record, field string, value json.RawMessage) (Entry, error) {
	over := s.seen(id, field, seenAll)
	if isDeletion(field, value) {
		over = append(over, s.seenBeside(id, seenAll)...)
	}
	return a.writeOver(s, now, kind, id, field, value, over)
}

// writeOver is Write, naming as seen and replaced only what is given.
func (a *Author) writeOver(s *State, now int64, kind string, id Record, name string, value json.RawMessage, over []Held) (Entry, error) {
	compact, err := json.Marshal(value)
	if err != nil {
		return Entry{}, err
	}
	clock := a.clock
	e := Entry{ID: ID{a.writer, 1}, Record: id, Kind: kind, Field: name, Value: compact}
	if c := s.chains[a.writer]; c != nil {
		if len(c.beyond) > 0 {
			return Entry{}, errors.New("journal: the history of " + string(a.writer) + " has a gap")
		}
		e.ID.Seq, e.Prev = c.whole()+1, hashOf(c.head)
	}
	// What doesn't fit stays beside the new value; the next write takes it.
	for _, h := range over[:min(len(over), MaxReplaces)] {
		e.Replaces = append(e.Replaces, h.ID)
		clock.Saw(h.Stamp, now)
	}
	stable.Sort(e.Replaces, compareIDs)
	e.Stamp = clock.Tick(now)
	if _, err := s.Add(e); err != nil {
		return Entry{}, err
	}
	a.clock = clock
	return e, nil
}
