package journal

import (
	"slices"

	"panside/internal/json"
)

// A deletion is a field like any other, and it hides the record. So it names,
// among what it replaces, every entry of the record that its writer had seen: an
// entry that is held and that no deletion names was overlooked, whatever the
// clocks say, and a person has to decide. A deletion without such names, as
// stored by earlier versions, can only be held against the entries' stamps.

func isDeletion(field string, value json.RawMessage) bool {
	return field == fieldDeleted && string(value) == "true"
}

// Overlooked is a value that a deletion hides and that its writer had not seen.
type Overlooked struct {
	Field string `json:"field"`
	ConflictValue
}

// overlooked lists, of a record that shows as deleted, the values that no
// deletion in force had seen.
func (r *record) overlooked() (list []Overlooked) {
	d := r.field(fieldDeleted)
	if d == nil || len(d.held) == 0 || string(d.ordered()[0].Value) != "true" {
		return nil
	}
	for i := range r.fields {
		f := &r.fields[i]
		if f.name == fieldDeleted {
			continue
		}
		for _, h := range f.ordered() {
			if !d.saw(h) {
				list = append(list, Overlooked{f.name, valueOf(h)})
			}
		}
	}
	return list
}

// saw reports whether one of the deletions held here had seen a value of another
// field.
func (d *field) saw(h Held) bool {
	return slices.ContainsFunc(d.held, func(del Held) bool {
		if string(del.Value) != "true" {
			return false
		}
		if !d.namesOthers(del) {
			return !del.Stamp.Less(h.Stamp)
		}
		return slices.Contains(del.Saw, h.ID)
	})
}

// namesOthers reports whether a deletion says what it had seen of other fields.
func (d *field) namesOthers(del Held) bool {
	return slices.ContainsFunc(del.Saw, func(id ID) bool { return !slices.Contains(d.past, id) })
}

// seen lists the values of a field that somebody had seen.
func (s *State) seen(id Record, name string, saw func(field string, id ID) bool) (list []Held) {
	r := s.records[id]
	if r == nil {
		return nil
	}
	if f := r.field(name); f != nil {
		for _, h := range f.held {
			if saw(name, h.ID) {
				list = append(list, h)
			}
		}
	}
	return list
}

// seenBeside lists the values of all fields but the deletion that somebody had
// seen.
func (s *State) seenBeside(id Record, saw func(field string, id ID) bool) (list []Held) {
	for _, name := range s.Fields(id) {
		if name != fieldDeleted {
			list = append(list, s.seen(id, name, saw)...)
		}
	}
	return list
}

// seenAll is for fields whose values aren't anybody's words, such as counts.
func seenAll(string, ID) bool { return true }

// sawAtOnce is how many values of other fields one deletion names, so that there
// is room for those of its own. A record with more has several deletions beside
// one another.
const sawAtOnce = MaxReplaces / 2

// delete marks a record as deleted, naming what was seen of it: the values that
// saw tells of, and the earlier ones that were seen before others took their
// place, so that it names something whatever came since.
func (n *Notebook) delete(now int64, kind string, id Record, saw func(field string, id ID) bool, earlier []ID) (written []Entry, err error) {
	over := n.state.seen(id, fieldDeleted, saw)
	over = over[:min(len(over), MaxReplaces-sawAtOnce)]
	beside := n.state.seenBeside(id, saw)
	for _, seen := range earlier {
		if n.state.Has(seen) && !slices.ContainsFunc(beside, func(h Held) bool { return h.ID == seen }) {
			beside = append(beside, Held{ID: seen})
		}
	}
	for {
		some := beside[:min(len(beside), sawAtOnce)]
		beside = beside[len(some):]
		e, err := n.author.writeOver(n.state, now, kind, id, fieldDeleted, json.RawMessage("true"), append(over, some...))
		if err != nil {
			return written, err
		}
		written = append(written, e)
		if over = nil; len(beside) == 0 {
			return written, nil
		}
	}
}

// deletionLast sorts the names of fields, since a deletion has seen what is
// written along with it.
func deletionLast(a, b string) int {
	rank := func(name string) int {
		if name == fieldDeleted {
			return 1
		}
		return 0
	}
	return rank(a) - rank(b)
}

func (n *Notebook) overlooks(id Record) bool {
	r := n.state.records[id]
	return r != nil && len(r.overlooked()) > 0
}
