package journal

import (
	"bytes"
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"panside/internal/json"
)

var update = flag.Bool("update", false, "write entries and shown values of testdata/merge anew from the steps")

// mergeCase is one file of testdata/merge. Steps say what people did; entries
// and shown follow from them and are what every implementation must agree on.
type mergeCase struct {
	About   string                                  `json:"about"`
	Steps   []mergeStep                             `json:"steps"`
	Entries []json.RawMessage                       `json:"entries"`
	Shown   map[Record]map[string][]json.RawMessage `json:"shown"` // the value to show first
	// Overlooked is what deletions hide without having seen it, by field.
	Overlooked map[Record][]string `json:"overlooked"`
}

// mergeStep is a phone that writes, or one that hears all of another.
type mergeStep struct {
	Phone  Writer          `json:"phone"`
	Hears  Writer          `json:"hears,omitempty"`
	Now    int64           `json:"now,omitempty"`
	Kind   string          `json:"kind,omitempty"`
	Record Record          `json:"record,omitempty"`
	Field  string          `json:"field,omitempty"`
	Value  json.RawMessage `json:"value,omitempty"`
}

func (c mergeCase) play(t *testing.T) (entries []Entry) {
	t.Helper()
	states, heard := map[Writer]*State{}, map[Writer][]Entry{}
	authors := map[Writer]*Author{}
	for _, s := range c.Steps {
		if states[s.Phone] == nil {
			states[s.Phone] = NewState()
			var err error
			if authors[s.Phone], err = NewAuthor(s.Phone, states[s.Phone]); err != nil {
				t.Fatal(err)
			}
		}
		if s.Hears != "" {
			for _, e := range heard[s.Hears] {
				added, err := states[s.Phone].Add(e)
				if err != nil {
					t.Fatal(err)
				}
				if added {
					heard[s.Phone] = append(heard[s.Phone], e)
				}
			}
			continue
		}
		e, err := authors[s.Phone].Write(states[s.Phone], s.Now, s.Kind, s.Record, s.Field, s.Value)
		if err != nil {
			t.Fatal(err)
		}
		heard[s.Phone] = append(heard[s.Phone], e)
		entries = append(entries, e)
	}
	return entries
}

func shownBy(s *State) map[Record]map[string][]json.RawMessage {
	out := map[Record]map[string][]json.RawMessage{}
	for id := range s.records {
		out[id] = map[string][]json.RawMessage{}
		for _, f := range s.Fields(id) {
			for _, h := range s.Field(id, f) {
				out[id][f] = append(out[id][f], h.Value)
			}
		}
	}
	return out
}

func overlookedBy(s *State) map[Record][]string {
	out := map[Record][]string{}
	for id, r := range s.records {
		for _, o := range r.overlooked() {
			out[id] = append(out[id], o.Field)
		}
	}
	return out
}

// reopened is a state as its snapshot has it.
func reopened(t *testing.T, s *State) *State {
	t.Helper()
	text, ok := s.Snapshot()
	if !ok {
		t.Fatal("no snapshot")
	}
	again, _, _, err := openSnapshot(string(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return again
}

// TestMergeCases plays the shared cases, and adds their entries in many orders.
func TestMergeCases(t *testing.T) {
	files, err := filepath.Glob("../../testdata/merge/*.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			raw, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var c mergeCase
			if err := json.Unmarshal(raw, &c); err != nil {
				t.Fatal(err)
			}
			var entries []Entry
			if len(c.Steps) > 0 {
				entries = c.play(t)
			} else { // entries no honest phone writes
				for _, raw := range c.Entries {
					e, err := ParseEntry(raw)
					if err != nil {
						t.Fatal(err)
					}
					entries = append(entries, e)
				}
			}
			if *update {
				c.write(t, file, entries)
				return
			}
			if len(entries) != len(c.Entries) {
				t.Fatalf("%d entries, the file has %d", len(entries), len(c.Entries))
			}
			for i, e := range entries {
				if string(e.Wire()) != string(c.Entries[i]) {
					t.Errorf("entry %d\n%s, the file has\n%s", i+1, e.Wire(), c.Entries[i])
				}
			}
			rng := rand.New(rand.NewPCG(1, 1))
			for range 50 {
				s := NewState()
				for _, e := range entries {
					if _, err := s.Add(e); err != nil {
						t.Fatal(err)
					}
				}
				if got := shownBy(s); !reflect.DeepEqual(got, c.Shown) {
					t.Fatalf("shown %s, want %s", inJSON(t, got), inJSON(t, c.Shown))
				}
				for _, s := range []*State{s, reopened(t, s)} {
					if got := overlookedBy(s); !reflect.DeepEqual(got, c.Overlooked) {
						t.Fatalf("overlooked %v, want %v", got, c.Overlooked)
					}
				}
				entries = slices.Concat(entries, entries[:1])
				rng.Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
			}
		})
	}
}

func (c mergeCase) write(t *testing.T, file string, entries []Entry) {
	t.Helper()
	s := NewState()
	c.Entries = nil
	for _, e := range entries {
		c.Entries = append(c.Entries, e.Wire())
		if _, err := s.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	c.Shown = shownBy(s)
	var b bytes.Buffer
	line := func(name string, v any, end string) {
		b.WriteString(`  "` + name + `": ` + string(inJSON(t, v)) + end + "\n")
	}
	list := func(name string, n int, at func(int) any) {
		b.WriteString(`  "` + name + "\": [\n")
		for i := range n {
			b.WriteString("    ")
			b.Write(inJSON(t, at(i)))
			if i < n-1 {
				b.WriteString(",")
			}
			b.WriteString("\n")
		}
		b.WriteString("  ],\n")
	}
	b.WriteString("{\n")
	line("about", c.About, ",")
	list("steps", len(c.Steps), func(i int) any { return c.Steps[i] })
	list("entries", len(c.Entries), func(i int) any { return c.Entries[i] })
	line("shown", c.Shown, ",")
	line("overlooked", overlookedBy(s), "")
	b.WriteString("}\n")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func inJSON(t *testing.T, v any) []byte {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
