package scalefeed

import (
	"bytes"
	"math/bits"
	"sync"
)

const (
	// tailShapes is how many lines a tail keeps.
	tailShapes = 12
	// tailWidth is where a tail cuts a line that doesn't end.
	tailWidth = 120
)

// Tail keeps the last lines of a scale as they came, whatever they may mean, for
// a person who looks for their format. Lines that differ in their digits only
// count as one: so a scale at rest doesn't drive out the rare line that says
// overload. The zero value is ready; it may be used by several goroutines.
type Tail struct {
	mu    sync.Mutex
	open  []byte // the line that is still arriving
	lines []TailLine
}

// TailLine is a line without its line end, and how many of its shape came.
type TailLine struct {
	Raw   []byte
	Times int
}

// Add takes bytes as they arrive.
func (t *Tail) Add(p []byte) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, b := range p {
		end := b&0x7f == '\r' || b&0x7f == '\n'
		if !end || len(t.open) > 0 {
			t.open = append(t.open, b)
		}
		if len(t.open) > 0 && (end || len(t.open) >= tailWidth) {
			t.keep(end)
		}
	}
}

// keep takes the open line in.
func (t *Tail) keep(ended bool) {
	line := withoutParity(t.open)
	if ended {
		line = line[:len(line)-1]
	}
	t.open = t.open[:0]
	kept := TailLine{Raw: bytes.Clone(line)}
	at := 0
	for at < len(t.lines) && !sameShape(t.lines[at].Raw, line) {
		at++
	}
	switch {
	case at < len(t.lines):
		kept.Times = t.lines[at].Times
	case len(t.lines) < tailShapes:
		t.lines = append(t.lines, TailLine{})
	default:
		at--
	}
	kept.Times++
	copy(t.lines[1:at+1], t.lines[:at])
	t.lines[0] = kept
}

// Lines are the lines kept, the newest first.
func (t *Tail) Lines() []TailLine {
	t.mu.Lock()
	defer t.mu.Unlock()
	return append([]TailLine{}, t.lines...)
}

// Clear forgets everything.
func (t *Tail) Clear() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.open, t.lines = nil, nil
}

// sameShape reports whether two lines differ in their digits only.
func sameShape(a, b []byte) bool {
	if len(a) != len(b) {
		return false
	}
	digit := func(c byte) bool { return c >= '0' && c <= '9' }
	for i := range a {
		if a[i] != b[i] && !(digit(a[i]) && digit(b[i])) {
			return false
		}
	}
	return true
}

// withoutParity takes off the highest bits where they are the parity of seven
// data bits, read through a port set to eight.
func withoutParity(line []byte) []byte {
	parity := bits.OnesCount8(line[0]) % 2
	for _, b := range line {
		if bits.OnesCount8(b)%2 != parity {
			return line
		}
	}
	plain := make([]byte, len(line))
	for i, b := range line {
		plain[i] = b & 0x7f
	}
	return plain
}
