package bridge

import (
	"bytes"
	"errors"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
)

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
	var a journal.Receipt
	if err := laptopAnswer(body, &a); err != nil {
		return nil, err
	}
	out := struct {
		Stored  []journal.ID      `json:"stored"`
		Refused []journal.Refusal `json:"refused"`
		Forked  []journal.ID      `json:"forked"`
		Receipt string            `json:"receipt"`
		Restart bool              `json:"restart"`
	}{[]journal.ID{}, append([]journal.Refusal{}, a.Refused...), []journal.ID{}, a.Cursor, a.Restart}
	why := map[int]fault.Code{}
	for _, r := range a.Refused {
		why[r.Index] = r.Code
	}
	// What follows a fork can only be refused as a gap, and is written again
	// with it.
	forked := map[journal.Writer]bool{}
	for i, id := range q.Sent {
		code, refused := why[i]
		switch {
		case !refused:
			out.Stored = append(out.Stored, id)
		case code == fault.Forked || code == fault.Gap && forked[id.Writer]:
			forked[id.Writer] = true
			out.Forked = append(out.Forked, id)
		}
	}
	return out, nil
}

func (d *journalDoor) renew(in []byte) (any, error) {
	var q struct{ Forked []journal.ID }
	lines, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	entries, err := stored(lines)
	if err != nil {
		return nil, err
	}
	renewed, drop := journal.Renew(q.Forked, entries)
	return struct {
		Entries []rawEntry   `json:"entries"`
		Drop    []journal.ID `json:"drop"`
	}{rawOf(renewed), append([]journal.ID{}, drop...)}, nil
}

func (d *journalDoor) pulled(in []byte) (any, error) {
	body, err := header(in, &struct{}{})
	if err != nil {
		return nil, err
	}
	var a journal.Page
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
