package journal

import (
	"slices"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// Wanted chooses records for a list. Empty fields choose everything.
type Wanted struct {
	Kind         string `json:"kind"`
	Hunt         Record `json:"hunt"`
	FindKind     string `json:"find_kind"`
	Fate         string `json:"fate"`
	Denomination string `json:"denomination"`
	Deleted      bool   `json:"deleted"` // the deleted ones instead of the others
	// After goes on below a record of the list before, newest first.
	After Record `json:"after"`
	Limit int    `json:"limit"` // 0: 50; at most 500
}

// Listed is one page of a list, newest first by the records' ids.
type Listed struct {
	Total   int      `json:"total"` // of all pages
	More    bool     `json:"more"`
	Records []Record `json:"records"`
}

// List chooses records.
func (n *Notebook) List(w Wanted) Listed {
	n.index.settle(n.state)
	limit := w.Limit
	if limit <= 0 {
		limit = 50
	}
	limit = min(limit, 500)
	p := Listed{Records: []Record{}}
	for _, r := range slices.Backward(n.index.byKind[w.Kind]) {
		if !n.wanted(w, r) {
			continue
		}
		p.Total++
		if w.After != "" && r.id >= w.After {
			continue
		}
		if len(p.Records) == limit {
			p.More = true
			continue
		}
		p.Records = append(p.Records, r.id)
	}
	return p
}

func (n *Notebook) wanted(w Wanted, r *record) bool {
	l := &r.listed
	return l.deleted == w.Deleted &&
		(w.Hunt == "" || l.hunt == w.Hunt) &&
		(w.FindKind == "" || l.kind == w.FindKind) &&
		(w.Fate == "" || l.fate == w.Fate) &&
		(w.Denomination == "" || r.denomination() == w.Denomination)
}

// Hunts are all hunts with their accounts, newest first.
func (n *Notebook) Hunts(now int64) []HuntAccount {
	n.index.settle(n.state)
	kinds := map[Record]map[string]int{}
	var last Record // finds of one hunt stand together
	var those map[string]int
	for _, r := range n.index.byKind[KindFind] {
		l := &r.listed
		if l.deleted || l.hunt == "" {
			continue
		}
		if l.hunt != last {
			last = l.hunt
			if those = kinds[last]; those == nil {
				those = map[string]int{}
				kinds[last] = those
			}
		}
		those[l.kind]++
	}
	hunts := []HuntAccount{}
	for _, r := range slices.Backward(n.index.byKind[KindHunt]) {
		h := HuntOf(n.state, r.id, now)
		hunts = append(hunts, HuntAccount{h, accountOf(h, kinds[r.id])})
	}
	return hunts
}

// InConflict are the records with fields of several values, or with a deletion
// that overlooked something, newest first.
func (n *Notebook) InConflict() []Record {
	n.index.settle(n.state)
	ids := make([]Record, 0, len(n.index.conflicts))
	for r := range n.index.conflicts {
		ids = append(ids, r.id)
	}
	stable.Words(ids)
	slices.Reverse(ids)
	return ids
}

// Detail is one record whole, with its history.
type Detail struct {
	Kind    string      `json:"kind"`
	Find    *Find       `json:"find,omitempty"`
	Hunt    *Hunt       `json:"hunt,omitempty"`
	Plain   *Common     `json:"plain,omitempty"` // of any other kind; its values are under "other"
	History []PastEntry `json:"history"`
}

func (d *Detail) common() *Common {
	switch {
	case d.Find != nil:
		return &d.Find.Common
	case d.Hunt != nil:
		return &d.Hunt.Common
	}
	return d.Plain
}

// PastEntry is one entry of a record's history.
type PastEntry struct {
	ID    ID              `json:"id"`
	At    int64           `json:"at"` // ms since 1970 by the writer's clock
	Field string          `json:"field"`
	Value json.RawMessage `json:"value"`
	// Now says what became of it: shown, beside (another value is shown) or
	// replaced.
	Now string `json:"now"`
	By  *By    `json:"by,omitempty"` // see ConflictValue
}

// Detail reads one record from its entries, in any order, all of which the
// phone has stored; so nothing is left out, however long it is.
func (n *Notebook) Detail(id Record, entries []Entry, now int64) (Detail, error) {
	s := newState(nil)
	var own []Entry
	known := map[ID]Entry{}
	for _, e := range entries {
		if e.Record == id {
			own = append(own, e)
			known[e.ID] = e
			s.put(e)
		}
	}
	if len(own) == 0 {
		return Detail{}, fault.New(fault.NotFound, say.New("record-gone-unchanged"))
	}
	d := Detail{Kind: s.Kind(id)}
	switch d.Kind {
	case KindFind:
		f := FindOf(s, id)
		d.Find = &f
	case KindHunt:
		h := HuntOf(s, id, now)
		d.Hunt = &h
	default:
		c := PlainOf(s, id)
		d.Plain = &c
	}
	whose := n.writers()
	d.common().sign(whose, known)
	InOrder(own)
	d.History = make([]PastEntry, 0, len(own))
	for _, e := range own {
		if isCount(e.Field) {
			continue // a running number and nobody's edit
		}
		now := "replaced"
		for i, h := range s.Field(id, e.Field) {
			if h.ID == e.ID {
				now = "beside"
				if i == 0 {
					now = "shown"
				}
			}
		}
		d.History = append(d.History, PastEntry{e.ID, e.Stamp.Millis, e.Field, e.Value, now, whose[e.ID.Writer]})
	}
	return d, nil
}
