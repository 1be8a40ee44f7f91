package bridge

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"

	"panside/internal/fault"
	"panside/internal/journal"
)

// refusedEntry is an entry that the laptop didn't take, and why.
type refusedEntry struct {
	ID       journal.ID `json:"id"`
	Code     fault.Code `json:"code"`
	Sentence string     `json:"sentence"`
}

// laptopAnswer reads the body of the laptop's answer.
func laptopAnswer(body []byte, into any) error {
	var v struct{ V int }
	err := json.Unmarshal(body, &v)
	if err == nil && v.V != journal.WireVersion {
		return fault.New(fault.WireVersion, "The laptop runs another version than this page. Nothing is lost; load the page again, and update the laptop's program if this stays.")
	}
	if err == nil {
		err = json.Unmarshal(body, into)
	}
	if err != nil {
		return fault.Wrap(fault.BadInput, "The laptop's answer can't be read. Nothing is lost; it is tried again.", err)
	}
	return nil
}

func (d *journalDoor) pushed(in []byte) (any, error) {
	var q struct{ Sent []journal.ID }
	body, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	var a struct{ Refused []refusedEntry }
	if err := laptopAnswer(body, &a); err != nil {
		return nil, err
	}
	out := struct {
		Stored  []journal.ID   `json:"stored"`
		Refused []refusedEntry `json:"refused"`
		Forked  []journal.ID   `json:"forked"`
	}{[]journal.ID{}, slices.Concat([]refusedEntry{}, a.Refused), []journal.ID{}}
	why := map[journal.ID]fault.Code{}
	for _, r := range a.Refused {
		why[r.ID] = r.Code
	}
	// What follows a fork can only be refused as a gap, and is written again
	// with it.
	forked := map[journal.Writer]bool{}
	for _, id := range q.Sent {
		code, refused := why[id]
		switch {
		case !refused:
			out.Stored = append(out.Stored, id)
		case code == fault.Forked || code == fault.Gap && forked[id.Writer]:
			forked[id.Writer] = true
			if id.Writer == d.book.Writer() {
				out.Forked = append(out.Forked, id)
			}
		}
	}
	return out, nil
}

func (d *journalDoor) renew(in []byte) (any, error) {
	lines, err := header(in, &struct{}{})
	if err != nil {
		return nil, err
	}
	entries, err := stored(lines)
	if err != nil {
		return nil, err
	}
	drop := make([]journal.ID, len(entries))
	for i, e := range entries {
		if e.ID.Writer != d.book.Writer() {
			return nil, fault.New(fault.BadInput, "Another phone's entries can't be written again here. Nothing was changed; reload the page.")
		}
		drop[i] = e.ID
	}
	w, renewed := journal.Renew(entries, d.rand)
	return struct {
		Writer  journal.Writer `json:"writer"`
		Entries []rawEntry     `json:"entries"`
		Drop    []journal.ID   `json:"drop"`
	}{w, rawOf(renewed), drop}, nil
}

func (d *journalDoor) pulled(in []byte) (any, error) {
	body, err := header(in, &struct{}{})
	if err != nil {
		return nil, err
	}
	var a struct {
		Entries       []json.RawMessage
		Cursor        string
		More, Restart bool
	}
	if err := laptopAnswer(body, &a); err != nil {
		return nil, err
	}
	out := struct {
		Entries    []rawEntry       `json:"entries"`
		Known      []journal.ID     `json:"known"`
		Changed    []journal.Record `json:"changed"`
		Cursor     string           `json:"cursor"`
		More       bool             `json:"more"`
		Restart    bool             `json:"restart"`
		Forked     []journal.ID     `json:"forked"`
		Unreadable int              `json:"unreadable"`
	}{[]rawEntry{}, []journal.ID{}, []journal.Record{}, a.Cursor, a.More, a.Restart, []journal.ID{}, 0}
	changed := map[journal.Record]bool{}
	for _, raw := range a.Entries {
		e, added, err := d.book.Add(raw)
		switch {
		case errors.Is(err, journal.ErrFork):
			out.Forked = append(out.Forked, e.ID)
		case err != nil:
			out.Unreadable++
		case !added:
			out.Known = append(out.Known, e.ID)
		default:
			out.Entries = append(out.Entries, rawEntry{e.ID, e.Record, e.Kind, e.Field, string(bytes.Clone(raw))})
			if !changed[e.Record] {
				changed[e.Record] = true
				out.Changed = append(out.Changed, e.Record)
			}
		}
	}
	return out, nil
}
