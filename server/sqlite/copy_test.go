package sqlite

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"panside/internal/fault"
	"panside/internal/journal"
)

// TestACopyIsTheRecordsAtOneMoment copies while entries are pushed.
func TestACopyIsTheRecordsAtOneMoment(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "x.db")
	db := withDevice(t, file)
	p := newPhone(t, "a", journal.NewState())
	all := p.writeMany(200)
	db.push(t, all[:50]...)
	pushed := make(chan error, 1)
	go func() {
		for _, e := range all[50:] {
			if _, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: append(all[:0:0], e)}); err != nil {
				pushed <- err
				return
			}
		}
		pushed <- nil
	}()
	first := filepath.Join(dir, "first.db")
	if err := db.CopyTo(t.Context(), first); err != nil {
		t.Fatal(err)
	}
	second := filepath.Join(dir, "second.db")
	if err := Copy(t.Context(), file, second); err != nil { // as another program
		t.Fatal(err)
	}
	if err := <-pushed; err != nil {
		t.Fatal(err)
	}
	for _, copied := range []string{first, second} {
		facts, err := Inspect(t.Context(), copied)
		if err != nil || facts.Entries < 50 || facts.Entries > 200 || facts.Devices != 1 {
			t.Fatalf("%+v, %v", facts, err)
		}
		back := withDevice(t, copied)
		if got, cursor, _ := back.pullAll(t, "", 1000); !same(got, all[:facts.Entries]) || cursor != facts.Newest {
			t.Errorf("%d entries are not the first ones", len(got))
		}
	}
	if err := db.CopyTo(t.Context(), first); err == nil {
		t.Error("copied over a file that is there")
	}
}

func TestInspectRefusesWhatIsNoRecords(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, slices.Repeat([]byte("not a database\n"), 100), 0o600); err != nil {
		t.Fatal(err)
	}
	empty := filepath.Join(dir, "empty.db")
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]fault.Code{
		text:                          fault.Damaged,
		empty:                         fault.Damaged,
		tornPage(t, dir):              fault.Damaged,
		fromTheFuture(t, dir):         fault.DataFolder,
		filepath.Join(dir, "none.db"): fault.DataFolder,
	} {
		if _, err := Inspect(t.Context(), file); code(err) != want {
			t.Errorf("%s: %v, want %s", filepath.Base(file), err, want)
		}
	}
	if err := Copy(t.Context(), filepath.Join(dir, "none.db"), filepath.Join(dir, "y.db")); code(err) != fault.DataFolder {
		t.Errorf("copying what isn't there: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "none.db")); err == nil {
		t.Error("asking made the file")
	}
}
