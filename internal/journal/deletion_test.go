package journal

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/json"
)

func missed(c Common) (fields []string) {
	for _, o := range c.Overlooked {
		fields = append(fields, o.Field)
	}
	return fields
}

const somePhoto = "photo/2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824"

const aPhoto = `{"` + somePhoto + `":{"sha256":"2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824","type":"image/jpeg","bytes":312000}}`

// TestADeletionGoesByWhatWasSeen: an entry that the deleter had not seen is
// shown as overlooked and one they had seen isn't, whatever the clocks say.
func TestADeletionGoesByWhatWasSeen(t *testing.T) {
	const day = 24 * 3600 * 1000
	for what, tc := range map[string]struct {
		deleter, other int64 // their clocks, from the find's making on
		edit           string
		seen           bool
		want           []string
	}{
		"a photo of a second before, unseen":           {61_000, 60_000, aPhoto, false, []string{somePhoto}},
		"a photo of a second before, seen":             {61_000, 60_000, aPhoto, true, nil},
		"a later edit, the deleter's clock ahead":      {3 * day, 3600_000, `{"note":"a good one"}`, false, []string{"note"}},
		"an edit seen, the deleter's clock behind":     {-3 * day, 3600_000, `{"note":"a good one"}`, true, nil},
		"an edit seen, the other's clock years ahead":  {60_000, 900 * day, `{"note":"a good one"}`, true, nil},
		"two fields unseen, at the same moment":        {60_000, 60_000, `{"fate":"keep","kind":"cud"}`, false, []string{"fate", "kind"}},
		"a value taken away unseen, long before by it": {60_000, -day, `{"note":null}`, false, []string{"note"}},
	} {
		random := counted()
		a, b := sit(t, random), sit(t, random)
		id, _ := a.set(KindFind, "", `{"note":"first"}`)
		b.hear(a)
		a.now += tc.deleter
		b.now += tc.other
		b.set(KindFind, id, tc.edit)
		if tc.seen {
			a.hear(b)
		}
		a.set(KindFind, id, `{"deleted":true}`)
		a.hear(b)
		b.hear(a)
		for _, p := range []*table{a, b} {
			f := p.find(id)
			if got := missed(f.Common); !f.Deleted || !slices.Equal(got, tc.want) || f.EditedSince != (tc.want != nil) {
				t.Errorf("%s: overlooked %v, want %v", what, got, tc.want)
			}
			if got := p.InConflict(); slices.Contains(got, id) != (tc.want != nil) {
				t.Errorf("%s: to decide %v", what, got)
			}
		}
	}
}

// TestAStaleScreenOverlooksWhatCameSince: what arrived while the find stood on
// the screen, and the deleter so had not before them, is overlooked.
func TestAStaleScreenOverlooksWhatCameSince(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	saw := PlainOf(a.state, id).IDs
	b.set(KindFind, id, `{"fate":"keep"}`)
	a.hear(b)
	_, made, err := a.Write(a.now, Change{Kind: KindFind, Record: id, Set: map[string]json.RawMessage{"deleted": json.RawMessage("true")}, Saw: saw})
	a.keep(made, err)
	if f := a.find(id); !slices.Equal(missed(f.Common), []string{"fate"}) {
		t.Errorf("overlooked %v", missed(f.Common))
	}
}

// TestAScreenOfWhichNothingIsLeft: every value on it was replaced meanwhile by
// one of a phone whose clock is behind. The deleter had seen none of these.
func TestAScreenOfWhichNothingIsLeft(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindFind, "", `{"note":"first"}`)
	b.hear(a)
	saw := PlainOf(a.state, id).IDs
	b.now -= 3600_000
	b.set(KindFind, id, `{"note":"a good one"}`)
	a.hear(b)
	a.now += 3600_000
	_, made, err := a.Write(a.now, Change{Kind: KindFind, Record: id, Set: map[string]json.RawMessage{"deleted": json.RawMessage("true")}, Saw: saw})
	a.keep(made, err)
	if f := a.find(id); !slices.Equal(missed(f.Common), []string{"note"}) {
		t.Errorf("overlooked %v", missed(f.Common))
	}
}

// TestWhatADeletionOverlookedIsDecided by deleting again or by keeping, and
// opened again when that is taken back.
func TestWhatADeletionOverlookedIsDecided(t *testing.T) {
	for _, decision := range []string{"true", "null"} {
		random := counted()
		a, b := sit(t, random), sit(t, random)
		id, _ := a.set(KindFind, "", `{"note":"first"}`)
		b.hear(a)
		b.set(KindFind, id, `{"note":"a good one"}`)
		a.set(KindFind, id, `{"deleted":true}`)
		a.hear(b)
		by := a.find(id).Deletion.ID
		for range 2 {
			_, undo := a.set(KindFind, id, `{"deleted":`+decision+`}`)
			if f := a.find(id); f.EditedSince || f.Deleted != (decision == "true") || len(a.InConflict()) != 0 {
				t.Fatalf("decided %s: %+v", decision, f.Common)
			}
			if _, again := a.set(KindFind, id, `{"deleted":`+decision+`}`); len(again) != 0 {
				t.Errorf("decided %s again: %+v", decision, again)
			}
			back := a.keep(a.Undo(a.now, ids(undo), a.all))
			f := a.find(id)
			if !slices.Equal(missed(f.Common), []string{"note"}) || len(f.Conflicts) != 0 || len(a.InConflict()) != 1 {
				t.Fatalf("%s taken back: %+v", decision, f.Common)
			}
			if f.Deletion.At != a.entry(by).Stamp.Millis {
				t.Errorf("%s taken back: deleted at %d, not when it was first", decision, f.Deletion.At)
			}
			// Done again, it is decided again.
			redone := a.keep(a.Undo(a.now, ids(back), a.all))
			if f := a.find(id); f.EditedSince || f.Deleted != (decision == "true") {
				t.Fatalf("%s done again: %+v", decision, f.Common)
			}
			a.keep(a.Undo(a.now, ids(redone), a.all))
		}
		b.hear(a)
		if f := b.find(id); !slices.Equal(missed(f.Common), []string{"note"}) {
			t.Errorf("on the other phone: %+v", f.Common)
		}
	}
}

// TestAHuntOfManyRollsIsDeletedWhole: there are more values than one entry can
// name, and none of them counts as overlooked.
func TestAHuntOfManyRollsIsDeletedWhole(t *testing.T) {
	random := counted()
	a, b := sit(t, random), sit(t, random)
	id, _ := a.set(KindHunt, "", `{"source":"rolls"}`)
	for n := range 3*MaxReplaces + 1 {
		a.set(KindHunt, id, fmt.Sprintf(`{"roll/%d":{"coins":50,"done":true}}`, n+1))
	}
	a.keep(a.Count(a.now, id, Counts{Calls: map[string]int64{"ordinary": 50}}))
	b.hear(a)
	_, made, err := a.Write(a.now, Change{
		Kind: KindHunt, Record: id, Saw: HuntOf(a.state, id, a.now).IDs, // without counts, as a screen has them
		Set: map[string]json.RawMessage{"deleted": json.RawMessage("true"), "note": json.RawMessage(`"the wrong box"`)},
	})
	a.keep(made, err)
	for _, e := range made {
		if err := e.Check(); err != nil {
			t.Error(err)
		}
	}
	b.hear(a)
	for _, p := range []*table{a, b} {
		if h := HuntOf(p.state, id, p.now); !h.Deleted || len(h.Overlooked) != 0 || len(h.Conflicts) != 0 {
			t.Errorf("overlooked %v, conflicts %v", missed(h.Common), h.Conflicts)
		}
	}
	// The other phone counts on.
	b.keep(b.Count(b.now, id, Counts{Calls: map[string]int64{"ordinary": 3}}))
	a.hear(b)
	if h := HuntOf(a.state, id, a.now); len(h.Overlooked) != 1 || familyOf(h.Overlooked[0].Field) != huntCount {
		t.Errorf("coins counted since: %v", missed(h.Common))
	}
	// Taken back as one, it was never deleted; done again, it is as before.
	deletion := slices.DeleteFunc(slices.Clone(made), func(e Entry) bool { return e.Field != fieldDeleted })
	back := a.keep(a.Undo(a.now, ids(deletion), a.all))
	if h := HuntOf(a.state, id, a.now); h.Deleted {
		t.Errorf("taken back: %+v", h.Common)
	}
	a.keep(a.Undo(a.now, ids(back), a.all))
	if h := HuntOf(a.state, id, a.now); !h.Deleted || len(h.Overlooked) != 1 {
		t.Errorf("done again: deleted %v, overlooked %d", h.Deleted, len(h.Overlooked))
	}
}

// TestOnlyWhatNoDeleterSawIsOverlooked holds the rule against what the devices
// of a night had really seen, with clocks that are wrong and jump, and in any
// order of arrival.
func TestOnlyWhatNoDeleterSawIsOverlooked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		type phone struct {
			state  *State
			author *Author
			clock  int64
			heard  map[ID]bool
		}
		phones := make([]*phone, rapid.IntRange(1, 4).Draw(t, "phones"))
		for i := range phones {
			s := NewState()
			a, err := NewAuthor(Writer(fmt.Sprint("phone", i)), s)
			if err != nil {
				t.Fatal(err)
			}
			phones[i] = &phone{s, a, rapid.Int64Range(0, 4e12).Draw(t, "clock"), map[ID]bool{}}
		}
		var all []Entry
		seenBy := map[ID]map[ID]bool{} // what the writer of each entry had heard of
		for step := range rapid.IntRange(1, 40).Draw(t, "steps") {
			p := rapid.SampledFrom(phones).Draw(t, "who")
			p.clock += rapid.Int64Range(-1e10, 1e10).Draw(t, "jump")
			if rapid.Bool().Draw(t, "meet") {
				for _, e := range all[:rapid.IntRange(0, len(all)).Draw(t, "hears")] {
					if _, err := p.state.Add(e); err != nil {
						t.Fatal(err)
					}
					p.heard[e.ID] = true
				}
				continue
			}
			field := rapid.SampledFrom([]string{"note", "fate", fieldDeleted}).Draw(t, "field")
			value := fmt.Sprintf(`"step %d"`, step)
			if field == fieldDeleted {
				value = rapid.SampledFrom([]string{"true", "true", "false"}).Draw(t, "value")
			}
			seen := map[ID]bool{}
			for id := range p.heard {
				seen[id] = true
			}
			e, err := p.author.Write(p.state, p.clock, KindFind, someRecord, field, json.RawMessage(value))
			if err != nil {
				t.Fatal(err)
			}
			p.heard[e.ID], seenBy[e.ID] = true, seen
			all = append(all, e)
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		s := rebuilt(t, all, nil)
		deletions := s.Field(someRecord, fieldDeleted)
		want := []ID{}
		if len(deletions) > 0 && string(deletions[0].Value) == "true" {
			for _, field := range []string{"fate", "note"} {
				for _, h := range s.Field(someRecord, field) {
					known := slices.ContainsFunc(deletions, func(d Held) bool {
						old := true // a deleter who had seen nothing else of the record writes as earlier versions did
						for _, e := range all {
							old = old && !(e.Field != fieldDeleted && seenBy[d.ID][e.ID])
						}
						return string(d.Value) == "true" && (seenBy[d.ID][h.ID] || old && !d.Stamp.Less(h.Stamp))
					})
					if !known {
						want = append(want, h.ID)
					}
				}
			}
		}
		got := []ID{}
		for _, o := range PlainOf(s, someRecord).Overlooked {
			got = append(got, o.ID)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("overlooked %v, want %v", got, want)
		}
	})
}

const someRecord = Record("0190a000-0000-7000-8000-000000000001")
