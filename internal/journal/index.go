package journal

import (
	"slices"
	"strings"

	"panside/internal/json"
)

// index is what lists and accounts need of every record, kept as entries come
// in. A phone that starts has it within the time of a blink, so it is read from
// the lines of a snapshot without reading the records themselves.
type index struct {
	byKind    map[string][]*record // in order of their ids
	conflicts map[*record]bool     // records with a field of several values
	touched   map[Record]bool      // records that changed since the index was last asked
}

// listing is what a record is listed by.
type listing struct {
	under        string // the kind
	deleted      bool
	fate         string // of a find, as the following
	hunt         Record
	kind         string
	denomination *string // read when it is first asked for
}

// listedBy are the fields a record is listed by, in the order a snapshot has
// them.
var listedBy = [...]string{fieldDeleted, findFate, findHunt, findKind}

func newIndex() *index {
	return &index{byKind: map[string][]*record{}, conflicts: map[*record]bool{}, touched: map[Record]bool{}}
}

// indexAll makes the index of the records of a snapshot.
func indexAll(order []*record) *index {
	x := newIndex()
	for _, r := range order {
		x.byKind[r.kind] = append(x.byKind[r.kind], r)
		if r.packed.conflicts != "0" {
			x.conflicts[r] = true
		}
	}
	return x
}

// touch notes that a record has new entries.
func (x *index) touch(id Record) { x.touched[id] = true }

// changed brings the index up to date with one record.
func (x *index) changed(r *record) {
	if was := r.listed.under; was != r.kind {
		list := x.byKind[was]
		if i, found := slices.BinarySearchFunc(list, r.id, byID); found {
			x.byKind[was] = slices.Delete(list, i, i+1)
		}
		i, _ := slices.BinarySearchFunc(x.byKind[r.kind], r.id, byID)
		x.byKind[r.kind] = slices.Insert(x.byKind[r.kind], i, r)
	}
	if r.conflicts() > 0 {
		x.conflicts[r] = true
	} else {
		delete(x.conflicts, r)
	}
	r.listed = listing{under: r.kind}
	for i, name := range listedBy {
		if f := r.field(name); f != nil && len(f.held) > 0 {
			r.listed.set(i, f.ordered()[0].Value)
		}
	}
}

func byID(r *record, id Record) int { return strings.Compare(string(r.id), string(id)) }

// settle brings the index up to date.
func (x *index) settle(s *State) {
	for id := range x.touched {
		x.changed(s.records[id])
	}
	clear(x.touched)
}

// set takes the value of the i-th field of listedBy. Values this version can't
// read count as none.
func (l *listing) set(i int, v json.RawMessage) {
	if listedBy[i] == fieldDeleted {
		l.deleted = string(v) == "true"
		return
	}
	text, ok := asText(v)
	if !ok {
		return
	}
	switch listedBy[i] {
	case findFate:
		l.fate = text
	case findHunt:
		l.hunt = Record(text)
	case findKind:
		l.kind = text
	}
}

// read takes the values from a snapshot's line.
func (l *listing) read(under, values string) {
	l.under = under
	for i := range listedBy {
		v, rest, _ := strings.Cut(values, "\t")
		values = rest
		if v == "" {
			continue
		}
		if len(v) >= 2 && v[0] == '"' && strings.IndexByte(v, '\\') < 0 {
			// The common case, without a copy.
			switch listedBy[i] {
			case findFate:
				l.fate = v[1 : len(v)-1]
			case findHunt:
				l.hunt = Record(v[1 : len(v)-1])
			case findKind:
				l.kind = v[1 : len(v)-1]
			}
			continue
		}
		l.set(i, json.RawMessage(v))
	}
}

// denominationOf reads what a listing leaves for later.
func (r *record) denomination() string {
	if r.listed.denomination == nil {
		d := ""
		if f := r.field(findCoin); f != nil && len(f.held) > 0 {
			if c, wrong := readAs[Coin](f.ordered()[0].Value); wrong.None() {
				d = c.Denomination
			}
		}
		r.listed.denomination = &d
	}
	return *r.listed.denomination
}
