package journal

import (
	"slices"
	"strings"

	"panside/internal/json"
)

// The record of a phone says its name and which writers were runs of its app,
// so that a person can be told who wrote what, without the laptop too.
const (
	KindPhone = "phone"

	phoneName   = "name"
	phoneWriter = "writer/" // WRITER: true

	mostName = 80 // characters
)

// By is the phone that wrote something.
type By struct {
	Phone Record `json:"phone,omitempty"` // "" for one that never said who it is
	Name  string `json:"name,omitempty"`  // "" for one that never joined a laptop
	Here  bool   `json:"here,omitempty"`  // this phone itself
}

// Sign says which phone this run writes on, after its first entry, and what the
// phone is called, after each change of that. phone is its record, "" if it has
// none yet; the entries then make one. name is "" while it isn't known.
func (n *Notebook) Sign(now int64, phone Record, name string) (Record, []Entry, error) {
	if kind := n.state.Kind(phone); !isUUID(string(phone)) || kind != "" && kind != KindPhone {
		phone = NewRecord(now, n.random)
	}
	set := map[string]json.RawMessage{phoneWriter + string(n.Writer()): json.RawMessage("true")}
	if name != "" && isLine(name, mostName) {
		value, err := json.Marshal(name)
		if err != nil {
			return "", nil, err
		}
		set[phoneName] = value
	}
	n.phone = phone
	var written []Entry
	for _, field := range []string{phoneName, phoneWriter + string(n.Writer())} {
		value, wanted := set[field]
		if !wanted || unchanged(n.state.Field(phone, field), value) {
			continue
		}
		e, err := n.author.Write(n.state, now, KindPhone, phone, field, value)
		if err != nil {
			return phone, written, err
		}
		written = append(written, e)
		n.index.touch(phone)
	}
	return phone, written, nil
}

// Here tells which phone this is, as stored when it signed first.
func (n *Notebook) Here(phone Record) { n.phone = phone }

// writers lists whose runs the writers were.
func (n *Notebook) writers() map[Writer]*By {
	whose := map[Writer]*By{n.Writer(): {Phone: n.phone, Here: true}}
	for _, id := range n.state.Records(KindPhone) {
		sh := n.state.sheet(id)
		by := &By{Phone: id, Name: sh.text(phoneName), Here: id == n.phone}
		for name := range sh.fields {
			if w, ok := strings.CutPrefix(name, phoneWriter); ok {
				whose[Writer(w)] = by
			}
		}
	}
	return whose
}

// sign puts the writers' phones beside what they wrote. Of a value that was
// written again because something was taken back, it is the one that wrote it
// first, and when.
func (c *Common) sign(whose map[Writer]*By, known map[ID]Entry) {
	sign := func(v *ConflictValue) {
		first := firstOf(v.ID, known)
		if e, ok := known[first]; ok {
			v.At = e.Stamp.Millis
		}
		v.By = whose[first.Writer]
	}
	for i := range c.Conflicts {
		sign(&c.Conflicts[i].Shown)
		for j := range c.Conflicts[i].Others {
			sign(&c.Conflicts[i].Others[j])
		}
	}
	for i := range c.Overlooked {
		sign(&c.Overlooked[i].ConflictValue)
	}
	if c.Deletion != nil {
		sign(c.Deletion)
	}
}

// firstOf goes back from a value that was written again to who wrote it first.
// Notebook.takeBack names both that entry and the one that had replaced it.
func firstOf(id ID, known map[ID]Entry) ID {
	for range known { // which ends a ring
		e, first := known[id], id
		for _, taken := range e.Replaces {
			for _, r := range known[taken].Replaces {
				if slices.Contains(e.Replaces, r) && known[r].Field == e.Field && string(known[r].Value) == string(e.Value) {
					first = r
				}
			}
		}
		if first == id {
			break
		}
		id = first
	}
	return id
}
