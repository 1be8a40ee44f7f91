package journal

import (
	"slices"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// Undo takes entries back by writing the earlier values again; nothing is
// removed, so an undo can be undone. What had ended a conflict, or had decided
// about a deletion, opens it again. entries are all stored entries of the
// records concerned. If the undone entries are a record's first, the record is
// marked deleted instead. What a phone said of itself along with them stands.
//
// Errors: fault.NotFound for an id that isn't among the entries,
// fault.BadInput if a field was changed since; then nothing was written.
func (n *Notebook) Undo(now int64, ids []ID, entries []Entry) ([]Entry, error) {
	known := make(map[ID]Entry, len(entries))
	count := map[Record]int{}
	for _, e := range entries {
		known[e.ID] = e
		count[e.Record]++
	}
	ids = slices.DeleteFunc(slices.Clone(ids), func(id ID) bool { return known[id].Kind == KindPhone })
	undone := map[Record]int{}
	for _, id := range ids {
		e, ok := known[id]
		if !ok {
			return nil, fault.New(fault.NotFound, say.New("undo-gone"))
		}
		held := n.state.Field(e.Record, e.Field)
		if !slices.ContainsFunc(held, func(h Held) bool { return h.ID == id }) {
			return nil, fault.New(fault.BadInput, say.New("undo-changed-since"))
		}
		undone[e.Record]++
	}
	var written []Entry
	type place struct {
		record Record
		field  string
	}
	done := map[place]bool{}
	for _, id := range ids {
		e := known[id]
		whole := undone[e.Record] == count[e.Record]
		at := place{e.Record, e.Field}
		if whole {
			at.field = fieldDeleted
		}
		if done[at] {
			continue
		}
		done[at] = true
		var made []Entry
		var err error
		if whole {
			made, err = n.delete(now, e.Kind, e.Record, func(_ string, id ID) bool { return slices.Contains(ids, id) }, nil)
		} else {
			made, err = n.takeBack(now, e, ids, known)
		}
		if written = append(written, made...); err != nil {
			return written, err
		}
		n.index.touch(e.Record)
	}
	return written, nil
}

// takeBack writes again what a field held before the undone entries, of which e
// is one. Each value names what is undone and the entry it is the value of, so
// that it can be said who wrote it first.
func (n *Notebook) takeBack(now int64, e Entry, undone []ID, known map[ID]Entry) (written []Entry, err error) {
	taken := n.state.seen(e.Record, e.Field, func(_ string, id ID) bool { return slices.Contains(undone, id) })
	again := before(taken, known)
	if len(again) == 0 {
		again = []Entry{{Value: json.RawMessage("null")}}
	}
	for _, earlier := range again {
		over := slices.Clone(taken)
		if earlier.ID.Seq != 0 {
			over = append(over, Held{ID: earlier.ID, Stamp: earlier.Stamp})
		}
		if isDeletion(e.Field, earlier.Value) {
			over = append(over, sawBeside(earlier, known)...)
		}
		w, err := n.author.writeOver(n.state, now, e.Kind, e.Record, e.Field, earlier.Value, over)
		if err != nil {
			return written, err
		}
		written = append(written, w)
	}
	return written, nil
}

// before lists the entries whose values a field held before the undone ones,
// the one to show last, so that it has the highest stamp again.
func before(undone []Held, known map[ID]Entry) []Entry {
	replaced := map[ID]bool{}
	for _, u := range undone {
		for _, id := range known[u.ID].Replaces {
			if known[id].Field == known[u.ID].Field {
				replaced[id] = true
			}
		}
	}
	// What was undone may itself have been an undo, which names both what it
	// took back and whose value it wrote again; the first of these counts.
	for id := range replaced {
		for _, older := range known[id].Replaces {
			delete(replaced, older)
		}
	}
	var held []Held
	for id := range replaced {
		held = append(held, Held{ID: id, Stamp: known[id].Stamp})
	}
	sortShown(held)
	slices.Reverse(held)
	list := make([]Entry, len(held))
	for i, h := range held {
		list[i] = known[h.ID]
	}
	return list
}

// sawBeside lists what a deletion had seen of the record's other fields.
func sawBeside(deletion Entry, known map[ID]Entry) (list []Held) {
	for _, id := range deletion.Replaces {
		if e, ok := known[id]; ok && e.Field != fieldDeleted {
			list = append(list, Held{ID: id, Stamp: e.Stamp})
		}
	}
	return list
}
