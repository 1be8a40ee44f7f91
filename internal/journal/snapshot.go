package journal

import (
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"

	"panside/internal/stable"
)

// A snapshot is a State as text, so that a phone starts without reading every
// entry again. It is a cache on one device and never leaves it: a version that
// doesn't know its first line, or finds its size wrong, builds the state from
// the entries instead.
//
//	panside-state 2 ENTRIES RECORDS BYTES  bytes after this line
//	WRITER HEAD-HASH NEWEST-STAMP PRINTS   one line a writer, numbered from 0
//	                                       an empty line
//	RECORD KIND KIND-BY QUARRELS BYTES …   one block a record; bytes that follow;
//	                                       then the values it is listed by, see
//	                                       listedBy, empty for none
//	FIELD ID STAMP VALUE                   one line a value; empty if too long
//	FIELD ID STAMP VALUE ID ID …           a deletion, with what it saw
//	FIELD !ID                              replaced before it arrived
//	FIELD -ID                              a deletion, or its end, replaced since
//
// Parts are separated by tabs, which compact JSON and names can't contain; an
// ID is NUMBER.SEQ with the writer's number. Records stand in order.
const snapshotMark = "panside-state 2 "

var errSnapshot = errors.New("journal: not a whole snapshot of this version")

// Snapshot writes the state as text. A state with gaps has none: ok is false.
// Records that were not touched since the state was read from a snapshot are
// copied as they are.
func (s *State) Snapshot() (text []byte, ok bool) {
	if s.Gaps() != nil {
		return nil, false
	}
	numbers := make(map[Writer]int, len(s.chains))
	writers := slices.Clone(s.numbers) // which keep their numbers
	for n, w := range writers {
		numbers[w] = n
	}
	for _, w := range slices.Sorted(maps.Keys(s.chains)) {
		if _, numbered := numbers[w]; !numbered {
			numbers[w] = len(writers)
			writers = append(writers, w)
		}
	}
	const ahead = len(snapshotMark) + 3*20 // the first line, which is known last
	b := make([]byte, ahead, ahead+s.snapshotRoom())
	for _, w := range writers {
		b = s.chains[w].appendLine(b, w)
	}
	b = append(b, '\n')
	for _, id := range slices.Sorted(maps.Keys(s.records)) {
		if b, ok = s.records[id].appendBlock(b, numbers, s.Has); !ok {
			return nil, false
		}
	}
	first := snapshotMark + strconv.Itoa(s.size) + " " + strconv.Itoa(len(s.records)) + " " + strconv.Itoa(len(b)-ahead) + "\n"
	b = b[ahead-len(first):]
	copy(b, first)
	return b, true
}

// snapshotRoom guesses a snapshot's length, so that it need not grow often.
func (s *State) snapshotRoom() int {
	room := 1 << 10
	for _, c := range s.chains {
		room += 200 + len(c.old) + len(c.fresh)
	}
	for _, r := range s.records {
		room += 200
		if r.packed != nil {
			room += len(r.packed.lines)
		} else {
			room += 120 * len(r.fields)
		}
	}
	return room
}

func (c *chain) appendLine(b []byte, w Writer) []byte {
	b = append(b, w...)
	b = append(b, '\t')
	b = append(b, hashOf(c.head)...)
	b = append(b, '\t')
	b = append(b, c.newest.String()...)
	b = append(b, '\t')
	b = append(b, c.old...)
	b = append(b, c.fresh...)
	return append(b, '\n')
}

// appendBlock writes one record; false if it names a writer without a number,
// because an entry it knows to be replaced never came.
func (r *record) appendBlock(b []byte, numbers map[Writer]int, has func(ID) bool) ([]byte, bool) {
	whole := true
	ref := func(b []byte, id ID) []byte {
		n, ok := numbers[id.Writer]
		whole = whole && ok
		b = strconv.AppendInt(b, int64(n), 10)
		b = append(b, '.')
		return strconv.AppendUint(b, id.Seq, 10)
	}
	p := r.packed
	if p == nil {
		p = r.pack(ref, has)
	}
	b = append(b, r.id...)
	b = append(b, '\t')
	b = append(b, r.kind...)
	b = append(b, '\t')
	b = ref(b, r.kindBy)
	b = append(b, '\t')
	b = append(b, p.conflicts...)
	b = append(b, '\t')
	b = strconv.AppendInt(b, int64(len(p.lines)), 10)
	b = append(b, '\t')
	b = append(b, p.listed...)
	b = append(b, '\n')
	return append(b, p.lines...), whole
}

func (r *record) pack(ref func([]byte, ID) []byte, has func(ID) bool) *packed {
	var b []byte
	for i := range r.fields {
		f := &r.fields[i]
		for _, h := range f.ordered() { // so that equal states have equal snapshots
			b = append(b, f.name...)
			b = append(b, '\t')
			b = ref(b, h.ID)
			b = append(b, '\t')
			b = append(b, h.Stamp.String()...)
			b = append(b, '\t')
			b = append(b, h.Value...)
			for i, id := range h.Saw {
				b = append(b, "\t "[min(i, 1)])
				b = ref(b, id)
			}
			b = append(b, '\n')
		}
		stable.Sort(f.past, compareIDs)
		for _, p := range f.past {
			if slices.ContainsFunc(f.held, func(h Held) bool { return h.ID == p }) {
				continue
			}
			b = append(b, f.name...)
			b = append(b, "\t-"...)
			b = ref(b, p)
			b = append(b, '\n')
		}
		stable.Sort(f.gone, compareIDs)
		for _, g := range f.gone {
			if has(g) {
				continue // it came, and was of another field
			}
			b = append(b, f.name...)
			b = append(b, "\t!"...)
			b = ref(b, g)
			b = append(b, '\n')
		}
	}
	var listed []string
	for _, name := range listedBy {
		value := ""
		if f := r.field(name); f != nil && len(f.held) > 0 {
			value = string(f.ordered()[0].Value)
		}
		listed = append(listed, value)
	}
	return &packed{lines: string(b), conflicts: strconv.Itoa(r.conflicts()), listed: strings.Join(listed, "\t")}
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
	s.numbers = writers
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
	packs := make([]packed, count)
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
		packs[i] = packed{rest[:n], part[3], listed, writers}
		*r = record{id: Record(part[0]), kind: part[1], kindBy: kindBy, packed: &packs[i]}
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
	if r.packed == nil {
		return
	}
	p := r.packed
	r.packed = nil
	for l := range p.read() {
		n := len(r.fields)
		if n == 0 || r.fields[n-1].name != l.field {
			r.fields = append(r.fields, field{name: l.field})
			n++
		}
		f := &r.fields[n-1]
		if l.field == fieldDeleted && l.mark != '!' {
			f.past = append(f.past, l.held.ID)
		}
		switch l.mark {
		case '!':
			f.gone = append(f.gone, l.held.ID)
		case 0:
			f.held = append(f.held, l.held)
		}
	}
}

// packedLine is one line of a record in a snapshot.
type packedLine struct {
	field string
	held  Held
	mark  byte // '!' or '-' before an id that holds no value, else 0
}

// read reads the lines, which stand in order of the fields' names.
func (p *packed) read() func(yield func(packedLine) bool) {
	text := p.lines
	return func(yield func(packedLine) bool) {
		for text != "" {
			line, rest, _ := strings.Cut(text, "\n")
			text = rest
			name, line, _ := strings.Cut(line, "\t")
			l := packedLine{field: name}
			ref := line
			if line != "" && (line[0] == '!' || line[0] == '-') {
				l.mark, ref = line[0], line[1:]
			} else {
				var stamp, value, saw string
				ref, line, _ = strings.Cut(line, "\t")
				stamp, line, _ = strings.Cut(line, "\t")
				value, saw, _ = strings.Cut(line, "\t")
				for _, id := range strings.Fields(saw) {
					if id, ok := readRef(id, p.writers); ok {
						l.held.Saw = append(l.held.Saw, id)
					}
				}
				if l.held.Stamp.UnmarshalText([]byte(stamp)) != nil {
					continue
				}
				if value != "" {
					l.held.Value = []byte(value)
				}
			}
			var ok bool
			if l.held.ID, ok = readRef(ref, p.writers); ok && !yield(l) {
				return
			}
		}
	}
}
