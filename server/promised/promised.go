// Package promised keeps, apart from the records, what the laptop has
// acknowledged: how many entries, and the head of each writer's chain. Records
// that are damaged, replaced by an older copy or gone can't tell that they were
// more; this file can.
//
// The file is a list of lines, each with its own checksum, that say how far the
// chains went that a push made longer. It is written into room that is there
// already, which makes the wait for the disk short, and begun anew when the room
// is used up. A line that was cut off or damaged is passed over; the next one
// about the same writer says all that it said.
package promised

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/server/durable"
)

// room is how long the file is at least; half of it is free when it is begun anew.
const room = 64 << 10

// State is what was acknowledged.
type State struct {
	Count int64
	Heads map[journal.Writer]journal.Head
}

// List is the heads in order of writers.
func (s State) List() []journal.Head {
	var all []journal.Head
	for _, w := range slices.Sorted(maps.Keys(s.Heads)) {
		all = append(all, s.Heads[w])
	}
	return all
}

func (s *State) add(count int64, heads []journal.Head) {
	s.Count = max(s.Count, count)
	for _, h := range heads {
		if h.Seq > s.Heads[h.Writer].Seq {
			s.Heads[h.Writer] = h
		}
	}
}

// line is one line's content.
type line struct {
	Count int64          `json:"count"`
	Heads []journal.Head `json:"heads"`
}

// Read reads a file; one that isn't there says nothing. damaged counts the lines
// that were passed over.
func Read(file string) (s State, damaged int, err error) {
	s.Heads = map[journal.Writer]journal.Head{}
	raw, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return s, 0, nil
	}
	if err != nil {
		return s, 0, explain(file, err)
	}
	for text := range strings.Lines(string(raw)) {
		text = strings.Trim(text, "\x00\n")
		if text == "" {
			continue
		}
		l, ok := parse(text)
		if !ok {
			damaged++
			continue
		}
		s.add(l.Count, l.Heads)
	}
	return s, damaged, nil
}

func parse(text string) (l line, ok bool) {
	sum, content, _ := strings.Cut(text, " ")
	if sum != checksum([]byte(content)) {
		return l, false
	}
	return l, json.Unmarshal([]byte(content), &l) == nil
}

func checksum(b []byte) string { return fmt.Sprintf("%08x", crc32.ChecksumIEEE(b)) }

func encode(l line) ([]byte, error) {
	content, err := json.Marshal(l)
	if err != nil {
		return nil, err
	}
	return append(append([]byte(checksum(content)), ' '), append(content, '\n')...), nil
}

// Write replaces a file by one that says no more than a state, on the disk when
// it returns. Error: fault.DataFolder.
func Write(file string, s State) error {
	f, _, err := write(file, s)
	if err != nil {
		return explain(file, err)
	}
	return explain(file, f.Close())
}

// write leaves the new file open and tells where its next line goes.
func write(file string, s State) (*os.File, int64, error) {
	first, err := encode(line{s.Count, s.List()})
	if err != nil {
		return nil, 0, err
	}
	if err := durable.WriteFile(file, append(bytes.Clone(first), make([]byte, max(room-len(first), room/2))...)); err != nil {
		return nil, 0, err
	}
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	return f, int64(len(first)), err
}

// Book is a file in use. Its methods are safe for concurrent use.
type Book struct {
	file string
	mu   sync.Mutex
	s    State
	f    *os.File
	at   int64 // where the next line goes
	size int64
}

// Begin makes a file say what is there now, and nothing else, and keeps it open.
// Error: fault.DataFolder.
func Begin(file string, count int64, heads []journal.Head) (*Book, error) {
	b := &Book{file: file, s: State{Heads: map[journal.Writer]journal.Head{}}}
	b.s.add(count, heads)
	return b, explain(file, b.begin())
}

func (b *Book) begin() error {
	if b.f != nil {
		if err := b.f.Close(); err != nil && !errors.Is(err, fs.ErrClosed) {
			return err
		}
	}
	f, at, err := write(b.file, b.s)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err != nil {
		return errors.Join(err, f.Close())
	}
	b.f, b.at, b.size = f, at, info.Size()
	return nil
}

// Keep notes what is about to be acknowledged, on the disk when it returns.
// Error: fault.DataFolder; then it may not be acknowledged.
func (b *Book) Keep(count int64, heads []journal.Head) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	fresh := slices.DeleteFunc(slices.Clone(heads), func(h journal.Head) bool { return h.Seq <= b.s.Heads[h.Writer].Seq })
	if len(fresh) == 0 {
		return nil
	}
	text, err := encode(line{count, fresh})
	if err != nil {
		return explain(b.file, err)
	}
	if b.at+int64(len(text)) > b.size {
		if err := b.begin(); err != nil {
			return explain(b.file, err)
		}
	}
	if _, err := b.f.WriteAt(text, b.at); err != nil {
		return explain(b.file, err)
	}
	if err := b.f.Sync(); err != nil {
		return explain(b.file, err)
	}
	b.at += int64(len(text))
	b.s.add(count, fresh)
	return nil
}

// State is what was noted so far.
func (b *Book) State() State {
	b.mu.Lock()
	defer b.mu.Unlock()
	return State{b.s.Count, maps.Clone(b.s.Heads)}
}

// Close closes the file.
func (b *Book) Close() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.f.Close()
}

func explain(file string, err error) error {
	var f *fault.Error
	if err == nil || errors.As(err, &f) {
		return err
	}
	return fault.Wrap(fault.DataFolder, say.New("records-not-noted", say.Text("file", file)), err)
}
