// Package journal is what finds, hunts and settings are made of: a grow-only
// set of immutable entries from which the state follows as a pure function.
//
// A device writes an entry for every change of one field of one record. Sets of
// entries merge by union, in any order, any number of times; State is the same
// for the same set on every device. Nothing is overwritten: an entry names the
// entries of its field that its writer had seen (Replaces), and a field shows
// every entry that no other one replaces.
//
// # Written without having seen one another
//
// What a writer had seen decides, never a clock; a stamp only says which of
// several values is shown first.
//
//   - Two values of a field that don't name one another are a conflict: both are
//     kept, and a person chooses (Common.Conflicts).
//   - A deletion hides a whole record, so it also names the entries of the other
//     fields that its writer had seen. What no deletion names was overlooked, and
//     a person decides (deletion.go).
//   - An undo writes again all that was there, and so opens a conflict or a
//     deletion again (undo.go). Who wrote a value first stays to be found.
//   - A phone says who it is in a record of its own, once a run of the app
//     (phone.go), so that a value is of “the kitchen phone” without the laptop too.
//   - A screen says what it saw: the ids of the record as it was read, and what it
//     wrote since (pwa/src/records/pending-edits.ts). So all that a record's
//     screen writes goes through its PendingEdits.
//
// testdata/merge holds cases that every implementation must show alike.
//
// The files entry, wire, clock, chain, state, deletion, author and snapshot are
// about the set and know nothing of coins; the others say what the fields of a
// hunt, a find and a phone mean. Notebook puts both together for one phone.
package journal

import (
	"bytes"
	"errors"
	"strconv"
	"strings"
	"unicode/utf8"

	"panside/internal/digest"
	"panside/internal/json"
)

// Writer identifies one run of the app, from its start to its end: 1 to 40 small
// letters, digits and dashes, chosen at random. A phone that was put back to an
// old state, or copied, or that shows the app twice, so never uses a sequence
// number a second time.
type Writer string

// ID identifies an entry: its writer and the writer's own count from 1.
type ID struct {
	Writer Writer
	Seq    uint64
}

// String is the wire form, WRITER.SEQ.
func (id ID) String() string { return string(id.Writer) + "." + strconv.FormatUint(id.Seq, 10) }

// ParseID reads the wire form.
func ParseID(s string) (ID, error) {
	w, n, ok := strings.Cut(s, ".")
	seq, err := strconv.ParseUint(n, 10, 53) // a number a browser holds exactly
	if !ok || err != nil || seq == 0 || n[0] == '0' || !isWriter(w) {
		return ID{}, errors.New("not an entry id: " + s)
	}
	return ID{Writer(w), seq}, nil
}

// MarshalText is String.
func (id ID) MarshalText() ([]byte, error) { return []byte(id.String()), nil }

// UnmarshalText is ParseID.
func (id *ID) UnmarshalText(b []byte) (err error) {
	*id, err = ParseID(string(b))
	return err
}

func (id ID) less(o ID) bool {
	if id.Writer != o.Writer {
		return id.Writer < o.Writer
	}
	return id.Seq < o.Seq
}

func compareIDs(x, y ID) int {
	switch {
	case x.less(y):
		return -1
	case y.less(x):
		return 1
	}
	return 0
}

// Record identifies a find, a hunt or a setting: a UUID in lower case, version
// 7 by the writers here.
type Record string

// Hash is the SHA-256 of an entry in its wire form, in lower-case hex.
type Hash string

// Entry is one immutable change. Make one with Author.Write, so that its id,
// stamp and chain are right.
type Entry struct {
	ID     ID
	Stamp  Stamp
	Record Record
	Kind   string
	Field  string
	// Value is compact JSON; null takes the value away without forgetting it.
	Value json.RawMessage
	// Replaces are the entries of this field that the writer had seen. A deletion
	// also names those of the record's other fields, which stay what they are.
	Replaces []ID
	// Prev is the hash of the writer's previous entry, empty for its first, so
	// that a gap or a second history shows.
	Prev Hash
}

// Limits of an entry. A photo is not in the journal; its hash is.
const (
	MaxValue    = 64 << 10
	MaxReplaces = 64
)

// Hash is over the wire form.
func (e Entry) Hash() Hash { return hashOf(e.sum()) }

func (e Entry) sum() [32]byte { return digest.Sum256(e.Wire()) }

func hashOf(sum [32]byte) Hash { return Hash(digest.Hex(sum[:])) }

// Check says whether the entry may enter a set. The error is for the log; a
// person never writes entries by hand. It is a *RuleError.
func (e Entry) Check() error {
	bad := func(rule Rule, what string) error { return &RuleError{rule, "entry " + e.ID.String() + ": " + what} }
	switch {
	case !e.ID.valid():
		return bad(RuleID, "not an entry id")
	case !e.Stamp.valid():
		return bad(RuleAt, "stamp out of range")
	case !isUUID(string(e.Record)):
		return bad(RuleRecord, "record is no lower-case UUID")
	case !isName(e.Kind, 1, 20):
		return bad(RuleKind, "kind is no name")
	case !isName(e.Field, 1, 80):
		return bad(RuleField, "field is no name")
	case len(e.Value) > MaxValue:
		return bad(RuleValueSize, "value too large")
	case !compactJSON(e.Value):
		return bad(RuleValue, "value is not compact JSON")
	case len(e.Replaces) > MaxReplaces:
		return bad(RuleReplaces, "replaces too many")
	case (e.ID.Seq == 1) != (e.Prev == ""):
		return bad(RulePrev, "only a writer’s first entry has no previous one")
	case e.Prev != "" && !isHash(string(e.Prev)):
		return bad(RulePrev, "previous hash is no SHA-256")
	}
	for i, r := range e.Replaces {
		switch {
		case !r.valid():
			return bad(RuleReplaces, "replaces what is no entry id")
		case i > 0 && !e.Replaces[i-1].less(r):
			return bad(RuleReplaces, "replaced ids are not in order")
		case r.Writer == e.ID.Writer && r.Seq >= e.ID.Seq:
			return bad(RuleReplaces, "replaces itself or its own future")
		}
	}
	return nil
}

const maxSeq = 1<<53 - 1

func (id ID) valid() bool { return isWriter(string(id.Writer)) && id.Seq >= 1 && id.Seq <= maxSeq }

// compactJSON reports whether v is JSON just as json.Marshal would write a
// RawMessage: no space between its parts, and <, >, & and the two Unicode line
// ends as escapes. So an entry that is encoded again anywhere keeps its hash.
// It must be valid UTF-8 too, because browsers replace what isn't.
func compactJSON(v []byte) bool {
	if !json.Valid(v) || !utf8.Valid(v) {
		return false
	}
	inString := false
	for i := 0; i < len(v); i++ {
		switch c := v[i]; {
		case c == '<' || c == '>' || c == '&':
			return false
		case c == 0xE2 && (bytes.HasPrefix(v[i:], []byte("\u2028")) || bytes.HasPrefix(v[i:], []byte("\u2029"))):
			return false
		case c == '"':
			inString = !inString
		case c == '\\':
			i++ // only in strings, and what follows can't end one
		case !inString && (c == ' ' || c == '\t' || c == '\n' || c == '\r'):
			return false
		}
	}
	return true
}

func isWriter(s string) bool {
	if len(s) < 1 || len(s) > 40 {
		return false
	}
	for i := 0; i < len(s); i++ {
		if c := s[i]; !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-') {
			return false
		}
	}
	return true
}

func isName(s string, low, high int) bool {
	if len(s) < low || len(s) > high {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' || c == '_' || c == '/') {
			return false
		}
	}
	return true
}

func isHash(s string) bool { return len(s) == 64 && isHex(s) }

func isHex(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; !(c >= '0' && c <= '9' || c >= 'a' && c <= 'f') {
			return false
		}
	}
	return true
}

func isUUID(s string) bool {
	return len(s) == 36 && s[8] == '-' && s[13] == '-' && s[18] == '-' && s[23] == '-' &&
		isHex(s[:8]) && isHex(s[9:13]) && isHex(s[14:18]) && isHex(s[19:23]) && isHex(s[24:])
}
