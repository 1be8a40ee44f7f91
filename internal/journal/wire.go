package journal

import (
	"bytes"
	"strconv"

	"panside/internal/json"
)

// The wire form of an entry is one line of JSON, always with the same parts in
// the same order and without spaces, so that its hash is that of its bytes:
//
//	{"id":"WRITER.SEQ","at":"MILLIS.COUNT","record":"UUID","kind":"find",
//	 "field":"note","value":…,"replaces":["WRITER.SEQ",…],"prev":"SHA-256"}
//
// replaces is left out when empty, prev in a writer's first entry. Names need
// no escapes; for the value see compactJSON. What isn't written just so is
// refused rather than read in some other way, because its hash would not be the
// writer's. encoding/json could do this at a tenth of the speed, which a phone
// that fetches a year's journal would feel.

// WireVersion is that of the entries and of the messages between phone and
// laptop that carry them. A change that an older side would misread needs a new
// one.
const WireVersion = 1

// Wire is the entry's wire form. The entry must be one that Check accepts.
func (e Entry) Wire() []byte {
	b := make([]byte, 0, 256+len(e.Value)+48*len(e.Replaces))
	b = append(b, `{"id":"`...)
	b = e.ID.append(b)
	b = append(b, `","at":"`...)
	b = append(b, e.Stamp.String()...)
	b = append(b, `","record":"`...)
	b = append(b, e.Record...)
	b = append(b, `","kind":"`...)
	b = append(b, e.Kind...)
	b = append(b, `","field":"`...)
	b = append(b, e.Field...)
	b = append(b, `","value":`...)
	b = append(b, e.Value...)
	for i, r := range e.Replaces {
		if i == 0 {
			b = append(b, `,"replaces":["`...)
		} else {
			b = append(b, `,"`...)
		}
		b = r.append(b)
		b = append(b, '"')
	}
	if len(e.Replaces) > 0 {
		b = append(b, ']')
	}
	if e.Prev != "" {
		b = append(b, `,"prev":"`...)
		b = append(b, e.Prev...)
		b = append(b, '"')
	}
	return append(b, '}')
}

func (id ID) append(b []byte) []byte {
	b = append(b, id.Writer...)
	b = append(b, '.')
	return strconv.AppendUint(b, id.Seq, 10)
}

// MarshalJSON is Wire.
func (e Entry) MarshalJSON() ([]byte, error) {
	if err := e.Check(); err != nil {
		return nil, err
	}
	return e.Wire(), nil
}

// UnmarshalJSON is ParseEntry.
func (e *Entry) UnmarshalJSON(raw []byte) (err error) {
	*e, err = ParseEntry(bytes.Clone(raw))
	return err
}

var errNotWire = &RuleError{RuleForm, "not an entry in its wire form"}

// ParseEntry reads the wire form and checks it. The entry's value shares its
// memory with raw. Error: *RuleError.
func ParseEntry(raw []byte) (Entry, error) {
	var e Entry
	var id, at, record, kind, field []byte
	rest := raw
	for _, part := range []struct {
		label string
		into  *[]byte
	}{
		{`{"id":"`, &id}, {`","at":"`, &at}, {`","record":"`, &record}, {`","kind":"`, &kind}, {`","field":"`, &field},
	} {
		after, ok := bytes.CutPrefix(rest, []byte(part.label))
		end := bytes.IndexByte(after, '"')
		if !ok || end < 0 {
			return e, errNotWire
		}
		*part.into, rest = after[:end], after[end:]
	}
	rest, ok := bytes.CutPrefix(rest, []byte(`","value":`))
	if !ok || !bytes.HasSuffix(rest, []byte{'}'}) {
		return e, errNotWire
	}
	rest = rest[:len(rest)-1]

	// The value ends where the parts after it begin. They are read from the end:
	// inside of a string their quotes would stand behind backslashes, and inside
	// of an object or list a bracket would follow.
	const label = `,"prev":"`
	if at := len(rest) - len(label) - 65; at > 0 && bytes.HasPrefix(rest[at:], []byte(label)) && rest[len(rest)-1] == '"' {
		e.Prev = Hash(rest[at+len(label) : len(rest)-1])
		rest = rest[:at]
	}
	e.Replaces, rest = cutReplaces(rest)
	e.Value = json.RawMessage(rest)

	var err error
	if e.ID, err = ParseID(string(id)); err != nil {
		return e, &RuleError{RuleID, err.Error()}
	}
	if err := e.Stamp.UnmarshalText(at); err != nil {
		return e, &RuleError{RuleAt, err.Error()}
	}
	e.Record, e.Kind, e.Field = Record(record), string(kind), string(field)
	return e, e.Check()
}

// cutReplaces takes the list of replaced ids off the end, if there is one.
func cutReplaces(b []byte) (ids []ID, rest []byte) {
	const label = `,"replaces":["`
	at := bytes.LastIndex(b, []byte(label))
	if at < 0 || !bytes.HasSuffix(b, []byte(`"]`)) || at+len(label) > len(b)-2 {
		return nil, b
	}
	for _, one := range bytes.Split(b[at+len(label):len(b)-2], []byte(`","`)) {
		id, err := ParseID(string(one))
		if err != nil {
			return nil, b // the end of a value that happens to look like it
		}
		ids = append(ids, id)
	}
	return ids, b[:at]
}
