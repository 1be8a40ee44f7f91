package journal

import (
	"bytes"
	"strconv"

	"panside/internal/json"
)

// ParseBatch reads a Batch. The entries share their memory with raw.
//
// A phone writes v, receipt and entries, in this order and without spaces; then
// the entries are only told apart, since ParseEntry looks at each of them
// anyway. Anything else is read as any JSON is. encoding/json would look at
// every byte three times, which is a fifth of what a push costs.
func ParseBatch(raw []byte) (Batch, error) {
	if b, ok := splitBatch(raw); ok {
		return b, nil
	}
	var b Batch
	err := json.Unmarshal(raw, &b)
	return b, err
}

func splitBatch(raw []byte) (b Batch, ok bool) {
	rest, ok := bytes.CutPrefix(raw, []byte(`{"v":`+strconv.Itoa(WireVersion)+`,"receipt":"`))
	end := bytes.IndexByte(rest, '"')
	if !ok || end < 0 || bytes.ContainsFunc(rest[:end], notOfCursors) {
		return b, false
	}
	b.V, b.Receipt = WireVersion, string(rest[:end])
	rest, ok = bytes.CutPrefix(rest[end:], []byte(`","entries":[`))
	if !ok {
		return b, false
	}
	for {
		n := objectEnd(rest)
		if n < 0 {
			return b, false
		}
		b.Entries = append(b.Entries, json.RawMessage(rest[:n:n]))
		switch rest = rest[n:]; {
		case bytes.HasPrefix(rest, []byte{','}):
			rest = rest[1:]
		default:
			return b, string(rest) == "]}"
		}
	}
}

func notOfCursors(r rune) bool {
	return r != '.' && (r < '0' || r > '9') && (r < 'a' || r > 'z')
}

// objectEnd is where the object ends that b begins with, by its braces outside
// of strings; -1 if b begins with none, or it has no end.
func objectEnd(b []byte) int {
	if len(b) == 0 || b[0] != '{' {
		return -1
	}
	depth := 0
	for i := 0; i < len(b); i++ {
		switch b[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return i + 1
			}
		case '"':
			n := stringEnd(b[i+1:])
			if n < 0 {
				return -1
			}
			i += n
		}
	}
	return -1
}

// stringEnd is how many bytes a string has after its first quote, with the last.
func stringEnd(b []byte) int {
	for at := 0; ; {
		n := bytes.IndexByte(b[at:], '"')
		if n < 0 {
			return -1
		}
		at += n
		slashes := 0
		for slashes < at && b[at-1-slashes] == '\\' {
			slashes++
		}
		at++
		if slashes%2 == 0 {
			return at
		}
	}
}
