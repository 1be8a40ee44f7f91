package journal

import (
	"encoding/json"
	"slices"

	"panside/internal/fault"
)

// Undo takes entries back by writing the earlier values again; nothing is
// removed, so an undo can be undone. entries are all stored entries of the
// records concerned. If the undone entries are a record's first, the record is
// marked deleted instead.
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
	undone := map[Record]int{}
	for _, id := range ids {
		e, ok := known[id]
		if !ok {
			return nil, fault.New(fault.NotFound, "What was to be undone isn't in the journal. Nothing was changed.")
		}
		held := n.state.Field(e.Record, e.Field)
		if !slices.ContainsFunc(held, func(h Held) bool { return h.ID == id }) {
			return nil, fault.New(fault.BadInput, "This was changed again since, so it can't be undone in one step. Nothing was changed; its history has every earlier value.")
		}
		undone[e.Record]++
	}
	var written []Entry
	write := func(e Entry, field string, value json.RawMessage, seen func(ID) bool) error {
		w, err := n.author.writeOver(n.state, now, e.Kind, e.Record, field, value, seen)
		if err == nil {
			written = append(written, w)
			n.index.touch(e.Record)
		}
		return err
	}
	gone := map[Record]bool{}
	for _, id := range ids {
		e := known[id]
		if undone[e.Record] == count[e.Record] {
			if !gone[e.Record] {
				gone[e.Record] = true
				if err := write(e, fieldDeleted, json.RawMessage("true"), seenAll); err != nil {
					return written, err
				}
			}
			continue
		}
		if err := write(e, e.Field, n.earlier(e, known), func(h ID) bool { return h == id }); err != nil {
			return written, err
		}
	}
	return written, nil
}

// earlier is the value that an entry replaced: the one that was shown, if it
// replaced several.
func (n *Notebook) earlier(e Entry, known map[ID]Entry) json.RawMessage {
	var held []Held
	for _, id := range e.Replaces {
		if r, ok := known[id]; ok {
			held = append(held, Held{r.ID, r.Stamp, r.Value})
		}
	}
	if len(held) == 0 {
		return json.RawMessage("null")
	}
	sortShown(held)
	return held[0].Value
}
