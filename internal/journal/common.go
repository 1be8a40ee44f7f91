package journal

import "panside/internal/json"

// Common is what every record has, whatever its kind.
type Common struct {
	Record Record `json:"record"`
	// Deleted is a field like any other: the record stays, and it can be taken
	// back.
	Deleted bool `json:"deleted"`
	// Deletion is who deleted it and when, nil if it isn't deleted.
	Deletion *ConflictValue `json:"deletion,omitempty"`
	// Overlooked is what the deletion hides without having seen it, and
	// EditedSince says that there is some.
	Overlooked  []Overlooked `json:"overlooked,omitempty"`
	EditedSince bool         `json:"edited_since_deletion,omitempty"`
	Note        string       `json:"note,omitempty"`
	// IDs are the entries behind each field's values; whoever writes a field
	// says by them what it had seen (Notebook.Write).
	IDs map[string][]ID `json:"ids"`
	// Conflicts are fields written differently on several devices that had not
	// seen one another.
	Conflicts []Conflict `json:"conflicts"`
	// Other are fields, or values of known fields, from a version newer than
	// this one.
	Other map[string]json.RawMessage `json:"other,omitempty"`
}

// Conflict is one field with several values; writing it again ends it.
type Conflict struct {
	Field  string          `json:"field"`
	Shown  ConflictValue   `json:"shown"`
	Others []ConflictValue `json:"others"`
}

// ConflictValue is one of them. Value is null if it was taken away, or if it is
// too long to be at hand; then its entry has it.
type ConflictValue struct {
	ID    ID              `json:"id"`
	At    int64           `json:"at"` // ms since 1970 by the writer's clock
	Value json.RawMessage `json:"value"`
	// By is who wrote it; nil in lists, and if nobody has said whose writer it was.
	By *By `json:"by,omitempty"`
}

// sheet reads one record: each field with the value to show.
type sheet struct {
	Common
	kind   string
	fields map[string]json.RawMessage // good values of known fields
	afar   []string                   // fields whose values are too long to be at hand
}

func (s *State) sheet(id Record) sheet {
	sh := sheet{
		Common: Common{Record: id, IDs: map[string][]ID{}, Conflicts: []Conflict{}},
		fields: map[string]json.RawMessage{},
	}
	r := s.records[id]
	if r == nil {
		return sh
	}
	r.unpack()
	sh.kind = r.kind
	for i := range r.fields {
		held := r.fields[i].ordered()
		if len(held) == 0 {
			continue
		}
		name := r.fields[i].name
		value := held[0].Value
		switch {
		case good(r.kind, name, value):
			sh.fields[name] = value
		case value != nil && string(value) != "null":
			if sh.Other == nil {
				sh.Other = map[string]json.RawMessage{}
			}
			sh.Other[name] = value
		case value == nil:
			sh.afar = append(sh.afar, name)
		}
		for _, h := range held {
			sh.IDs[name] = append(sh.IDs[name], h.ID)
		}
		if differ(held) {
			sh.Conflicts = append(sh.Conflicts, conflictOf(name, held))
		}
	}
	if sh.Deleted = string(sh.fields[fieldDeleted]) == "true"; sh.Deleted {
		v := valueOf(r.field(fieldDeleted).ordered()[0])
		sh.Deletion, sh.Overlooked = &v, r.overlooked()
		sh.EditedSince = len(sh.Overlooked) > 0
	}
	sh.Note = sh.text(fieldNote)
	return sh
}

// PlainOf reads what any record has, whatever its kind. The values of a kind
// without fields of its own, such as a setting, are under Other.
func PlainOf(s *State, id Record) Common { return s.sheet(id).Common }

func conflictOf(name string, held []Held) Conflict {
	c := Conflict{Field: name, Shown: valueOf(held[0])}
	for _, h := range held[1:] {
		c.Others = append(c.Others, valueOf(h))
	}
	return c
}

func valueOf(h Held) ConflictValue {
	v := ConflictValue{ID: h.ID, At: h.Stamp.Millis, Value: h.Value}
	if v.Value == nil {
		v.Value = json.RawMessage("null")
	}
	return v
}

// text, number and part read a known field; its value is good or absent.
func (sh sheet) text(name string) string {
	s, _ := asText(sh.fields[name])
	return s
}

func (sh sheet) number(name string) int64 {
	n, _ := asCount(sh.fields[name])
	return n
}

func part[T shape](sh sheet, name string) *T {
	v, ok := sh.fields[name]
	if !ok {
		return nil
	}
	t, _ := readAs[T](v)
	return &t
}
