package sqlite

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	sqlite3 "github.com/mattn/go-sqlite3"

	"panside/internal/fault"
	"panside/internal/journal"
)

// TestAFailureAtAnyStepChangesNothing lets each step of a push fail in turn.
// What wasn't acknowledged may only be there if the commit was through, and
// pushing again ends with everything there once.
func TestAFailureAtAnyStepChangesNothing(t *testing.T) {
	broken := errors.New("the disk is gone")
	entries := newPhone(t, "a", journal.NewState()).writeMany(5)
	for failing := 1; ; failing++ {
		db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
		db.push(t, entries[:2]...)
		steps, last := 0, ""
		db.Probe = func(step string) error {
			last = step
			if steps++; steps == failing {
				return broken
			}
			return nil
		}
		_, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: entries})
		db.Probe = nil
		if err == nil {
			if failing < 8 {
				t.Errorf("only %d steps", failing)
			}
			break
		}
		if !errors.Is(err, broken) {
			t.Fatal(err)
		}
		want := 2
		if last == "committed" {
			want = 5
		}
		if got, _, _ := db.pullAll(t, "", 100); len(got) != want {
			t.Errorf("after step %d (%s): %d entries, want %d", failing, last, len(got), want)
		}
		db.push(t, entries...)
		if got, _, _ := db.pullAll(t, "", 100); !same(got, entries) {
			t.Errorf("after step %d and again: %d entries", failing, len(got))
		}
	}
}

// TestAFailureOfTheDatabaseIsNoReceipt lets SQLite itself refuse each entry of a
// batch in turn, keeping the ones before it, and at last the commit.
func TestAFailureOfTheDatabaseIsNoReceipt(t *testing.T) {
	entries := newPhone(t, "a", journal.NewState()).writeMany(5)
	for refused := 1; refused <= len(entries)+1; refused++ {
		db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
		db.sql.SetMaxOpenConns(1) // trigger and hook are a connection's
		_, err := db.sql.ExecContext(t.Context(), fmt.Sprintf(`CREATE TEMP TRIGGER refuses BEFORE INSERT ON main.entries WHEN NEW.seq = %d BEGIN SELECT raise(FAIL, 'refused'); END`, refused))
		if err != nil {
			t.Fatal(err)
		}
		if refused > len(entries) {
			db.onCommit(t, func() int { return 1 })
		}
		if r, err := db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: entries}); err == nil {
			t.Errorf("entry %d was refused, and the receipt is %+v", refused, r)
		}
		db.onCommit(t, nil)
		if got, _, _ := db.pullAll(t, "", 100); len(got) != 0 {
			t.Errorf("entry %d was refused, and %d of the batch were stored", refused, len(got))
		}
		if _, err := db.sql.ExecContext(t.Context(), `DROP TRIGGER refuses`); err != nil {
			t.Fatal(err)
		}
		db.push(t, entries...)
		if got, _, _ := db.pullAll(t, "", 100); !same(got, entries) {
			t.Errorf("pushed again: %d entries", len(got))
		}
	}
}

// onCommit is asked before each commit of the only connection; all but 0 fails it.
func (db *DB) onCommit(t *testing.T, hook func() int) {
	t.Helper()
	conn, err := db.sql.Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	err = conn.Raw(func(c any) error {
		c.(*sqlite3.SQLiteConn).RegisterCommitHook(hook)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestAFullDisk gives the file no more pages. What was acknowledged stays, the
// sentence is plain, and with room again everything goes in.
func TestAFullDisk(t *testing.T) {
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	p := newPhone(t, "a", journal.NewState())
	db.sql.SetMaxOpenConns(1) // the limit is a connection's
	var pages int
	if err := db.sql.QueryRowContext(t.Context(), `PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	if _, err := db.sql.ExecContext(t.Context(), fmt.Sprintf(`PRAGMA max_page_count = %d`, pages+30)); err != nil {
		t.Fatal(err)
	}
	var kept, all []json.RawMessage
	var err error
	for err == nil {
		batch := p.writeMany(50)
		all = append(all, batch...)
		if _, err = db.AddEntries(t.Context(), "D", noon, journal.Batch{V: 1, Entries: batch}); err == nil {
			kept = append(kept, batch...)
		}
	}
	if f := fault.Of(err); f.Code != fault.DataFolder || !strings.Contains(f.English(), "full") {
		t.Errorf("%v", err)
	}
	if got, _, _ := db.pullAll(t, "", 1000); !same(got, kept) {
		t.Errorf("%d entries, %d were acknowledged", len(got), len(kept))
	}
	if _, err := db.sql.ExecContext(t.Context(), `PRAGMA max_page_count = 1000000`); err != nil {
		t.Fatal(err)
	}
	db.push(t, all...)
	if got, _, _ := db.pullAll(t, "", 1000); !same(got, all) {
		t.Errorf("%d of %d entries", len(got), len(all))
	}
}

func TestEntriesCanNotBeChanged(t *testing.T) {
	db := withDevice(t, filepath.Join(t.TempDir(), "x.db"))
	db.push(t, newPhone(t, "a", journal.NewState()).writeMany(2)...)
	for _, change := range []string{`DELETE FROM entries WHERE place = 1`, `UPDATE entries SET entry = '' WHERE place = 1`, `INSERT INTO entries SELECT place + 100, writer, seq, entry, hash, trail, device, arrived FROM entries`} {
		if _, err := db.sql.ExecContext(t.Context(), change); err == nil {
			t.Errorf("%s went through", change)
		}
	}
}

// TestAChangedLetterIsFound changes one letter of an entry in the file, which
// SQLite's own check doesn't see.
func TestAChangedLetterIsFound(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	db := withDevice(t, file)
	db.push(t, newPhone(t, "a", journal.NewState()).write("note", `"a letter to be changed"`))
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(raw, []byte("letter to be changed"))
	if at < 0 {
		t.Fatal("the file doesn't have it")
	}
	raw[at] ^= 1
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), file); code(err) != fault.Damaged {
		t.Errorf("opened: %v", err)
	}
	if _, err := Inspect(t.Context(), file); code(err) != fault.Damaged {
		t.Errorf("inspected: %v", err)
	}
}

// TestEveryColumnOfAnEntryIsHeldToTheOthers: what the journal compares pushes
// and cursors with is as much a part of it as the entries.
func TestEveryColumnOfAnEntryIsHeldToTheOthers(t *testing.T) {
	for _, damage := range []string{
		`UPDATE entries SET entry = replace(entry, 'note 1', 'note 7') WHERE place = 2`,
		`UPDATE entries SET hash = (SELECT hash FROM entries WHERE place = 1) WHERE place = 2`,
		`UPDATE entries SET trail = zeroblob(8) WHERE place = 3`,
		`UPDATE entries SET place = 4 WHERE place = 3`,
		`DELETE FROM entries WHERE place = 2`,
		`DELETE FROM entries WHERE place = 1`,
	} {
		file := filepath.Join(t.TempDir(), "x.db")
		db := withDevice(t, file)
		db.push(t, newPhone(t, "a", journal.NewState()).writeMany(3)...)
		damageBy(t, file, `DROP TRIGGER entries_are_never_changed; DROP TRIGGER entries_are_never_removed; `+damage)
		if _, err := Inspect(t.Context(), file); code(err) != fault.Damaged {
			t.Errorf("%s: inspected: %v", damage, err)
		}
		if _, err := Open(t.Context(), file); code(err) != fault.Damaged {
			t.Errorf("%s: opened: %v", damage, err)
		}
	}
}
