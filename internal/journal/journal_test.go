package journal_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/journal"
	"panside/internal/json"
)

var kinds = []string{"find", "hunt"}

// night lets some devices write to some records, each seeing the others only
// when they meet, with clocks that are wrong and jump, and returns all entries.
func night(t *rapid.T) []journal.Entry {
	devices := rapid.IntRange(1, 4).Draw(t, "devices")
	states := make([]*journal.State, devices)
	authors := make([]*journal.Author, devices)
	clocks := make([]int64, devices)
	for i := range devices {
		states[i] = journal.NewState()
		var err error
		if authors[i], err = journal.NewAuthor(journal.Writer(fmt.Sprintf("phone%d", i)), states[i]); err != nil {
			t.Fatal(err)
		}
		clocks[i] = rapid.Int64Range(0, 4e12).Draw(t, "clock") // up to a century apart
	}
	var all []journal.Entry
	for step := range rapid.IntRange(1, 40).Draw(t, "steps") {
		i := rapid.IntRange(0, devices-1).Draw(t, "who")
		clocks[i] += rapid.Int64Range(-1e10, 1e10).Draw(t, "jump")
		if rapid.Bool().Draw(t, "meet") {
			for _, e := range all {
				if rapid.Bool().Draw(t, "sees") {
					if _, err := states[i].Add(e); err != nil {
						t.Fatal(err)
					}
				}
			}
			continue
		}
		record := journal.Record(fmt.Sprintf("0190a000-0000-7000-8000-00000000000%d", rapid.IntRange(0, 2).Draw(t, "record")))
		field := rapid.SampledFrom([]string{"note", "weight", "deleted"}).Draw(t, "field")
		kind := rapid.SampledFrom(kinds).Draw(t, "kind") // two phones may disagree
		e, err := authors[i].Write(states[i], clocks[i], kind, record, field, json.RawMessage(fmt.Sprintf(`"step %d"`, step)))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, e)
	}
	return all
}

func build(t *rapid.T, entries []journal.Entry) *journal.State {
	s := journal.NewState()
	for _, e := range entries {
		if _, err := s.Add(e); err != nil {
			t.Fatalf("adding %v: %v", e.ID, err)
		}
	}
	return s
}

// shown is the whole visible state.
func shown(s *journal.State) map[string]any {
	out := map[string]any{"entries": s.Len(), "gaps": s.Gaps()}
	for _, kind := range kinds {
		for _, id := range s.Records(kind) {
			for _, f := range s.Fields(id) {
				out[kind+" "+string(id)+"/"+f] = s.Field(id, f)
			}
		}
	}
	return out
}

// TestMergeLaws: any order, any repetition and any split of the same entries
// give the same state.
func TestMergeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := night(t)
		want := shown(build(t, all))
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		shuffled := slices.Concat(all, all)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if got := shown(build(t, shuffled)); !reflect.DeepEqual(got, want) {
			t.Fatalf("shuffled and doubled: %v\nwant %v", got, want)
		}
	})
}

// TestNothingIsSilentlyOverwritten: an entry is not shown only if some entry of
// its field says that its writer had seen it.
func TestNothingIsSilentlyOverwritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := night(t)
		s := build(t, all)
		for _, e := range all {
			visible := slices.ContainsFunc(s.Field(e.Record, e.Field), func(h journal.Held) bool { return h.ID == e.ID })
			replaced := slices.ContainsFunc(all, func(o journal.Entry) bool {
				return o.Record == e.Record && o.Field == e.Field && slices.Contains(o.Replaces, e.ID)
			})
			if visible == replaced {
				t.Fatalf("%v: visible %v, replaced %v", e.ID, visible, replaced)
			}
			if !s.Has(e.ID) {
				t.Fatalf("%v is not in the set", e.ID)
			}
		}
	})
}

// TestOneWritersOrderIsKept: among entries of one writer to one field the last
// is shown, whatever its clock did.
func TestOneWritersOrderIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := night(t)
		s := build(t, all)
		for _, e := range all {
			for _, h := range s.Field(e.Record, e.Field) {
				if h.ID.Writer == e.ID.Writer && h.ID.Seq < e.ID.Seq {
					t.Fatalf("%v is shown though its writer wrote %v later", h.ID, e.ID)
				}
			}
		}
	})
}

func TestWireFormComesBackTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, e := range night(t) {
			raw, err := json.Marshal(e)
			if err != nil {
				t.Fatal(err)
			}
			var back journal.Entry
			if err := json.Unmarshal(raw, &back); err != nil {
				t.Fatal(err)
			}
			if back.Hash() != e.Hash() || back.Check() != nil || string(e.Wire()) != string(raw) {
				t.Fatalf("%s comes back as %+v", raw, back)
			}
		}
	})
}

const find = journal.Record("0190a000-0000-7000-8000-000000000001")

func TestARestoredPhoneIsFoundOut(t *testing.T) {
	s := journal.NewState()
	a, _ := journal.NewAuthor("phone", s)
	first, err := a.Write(s, 1, "find", find, "note", json.RawMessage(`"one"`))
	if err != nil {
		t.Fatal(err)
	}
	old := journal.NewState()
	if _, err := old.Add(first); err != nil {
		t.Fatal(err)
	}
	if _, err := a.Write(s, 2, "find", find, "note", json.RawMessage(`"two"`)); err != nil {
		t.Fatal(err)
	}
	again, err := journal.NewAuthor("phone", old)
	if err != nil {
		t.Fatal(err)
	}
	other, err := again.Write(old, 3, "find", find, "note", json.RawMessage(`"other two"`))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Add(other); !errors.Is(err, journal.ErrFork) {
		t.Errorf("a second history under one writer: %v", err)
	}
	if got := s.Field(find, "note"); len(got) != 1 || string(got[0].Value) != `"two"` {
		t.Errorf("the fork changed the state: %v", got)
	}
}

func TestGapsShow(t *testing.T) {
	s, all := journal.NewState(), journal.NewState()
	a, _ := journal.NewAuthor("phone", all)
	var entries []journal.Entry
	for i := range 4 {
		e, err := a.Write(all, int64(i), "find", find, "note", json.RawMessage(`1`))
		if err != nil {
			t.Fatal(err)
		}
		entries = append(entries, e)
	}
	for _, i := range []int{0, 3} {
		if _, err := s.Add(entries[i]); err != nil {
			t.Fatal(err)
		}
	}
	if got := s.Gaps(); !reflect.DeepEqual(got, map[journal.Writer]uint64{"phone": 2}) {
		t.Errorf("gaps %v", got)
	}
	after, err := journal.NewAuthor("phone", s)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := after.Write(s, 9, "find", find, "fate", json.RawMessage(`2`)); err == nil {
		t.Error("an author went on after a gap")
	}
	if all.Gaps() != nil {
		t.Errorf("a whole history has gaps %v", all.Gaps())
	}
}

// TestAClockYearsAhead neither drags the others along nor wins for good.
func TestAClockYearsAhead(t *testing.T) {
	const year = 365 * 24 * 3600 * 1000
	s := journal.NewState()
	right, _ := journal.NewAuthor("right", s)
	ahead, _ := journal.NewAuthor("ahead", s)
	write := func(a *journal.Author, now int64, v string) journal.Entry {
		t.Helper()
		e, err := a.Write(s, now, "find", find, "note", json.RawMessage(v))
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	write(right, 50*year, `1`)
	write(ahead, 60*year, `2`)
	e := write(right, 50*year+1000, `3`)
	if e.Stamp.Millis > 50*year+2*journal.MaxAhead {
		t.Errorf("the right clock was dragged to %v", e.Stamp)
	}
	if got := s.Field(find, "note"); len(got) != 1 || string(got[0].Value) != `3` {
		t.Errorf("the edit of one who had seen the other is not shown: %v", got)
	}
}

// TestAClockAnHourAhead is followed: what replaces a value is stamped later than
// that, and a writer's own stamps never go back, over a new start either.
func TestAClockAnHourAhead(t *testing.T) {
	const hour = 3600 * 1000
	s := journal.NewState()
	last := journal.Stamp{}
	for _, tc := range []struct {
		phone journal.Writer
		now   int64
	}{{"right", 50 * hour}, {"ahead", 51 * hour}, {"right", 50*hour + 1000}, {"ahead", 20 * hour}, {"right", 50*hour + 1000}} {
		a, err := journal.NewAuthor(tc.phone, s)
		if err != nil {
			t.Fatal(err)
		}
		e, err := a.Write(s, tc.now, "find", find, "note", json.RawMessage(`1`))
		if err != nil || !last.Less(e.Stamp) {
			t.Errorf("%s at %d: %v after %v, %v", tc.phone, tc.now, e.Stamp, last, err)
		}
		last = e.Stamp
		other, err := a.Write(s, tc.now-hour, "find", find, string("of-"+tc.phone), json.RawMessage(`1`))
		if err != nil || !e.Stamp.Less(other.Stamp) {
			t.Errorf("%s put back its clock: %v after %v, %v", tc.phone, other.Stamp, e.Stamp, err)
		}
	}
	again, err := journal.NewAuthor("ahead", s)
	if err != nil {
		t.Fatal(err)
	}
	e, err := again.Write(s, 0, "find", find, "fate", json.RawMessage(`1`))
	if err != nil || e.Stamp.Millis < 51*hour {
		t.Errorf("started anew with a clock years behind: %v, %v", e.Stamp, err)
	}
}

// TestNoClockStopsAWriter: whatever the phone says the time is, the entry can
// be written.
func TestNoClockStopsAWriter(t *testing.T) {
	s := journal.NewState()
	for _, now := range []int64{0, -1, math.MinInt64, math.MaxInt64, 0} {
		a, err := journal.NewAuthor(journal.Writer(fmt.Sprint("phone", s.Len())), s)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.Write(s, now, "find", find, "note", json.RawMessage(`1`)); err != nil {
			t.Errorf("at %d: %v", now, err)
		}
	}
	var c journal.Clock
	c.Saw(journal.Stamp{Millis: 5, Count: math.MaxUint32}, 5)
	if got, want := c.Tick(5), (journal.Stamp{Millis: 6}); got != want {
		t.Errorf("after the last count of a millisecond: %v, want %v", got, want)
	}
}

// TestManyValuesOfOneField: more than an entry can name stay beside its value
// and go with the next one.
func TestManyValuesOfOneField(t *testing.T) {
	s := journal.NewState()
	for i := range journal.MaxReplaces + 6 {
		alone := journal.NewState()
		a, err := journal.NewAuthor(journal.Writer(fmt.Sprint("phone", i)), alone)
		if err != nil {
			t.Fatal(err)
		}
		e, err := a.Write(alone, int64(i), "find", find, "note", json.RawMessage(fmt.Sprint(i)))
		if err == nil {
			_, err = s.Add(e)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	a, _ := journal.NewAuthor("last", s)
	for _, want := range []int{7, 1} {
		if _, err := a.Write(s, 1000, "find", find, "note", json.RawMessage(`"all"`)); err != nil {
			t.Fatal(err)
		}
		if got := s.Field(find, "note"); len(got) != want {
			t.Errorf("%d values, want %d", len(got), want)
		}
	}
}

// TestForksOutOfOrderAreFoundOut: a second history shows by its hashes also
// where the entries come with gaps, and changes nothing.
func TestForksOutOfOrderAreFoundOut(t *testing.T) {
	history := func(value string) (entries []journal.Entry) {
		s := journal.NewState()
		a, _ := journal.NewAuthor("phone", s)
		for i, field := range []string{"note", "kind", "fate", "certainty"} {
			e, err := a.Write(s, int64(i), "find", find, field, json.RawMessage(value))
			if err != nil {
				t.Fatal(err)
			}
			entries = append(entries, e)
		}
		return entries
	}
	mine, other := history(`1`), history(`2`)
	for what, tc := range map[string]struct {
		here []int
		fork int
	}{
		"under a number that is here":          {[]int{0, 1}, 0},
		"behind the whole part":                {[]int{0}, 1},
		"under a number beyond a gap":          {[]int{0, 2}, 2},
		"behind one beyond a gap":              {[]int{0, 2}, 3},
		"before one beyond a gap":              {[]int{2}, 1},
		"into the gap, of the other's chain":   {[]int{0, 2}, 1},
		"the first, before the second is here": {[]int{1}, 0},
	} {
		s := journal.NewState()
		for _, i := range tc.here {
			if _, err := s.Add(mine[i]); err != nil {
				t.Fatal(err)
			}
		}
		before := shown(s)
		if added, err := s.Add(other[tc.fork]); added || !errors.Is(err, journal.ErrFork) || !reflect.DeepEqual(shown(s), before) {
			t.Errorf("%s: added %v, %v", what, added, err)
		}
	}
}

func TestCheckRefuses(t *testing.T) {
	good := journal.Entry{
		ID: journal.ID{Writer: "phone", Seq: 2}, Stamp: journal.Stamp{Millis: 5}, Record: find, Kind: "find", Field: "note",
		Value: json.RawMessage(`"x"`), Prev: journal.Hash(fmt.Sprintf("%064d", 7)),
	}
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*journal.Entry){
		"no writer":      func(e *journal.Entry) { e.ID.Writer = "" },
		"odd writer":     func(e *journal.Entry) { e.ID.Writer = "a.b" },
		"seq zero":       func(e *journal.Entry) { e.ID.Seq = 0 },
		"first has prev": func(e *journal.Entry) { e.ID.Seq = 1 },
		"no prev":        func(e *journal.Entry) { e.Prev = "" },
		"odd prev":       func(e *journal.Entry) { e.Prev = "00" },
		"before 1970":    func(e *journal.Entry) { e.Stamp.Millis = -1 },
		"record":         func(e *journal.Entry) { e.Record = "x" },
		"kind":           func(e *journal.Entry) { e.Kind = "Find!" },
		"field":          func(e *journal.Entry) { e.Field = "" },
		"no value":       func(e *journal.Entry) { e.Value = nil },
		"loose value":    func(e *journal.Entry) { e.Value = json.RawMessage(`{ "a": 1 }`) },
		"broken value":   func(e *journal.Entry) { e.Value = json.RawMessage(`{`) },
		"large value":    func(e *journal.Entry) { e.Value = json.RawMessage(fmt.Sprintf(`"%0*d"`, journal.MaxValue, 1)) },
		"own future":     func(e *journal.Entry) { e.Replaces = []journal.ID{{Writer: "phone", Seq: 3}} },
		"itself":         func(e *journal.Entry) { e.Replaces = []journal.ID{e.ID} },
		"unordered":      func(e *journal.Entry) { e.Replaces = []journal.ID{{Writer: "b", Seq: 1}, {Writer: "a", Seq: 1}} },
		"twice the same": func(e *journal.Entry) { e.Replaces = []journal.ID{{Writer: "a", Seq: 1}, {Writer: "a", Seq: 1}} },
	} {
		e := good
		change(&e)
		if e.Check() == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func FuzzEntry(f *testing.F) {
	f.Add([]byte(`{"id":"phone.1","at":"5.0","record":"0190a000-0000-7000-8000-000000000001","kind":"find","field":"note","value":"x"}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var e journal.Entry
		if json.Unmarshal(raw, &e) != nil || e.Check() != nil {
			return
		}
		again, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		var back journal.Entry
		if err := json.Unmarshal(again, &back); err != nil || back.Hash() != e.Hash() {
			t.Fatalf("%s comes back as %s: %v", raw, again, err)
		}
	})
}
