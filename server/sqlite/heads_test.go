package sqlite

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"panside/internal/fault"
	"panside/internal/journal"
)

// TestHeads: what a push promises is what is there, also for a batch of which
// all was known, and a promise that fails is no receipt.
func TestHeads(t *testing.T) {
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	var counts []int64
	var told []journal.Head
	broken := errors.New("the disk is full")
	var fails error
	db.Promise = func(count int64, heads []journal.Head) error {
		if fails == nil {
			counts, told = append(counts, count), heads
		}
		return fails
	}
	state := journal.NewState()
	a, b := newPhone(t, "a", state), newPhone(t, "b", state)
	db.push(t, a.writeMany(3)...)
	second := b.writeMany(2)
	fails = broken
	if _, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: second}); !errors.Is(err, broken) {
		t.Errorf("a push that couldn't be promised: %v", err)
	}
	fails = nil
	if r := db.push(t, second...); r.Known != 2 {
		t.Errorf("%+v", r)
	}
	count, heads, err := db.Heads(t.Context())
	if err != nil || count != 5 || len(heads) != 2 || heads[0].Writer != "a" || heads[0].Seq != 3 || heads[0].By != "d" || heads[0].At != noon.UnixMilli() {
		t.Fatalf("%d %+v, %v", count, heads, err)
	}
	if !slices.Equal(counts, []int64{3, 5}) || !slices.Contains(told, heads[1]) {
		t.Errorf("told %v, and last %+v, want %+v", counts, told, heads[1])
	}
	for _, h := range heads {
		if ok, err := db.Holds(t.Context(), h); !ok || err != nil {
			t.Errorf("%+v isn't held, %v", h, err)
		}
		h.Hash = "other"
		if ok, err := db.Holds(t.Context(), h); ok || err != nil {
			t.Errorf("%+v is held, %v", h, err)
		}
		h.Seq += 10
		if ok, err := db.Holds(t.Context(), h); ok || err != nil {
			t.Errorf("%+v is held, %v", h, err)
		}
	}
	before, err := db.Mark(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	db.push(t, second...)
	if same, err := db.Mark(t.Context()); same != before || err != nil {
		t.Errorf("nothing new, and the mark went from %q to %q, %v", before, same, err)
	}
	db.push(t, a.writeMany(1)...)
	if after, err := db.Mark(t.Context()); after == before || err != nil {
		t.Errorf("the mark is still %q, %v", after, err)
	}
}

// TestNothingIsPromisedIntoNowhere: the file is replaced by a copy of itself.
func TestNothingIsPromisedIntoNowhere(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	db := withDevice(t, file)
	entries := newPhone(t, "a", journal.NewState()).writeMany(2)
	db.push(t, entries[0])
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Rename(file, file+".old"), os.WriteFile(file, raw, 0o600)); err != nil {
		t.Fatal(err)
	}
	if _, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: entries[1:]}); code(err) != fault.DataFolder {
		t.Errorf("a push: %v", err)
	}
	if err := db.RenameDevice(t.Context(), "D", "other"); code(err) != fault.DataFolder {
		t.Errorf("a rename: %v", err)
	}
}
