package journal

import (
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// A snapshot is a State as text, so that a phone starts without reading every
// entry again. It is a cache on one device and never leaves it: a version that
// doesn't know its first line, or finds its size wrong, builds the state from
// the entries instead.
//
//	panside-state 1 ENTRIES RECORDS BYTES  bytes after this line
//	WRITER HEAD-HASH NEWEST-STAMP PRINTS   one line a writer, numbered from 0
//	                                       an empty line
//	RECORD KIND KIND-BY QUARRELS BYTES …   one block a record; bytes that follow;
//	                                       then the values it is listed by, see
//	                                       listedBy, empty for none
//	FIELD ID STAMP VALUE                   one line a value; empty if too long
//	FIELD !ID                              replaced before it arrived
//
// Parts are separated by tabs, which compact JSON and names can't contain; an
// ID is NUMBER.SEQ with the writer's number. Records stand in order.
const snapshotMark = "panside-state 1 "

var errSnapshot = errors.New("journal: not a whole snapshot of this version")

// Snapshot writes the state as text. A state with gaps has none: ok is false.
func (s *State) Snapshot() (text string, ok bool) {
	if s.Gaps() != nil {
		return "", false
	}
	var b []byte
	numbers := map[Writer]int{}
	for n, w := range slices.Sorted(maps.Keys(s.chains)) {
		c := s.chains[w]
		numbers[w] = n
		b = append(b, w...)
		b = append(b, '\t')
		b = append(b, hashOf(c.head)...)
		b = append(b, '\t')
		b = append(b, c.newest.String()...)
		b = append(b, '\t')
		b = append(b, c.old...)
		b = append(b, c.fresh...)
		b = append(b, '\n')
	}
	b = append(b, '\n')
	// A replaced entry that never came has perhaps an unknown writer.
	number := func(id ID) (string, bool) {
		n, ok := numbers[id.Writer]
		return strconv.Itoa(n) + "." + strconv.FormatUint(id.Seq, 10), ok
	}
	var body []byte
	for _, id := range slices.Sorted(maps.Keys(s.records)) {
		r := s.records[id]
		r.unpack()
		body = body[:0]
		for i := range r.fields {
			f := &r.fields[i]
			for _, h := range f.ordered() { // so that equal states have equal snapshots
				ref, _ := number(h.ID)
				body = append(body, f.name...)
				body = append(body, '\t')
				body = append(body, ref...)
				body = append(body, '\t')
				body = append(body, h.Stamp.String()...)
				body = append(body, '\t')
				body = append(body, h.Value...)
				body = append(body, '\n')
			}
			slices.SortFunc(f.gone, compareIDs)
			for _, g := range f.gone {
				ref, known := number(g)
				if !known {
					return "", false
				}
				body = append(body, f.name...)
				body = append(body, "\t!"...)
				body = append(body, ref...)
				body = append(body, '\n')
			}
		}
		kindBy, _ := number(r.kindBy)
		b = append(b, id...)
		b = append(b, '\t')
		b = append(b, r.kind...)
		b = append(b, '\t')
		b = append(b, kindBy...)
		b = append(b, '\t')
		b = strconv.AppendInt(b, int64(r.quarrels()), 10)
		b = append(b, '\t')
		b = strconv.AppendInt(b, int64(len(body)), 10)
		for _, name := range listedBy {
			b = append(b, '\t')
			if f := r.field(name); f != nil && len(f.held) > 0 {
				b = append(b, f.ordered()[0].Value...)
			}
		}
		b = append(b, '\n')
		b = append(b, body...)
	}
	head := snapshotMark + strconv.Itoa(s.size) + " " + strconv.Itoa(len(s.records)) + " " + strconv.Itoa(len(b)) + "\n"
	return head + string(b), true
}

// openSnapshot reads a snapshot that stands at the beginning of text and
// returns what follows it. Fields are read when they are first asked for.
//
// order lists the records in order of their ids.
func openSnapshot(text string, keep func(string, int) bool) (s *State, order []*record, rest string, err error) {
	first, rest, ok := strings.Cut(text, "\n")
	sizes, marked := strings.CutPrefix(first, snapshotMark)
	part := strings.Split(sizes, " ")
	if !ok || !marked || len(part) != 3 {
		return nil, nil, "", errSnapshot
	}
	entries, errA := strconv.Atoi(part[0])
	records, errB := strconv.Atoi(part[1])
	bytes, errC := strconv.Atoi(part[2])
	if errA != nil || errB != nil || errC != nil || bytes < 0 || bytes > len(rest) || records < 0 || records > bytes {
		return nil, nil, "", errSnapshot
	}
	text, rest = rest[:bytes], rest[bytes:]
	s = newState(keep)
	s.size = entries
	writers, text, err := s.openChains(text)
	if err != nil {
		return nil, nil, "", err
	}
	if order, err = s.openRecords(text, records, writers); err != nil {
		return nil, nil, "", err
	}
	return s, order, rest, nil
}

func (s *State) openChains(text string) (writers []Writer, rest string, err error) {
	held := 0
	for {
		line, rest, ok := strings.Cut(text, "\n")
		if !ok {
			return nil, "", errSnapshot
		}
		text = rest
		if line == "" {
			break
		}
		part := strings.SplitN(line, "\t", 4)
		if len(part) != 4 || !isWriter(part[0]) || len(part[3])%printLen != 0 {
			return nil, "", errSnapshot
		}
		c := &chain{old: part[3]}
		if !readHash(part[1], &c.head) || c.newest.UnmarshalText([]byte(part[2])) != nil {
			return nil, "", errSnapshot
		}
		s.chains[Writer(part[0])] = c
		writers = append(writers, Writer(part[0]))
		held += int(c.whole())
	}
	if held != s.size {
		return nil, "", errSnapshot
	}
	return writers, text, nil
}

func (s *State) openRecords(text string, count int, writers []Writer) (order []*record, err error) {
	s.records = make(map[Record]*record, count)
	room := make([]record, count) // at once: a phone's memory is slow to ask for
	for i := range room {
		var part [5]string
		for j := range part {
			at := strings.IndexByte(text, '\t')
			if at < 0 {
				return nil, errSnapshot
			}
			part[j], text = text[:at], text[at+1:]
		}
		listed, rest, ok := strings.Cut(text, "\n")
		n, err := strconv.Atoi(part[4])
		kindBy, known := readRef(part[2], writers)
		if !ok || err != nil || n < 0 || n > len(rest) || !known {
			return nil, errSnapshot
		}
		r := &room[i]
		*r = record{
			id: Record(part[0]), kind: part[1], kindBy: kindBy, packed: rest[:n], writers: writers, packedQuarrel: part[3] != "0",
		}
		r.listed.read(r.kind, listed)
		s.records[r.id] = r
		text = rest[n:]
		order = append(order, r)
	}
	if text != "" {
		return nil, errSnapshot
	}
	return order, nil
}

func readRef(s string, writers []Writer) (ID, bool) {
	w, q, ok := strings.Cut(s, ".")
	n, errA := strconv.Atoi(w)
	seq, errB := strconv.ParseUint(q, 10, 53)
	if !ok || errA != nil || errB != nil || n < 0 || n >= len(writers) {
		return ID{}, false
	}
	return ID{writers[n], seq}, true
}

func readHash(s string, into *[32]byte) bool {
	if !isHash(s) {
		return false
	}
	digit := func(c byte) byte {
		if c <= '9' {
			return c - '0'
		}
		return c - 'a' + 10
	}
	for i := range into {
		into[i] = digit(s[2*i])<<4 | digit(s[2*i+1])
	}
	return true
}

// unpack reads the fields out of the snapshot. Lines that can't be read would
// mean a fault in Snapshot, whose text no one else writes; such a line is left
// out and the value is still in its entry.
func (r *record) unpack() {
	if r.packed == "" {
		return
	}
	text := r.packed
	r.packed = ""
	for l := range packedLines(text, r.writers) {
		n := len(r.fields)
		if n == 0 || r.fields[n-1].name != l.field {
			r.fields = append(r.fields, field{name: l.field})
			n++
		}
		f := &r.fields[n-1]
		if l.gone {
			f.gone = append(f.gone, l.held.ID)
		} else {
			f.held = append(f.held, l.held)
		}
	}
}

// packedLine is one line of a record in a snapshot.
type packedLine struct {
	field string
	held  Held
	gone  bool
}

// packedLines reads the lines of one record, in order of the fields' names.
func packedLines(text string, writers []Writer) func(yield func(packedLine) bool) {
	return func(yield func(packedLine) bool) {
		for text != "" {
			line, rest, _ := strings.Cut(text, "\n")
			text = rest
			name, line, _ := strings.Cut(line, "\t")
			l := packedLine{field: name}
			ref, gone := strings.CutPrefix(line, "!")
			if gone {
				l.gone = true
			} else {
				var stamp, value string
				ref, line, _ = strings.Cut(line, "\t")
				stamp, value, _ = strings.Cut(line, "\t")
				if l.held.Stamp.UnmarshalText([]byte(stamp)) != nil {
					continue
				}
				if value != "" {
					l.held.Value = []byte(value)
				}
			}
			var ok bool
			if l.held.ID, ok = readRef(ref, writers); ok && !yield(l) {
				return
			}
		}
	}
}
