package journal

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/json"
)

// evening lets a few notebooks write, count, undo and meet in every way, and
// returns them with all entries. What anybody saw on a screen may be stale.
func evening(t *rapid.T) ([]*Notebook, []Entry) {
	seed := byte(0)
	random := func(b []byte) {
		for i := range b {
			seed++
			b[i] = seed
		}
	}
	books := make([]*Notebook, rapid.IntRange(1, 3).Draw(t, "phones"))
	clocks := make([]int64, len(books))
	screens := make([]map[string][]ID, len(books)) // as they were some time ago
	for i := range books {
		books[i] = NewNotebook(random)
		clocks[i] = rapid.Int64Range(0, 4e12).Draw(t, "clock")
	}
	var all []Entry
	var records []Record
	for range rapid.IntRange(1, 50).Draw(t, "steps") {
		i := rapid.IntRange(0, len(books)-1).Draw(t, "who")
		n := books[i]
		clocks[i] += rapid.Int64Range(-1e9, 1e9).Draw(t, "jump")
		var made []Entry
		var err error
		switch rapid.SampledFrom([]string{"write", "write", "write", "look", "meet", "undo", "count", "pause"}).Draw(t, "what") {
		case "write":
			c := Change{Kind: rapid.SampledFrom([]string{KindFind, KindFind, KindHunt, "newer"}).Draw(t, "kind"), Set: map[string]json.RawMessage{}}
			if len(records) > 0 && rapid.Bool().Draw(t, "known") {
				if id := rapid.SampledFrom(records).Draw(t, "record"); n.state.records[id] != nil {
					c.Record = id
					c.Kind = n.state.Kind(id)
					c.Saw = screens[i]
				}
			}
			for _, f := range rapid.SliceOfN(rapid.SampledFrom([]string{"note", "deleted", "hunt", "kind", "fate", "certainty", "of-a-newer-version"}), 1, 4).Draw(t, "fields") {
				c.Set[f] = json.RawMessage(map[string]string{
					"note": fmt.Sprintf(`"step %d"`, len(all)), "deleted": rapid.SampledFrom([]string{"true", "true", "false"}).Draw(t, "deleted"), "hunt": `"0190a000-0000-7000-8000-000000000001"`,
					"kind": `"doubled-die"`, "fate": `"keep"`, "certainty": `"guess"`, "of-a-newer-version": fmt.Sprintf(`{"long":"%0*d"}`, rapid.SampledFrom([]int{1, 300}).Draw(t, "length"), 1),
				}[f])
				if rapid.IntRange(0, 4).Draw(t, "nothing") == 0 {
					c.Set[f] = json.RawMessage("null")
				}
			}
			var id Record
			if id, made, err = n.Write(clocks[i], c); len(made) > 0 && c.Record == "" {
				records = append(records, id)
			}
			for _, e := range made {
				for _, r := range e.Replaces {
					seen := slices.Contains(c.Saw[e.Field], r)
					if isDeletion(e.Field, e.Value) {
						seen = deleterSaw(r, c.Saw, made, all)
					}
					if !seen {
						t.Fatalf("%v replaces %v, which nobody had seen", e.ID, r)
					}
				}
			}
		case "look":
			if len(records) > 0 {
				screens[i] = PlainOf(n.state, rapid.SampledFrom(records).Draw(t, "record")).IDs
			}
		case "meet":
			for _, e := range all {
				if rapid.IntRange(0, 3).Draw(t, "sees") > 0 {
					if _, _, err := n.Add(e.Wire()); err != nil {
						t.Fatal(err)
					}
				}
			}
		case "undo":
			if len(all) > 0 {
				e := all[rapid.IntRange(0, len(all)-1).Draw(t, "which")]
				var own []Entry
				for _, o := range all {
					if o.Record == e.Record && n.state.Has(o.ID) {
						own = append(own, o)
					}
				}
				made, err = n.Undo(clocks[i], []ID{e.ID}, own)
			}
		case "count":
			if hunts := n.List(Wanted{Kind: KindHunt}).Records; len(hunts) > 0 {
				made, err = n.Count(clocks[i], rapid.SampledFrom(hunts).Draw(t, "hunt"), Counts{map[string]int64{"ordinary": 3, "look": 1}, []MetalCount{{"Bronze", 3, int64(i)}}})
			}
		case "pause":
			if hunts := n.List(Wanted{Kind: KindHunt}).Records; len(hunts) > 0 {
				made, err = n.Pause(clocks[i], rapid.SampledFrom(hunts).Draw(t, "hunt"), rapid.Bool().Draw(t, "begin"))
			}
		}
		if err != nil && len(made) > 0 {
			t.Fatalf("written in spite of %v", err)
		}
		all = append(all, made...)
	}
	return books, all
}

// deleterSaw reports whether an entry was on the deleter's screen, is a running
// number, or was written along with the deletion.
func deleterSaw(id ID, saw map[string][]ID, made, all []Entry) bool {
	for _, e := range slices.Concat(made, all) {
		if e.ID == id {
			return slices.Contains(saw[e.Field], id) || isCount(e.Field) || slices.ContainsFunc(made, func(m Entry) bool { return m.ID == id })
		}
	}
	return false
}

// visible is everything a state shows.
func visible(s *State) map[string]any {
	out := map[string]any{"gaps": s.Gaps(), "entries": s.Len()}
	for id, r := range s.records {
		for _, f := range s.Fields(id) {
			out[string(id)+" "+r.kind+" "+f] = s.Field(id, f)
		}
		out[string(id)+" overlooked"] = r.overlooked()
	}
	return out
}

// lists is everything a notebook lists.
func lists(n *Notebook) map[string]any {
	out := map[string]any{"hunts": n.Hunts(1e12), "conflicts": n.InConflict()}
	for _, kind := range []string{KindFind, KindHunt, "newer"} {
		for _, deleted := range []bool{false, true} {
			for _, fate := range []string{"", "keep"} {
				w := Wanted{Kind: kind, Deleted: deleted, Fate: fate, Limit: 500}
				out[fmt.Sprint(w)] = n.List(w)
			}
		}
	}
	return out
}

func rebuilt(t *rapid.T, entries []Entry, keep func(string, int) bool) *State {
	s := newState(keep)
	for _, e := range entries {
		if _, err := s.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// TestASnapshotIsTheState: what is opened from a snapshot shows and lists the
// same as what was built from entries, and goes on the same.
func TestASnapshotIsTheState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, all := evening(t)
		cut := rapid.IntRange(0, len(all)).Draw(t, "cut")
		n := NewNotebook(zeros)
		for _, e := range all[:cut] {
			if _, _, err := n.Add(e.Wire()); err != nil {
				t.Fatal(err)
			}
		}
		text := string(n.Snapshot())
		again := NewNotebook(zeros)
		if err := again.Open(text); err != nil {
			t.Fatal(err)
		}
		if got, want := lists(again), lists(n); !reflect.DeepEqual(got, want) {
			t.Fatalf("lists from a snapshot:\n%v\nwant\n%v", got, want)
		}
		for _, e := range all { // the first ones again
			for _, b := range []*Notebook{n, again} {
				if _, _, err := b.Add(e.Wire()); err != nil {
					t.Fatal(err)
				}
			}
		}
		if got, want := visible(again.state), visible(rebuilt(t, all, keepAtHand)); !reflect.DeepEqual(got, want) {
			t.Fatalf("after a snapshot:\n%v\nwant\n%v", got, want)
		}
		if got, want := lists(again), lists(n); !reflect.DeepEqual(got, want) {
			t.Fatalf("lists:\n%v\nwant\n%v", got, want)
		}
		// The next snapshot has parts of the one before, and new ones.
		next := NewNotebook(zeros)
		if err := next.Open(string(again.Snapshot())); err != nil {
			t.Fatal(err)
		}
		if got, want := lists(next), lists(n); !reflect.DeepEqual(got, want) {
			t.Fatalf("lists from the next snapshot:\n%v\nwant\n%v", got, want)
		}
		if got, want := visible(next.state), visible(again.state); !reflect.DeepEqual(got, want) {
			t.Fatalf("the next snapshot:\n%v\nwant\n%v", got, want)
		}
	})
}

// TestForksAreSeenBehindASnapshot: the hashes of old entries live on in it.
func TestForksAreSeenBehindASnapshot(t *testing.T) {
	n := NewNotebook(zeros)
	_, made, err := n.Write(1, Change{Kind: KindFind, Set: map[string]json.RawMessage{"note": json.RawMessage(`"a"`), "kind": json.RawMessage(`"cud"`)}})
	if err != nil || len(made) != 2 {
		t.Fatal(made, err)
	}
	again := NewNotebook(zeros)
	if err := again.Open(string(n.Snapshot())); err != nil {
		t.Fatal(err)
	}
	for i := range made {
		if _, added, err := again.Add(made[i].Wire()); added || err != nil {
			t.Errorf("the same entry: %v %v", added, err)
		}
		other := made[i]
		other.Value = json.RawMessage(`"b"`)
		if _, _, err := again.Add(other.Wire()); err != ErrFork {
			t.Errorf("another entry under %v: %v", other.ID, err)
		}
	}
	_, more, err := again.Write(2, Change{Kind: KindFind, Set: map[string]json.RawMessage{"note": json.RawMessage(`"c"`)}})
	if err != nil || more[0].ID.Seq != 3 || more[0].Prev != made[1].Hash() {
		t.Errorf("goes on as %+v, %v", more, err)
	}
}

// TestNoSnapshotOfAGap: it would hide that an entry is missing.
func TestNoSnapshotOfAGap(t *testing.T) {
	p := sit(t, counted())
	id, _ := p.set(KindFind, "", `{"note":"first"}`)
	p.set(KindFind, id, `{"kind":"cud"}`)
	p.set(KindFind, id, `{"fate":"keep"}`)
	n := NewNotebook(zeros)
	for _, tc := range []struct {
		entry int
		whole bool
	}{{0, true}, {2, false}, {1, true}} {
		if _, _, err := n.Add(p.all[tc.entry].Wire()); err != nil {
			t.Fatal(err)
		}
		if got := n.Snapshot() != nil; got != tc.whole {
			t.Errorf("with entry %d: a snapshot %v, want %v", tc.entry+1, got, tc.whole)
		}
	}
}

// TestASnapshotKnowsWhatWasReplacedBeforeItCame, or there is none.
func TestASnapshotKnowsWhatWasReplacedBeforeItCame(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	_, late := a.set(KindFind, id, `{"note":"second"}`)
	b.hear(a)
	_, last := b.set(KindFind, id, `{"note":"third"}`)
	for _, known := range [][]Entry{a.all[:1], nil} { // of the late one's writer
		n := NewNotebook(zeros)
		for _, e := range slices.Concat(known, last) {
			if _, _, err := n.Add(e.Wire()); err != nil {
				t.Fatal(err)
			}
		}
		text := string(n.Snapshot())
		if (text != "") != (known != nil) {
			t.Errorf("with %d entries of its writer the snapshot is %q", len(known), text)
		}
		if text == "" {
			continue
		}
		again := NewNotebook(zeros)
		if err := again.Open(text); err != nil {
			t.Fatal(err)
		}
		if _, added, err := again.Add(late[0].Wire()); !added || err != nil {
			t.Fatal(added, err)
		}
		if held := again.State().Field(id, "note"); len(held) != 1 || held[0].ID != last[0].ID {
			t.Errorf("what was replaced is shown: %v", held)
		}
	}
}

func TestACutSnapshotIsRefused(t *testing.T) {
	n := NewNotebook(zeros)
	for i := range 3 {
		if _, _, err := n.Write(int64(i), Change{Kind: KindFind, Set: map[string]json.RawMessage{"note": json.RawMessage(`"a"`)}}); err != nil {
			t.Fatal(err)
		}
	}
	text := string(n.Snapshot())
	for cut := range len(text) {
		if text[:cut] == "" {
			continue
		}
		again := NewNotebook(zeros)
		if err := again.Open(text[:cut]); err != ErrRebuild {
			t.Fatalf("cut after %d bytes: %v", cut, err)
		}
		if again.Len() != 0 {
			t.Fatal("something was kept of it")
		}
	}
	for _, other := range []string{"1", "3"} { // 1 knew nothing of what deletions saw
		if err := NewNotebook(zeros).Open(strings.Replace(text, "panside-state 2", "panside-state "+other, 1)); err != ErrRebuild {
			t.Errorf("version %s: %v", other, err)
		}
	}
}

// FuzzSnapshot: no text makes the reader fail otherwise than by saying so.
func FuzzSnapshot(f *testing.F) {
	n := NewNotebook(zeros)
	if _, _, err := n.Write(1, Change{Kind: KindFind, Set: map[string]json.RawMessage{"note": json.RawMessage(`"a"`), "kind": json.RawMessage(`"cud"`)}}); err != nil {
		f.Fatal(err)
	}
	f.Add(string(n.Snapshot()))
	f.Add("panside-state 2 0 0 1\n\n")
	f.Fuzz(func(_ *testing.T, text string) {
		n := NewNotebook(zeros)
		if n.Open(text) == nil {
			lists(n)
			visible(n.state)
		}
	})
}
