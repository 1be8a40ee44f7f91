package sqlite

import (
	"context"
	"database/sql"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"panside/internal/journal"
)

var update = flag.Bool("update", false, "write testdata/db/schema-N.sql for past schemas that have none yet")

// past is the file that keeps a database of a schema, as the statements that
// make it.
func past(schema int64) string { return fmt.Sprintf("../../testdata/db/schema-%d.sql", schema) }

// TestDatabasesOfEverySchemaOpen opens a database as each past version left it,
// and finds what was in it.
func TestDatabasesOfEverySchemaOpen(t *testing.T) {
	newest := newestSchema(t)
	for schema := int64(1); schema <= newest; schema++ {
		t.Run(fmt.Sprint(schema), func(t *testing.T) {
			statements, err := os.ReadFile(past(schema))
			switch {
			case schema == newest:
				statements = freeze(t, schema) // not past yet
			case os.IsNotExist(err) && *update:
				statements = freeze(t, schema)
				if err := os.WriteFile(past(schema), statements, 0o644); err != nil {
					t.Fatal(err)
				}
			case err != nil:
				t.Fatalf("every past schema keeps a database of its time; run this test with -update once: %v", err)
			}
			file := filepath.Join(t.TempDir(), "old.db")
			old, err := sql.Open("sqlite3", file)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := old.ExecContext(t.Context(), string(statements)); err != nil {
				t.Fatal(err)
			}
			if err := old.Close(); err != nil {
				t.Fatal(err)
			}
			facts, err := Inspect(t.Context(), file)
			if err != nil || facts.Devices != 2 || (facts.Entries == 3) != (schema >= journalSince) {
				t.Errorf("before: %+v, %v", facts, err)
			}
			db := open(t, file)
			devices, err := db.Devices(t.Context())
			if err != nil || len(devices) != 2 || devices[0].Name != "Kitchen phone" {
				t.Errorf("devices %+v, %v", devices, err)
			}
			if schema >= journalSince {
				got, cursor, _ := db.pullAll(t, "", 100)
				if !same(got, pastEntries(t)) || cursor != facts.Newest {
					t.Errorf("%d entries up to %s", len(got), cursor)
				}
			}
			if err := db.Close(); err != nil {
				t.Fatal(err)
			}
			if again, err := Inspect(t.Context(), file); err != nil || again != facts {
				t.Errorf("after: %+v, %v", again, err)
			}
		})
	}
}

func newestSchema(t *testing.T) int64 {
	t.Helper()
	list, err := migrations.ReadDir("migrations")
	if err != nil {
		t.Fatal(err)
	}
	return int64(len(list)) // numbered from 1 without gaps
}

func pastEntries(t *testing.T) []json.RawMessage {
	t.Helper()
	return newPhone(t, "a-phone-of-its-time", journal.NewState()).writeMany(3)
}

// freeze makes a database of a schema and writes it as statements.
func freeze(t *testing.T, schema int64) []byte {
	t.Helper()
	file := filepath.Join(t.TempDir(), "new.db")
	pool, err := sql.Open("sqlite3", dsn(file))
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	db := &DB{file: file, sql: pool}
	steps, err := db.steps()
	if err != nil {
		t.Fatal(err)
	}
	ctx := t.Context()
	if _, err := steps.UpTo(ctx, schema); err != nil {
		t.Fatal(err)
	}
	if db.made, err = os.Stat(file); err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"Kitchen phone", "Laptop"} {
		if _, err := pool.ExecContext(ctx, `INSERT INTO devices (id, name, role, token_hash, created, last_seen) VALUES (?, ?, ?, ?, ?, ?)`,
			string(rune('D'+i)), name, []string{"phone", "desk"}[i], append(make([]byte, 31), byte(i)), 1_750_000_000_000+i, 1_750_000_000_000+i); err != nil {
			t.Fatal(err)
		}
	}
	if schema >= journalSince {
		db.push(t, pastEntries(t)...)
	}
	return dump(ctx, t, pool)
}

// dump writes a database as the statements that make it again.
func dump(ctx context.Context, t *testing.T, pool *sql.DB) []byte {
	t.Helper()
	db := &DB{sql: pool}
	var tables, others []string
	var b strings.Builder
	err := db.each(ctx, `SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' ORDER BY rowid`, func(scan func(...any) error) error {
		var kind, name, text string
		if err := scan(&kind, &name, &text); err != nil {
			return err
		}
		if kind == "table" {
			tables = append(tables, name)
			b.WriteString(text + ";\n")
		} else {
			others = append(others, text+";\n")
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range tables {
		var columns []string
		err := db.each(ctx, `SELECT name FROM pragma_table_info(?)`, func(scan func(...any) error) error {
			var name string
			err := scan(&name)
			columns = append(columns, `quote("`+name+`")`)
			return err
		}, table)
		if err == nil {
			err = db.each(ctx, `SELECT `+strings.Join(columns, ` || ', ' || `)+` FROM "`+table+`"`, func(scan func(...any) error) error {
				var row string
				err := scan(&row)
				b.WriteString(`INSERT INTO "` + table + `" VALUES (` + row + ");\n")
				return err
			})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return []byte(b.String() + strings.Join(others, ""))
}
