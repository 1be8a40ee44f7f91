// Package sqlite keeps the server's records in one SQLite file.
//
// Settings that belong to a connection (waiting for a lock, write-ahead log,
// full synchronisation, foreign keys) stand in the connection string, because
// database/sql opens further connections whenever it likes and a PRAGMA run
// once would miss them.
package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	_ "github.com/mattn/go-sqlite3" // the driver
	"github.com/pressly/goose/v3"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
)

//go:embed migrations/*.sql
var migrations embed.FS

// DB is the open file. Its methods are safe for concurrent use.
type DB struct {
	// Probe, if set, is asked before each step that changes the journal, by the
	// step's name: begin of an entry, commit, committed. Its error fails the
	// step. Tests let the program fail or end there.
	Probe func(step string) error
	// Promise, if set, is told how far the journal and the chains of a batch's
	// writers go, once they are on the disk and before the batch is acknowledged.
	// Its error fails the push, which can be repeated.
	Promise func(count int64, heads []journal.Head) error

	file string
	made os.FileInfo // of the file that was opened
	sql  *sql.DB
}

func (db *DB) probe(step string) error {
	if db.Probe == nil {
		return nil
	}
	return db.Probe(step)
}

// Open opens the file, makes it if it isn't there, checks it whole and brings
// its tables up to date. It must lie in an existing folder.
//
// Errors are fault.DataFolder (unreadable, read-only, full, or written by a
// newer version) and fault.Damaged.
func Open(ctx context.Context, file string) (*DB, error) {
	// Made here and not by SQLite, so that only its owner can read it; the
	// write-ahead log takes over the same mode.
	f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, explain(file, err)
	}
	made, err := f.Stat()
	if err := errors.Join(err, f.Close()); err != nil {
		return nil, explain(file, err)
	}
	pool, err := sql.Open("sqlite3", dsn(file))
	if err != nil {
		return nil, explain(file, err)
	}
	db := &DB{file: file, made: made, sql: pool}
	if err := db.prepare(ctx); err != nil {
		return nil, errors.Join(explain(file, err), pool.Close())
	}
	return db, nil
}

// dsn is the connection string. WAL alone makes this driver fall back to
// synchronous=NORMAL, which may lose the last commits when the power goes.
func dsn(file string) string {
	path := filepath.ToSlash(file)
	if abs, err := filepath.Abs(file); err == nil {
		path = filepath.ToSlash(abs)
	}
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a Windows drive
	}
	q := url.Values{
		"_busy_timeout": {"5000"},
		"_journal_mode": {"WAL"},
		"_synchronous":  {"FULL"},
		"_foreign_keys": {"on"},
		"_txlock":       {"immediate"}, // a transaction that will write waits at its start, where waiting is safe
	}
	u := url.URL{Scheme: "file", Path: path, RawQuery: q.Encode()}
	return u.String()
}

func (db *DB) prepare(ctx context.Context) error {
	if err := db.check(ctx); err != nil {
		return err
	}
	steps, err := db.steps()
	if err != nil {
		return err
	}
	if _, err := db.notNewer(ctx, steps); err != nil {
		return err
	}
	if _, err := steps.Up(ctx); err != nil {
		return err
	}
	_, _, err = db.checkEntries(ctx)
	return err
}

// steps are the numbered migrations.
func (db *DB) steps() (*goose.Provider, error) {
	dir, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, db.sql, dir, goose.WithDisableGlobalRegistry(true))
}

// notNewer returns the file's schema, or refuses one this program doesn't know.
func (db *DB) notNewer(ctx context.Context, steps *goose.Provider) (int64, error) {
	current, newest, err := steps.GetVersions(ctx)
	if err == nil && current > newest {
		err = fault.Wrap(fault.DataFolder,
			say.New("records-newer", say.Text("file", db.file)),
			fmt.Errorf("schema %d, this program knows %d", current, newest))
	}
	return current, err
}

// check reads the whole file. Both pragmas report what is wrong as rows, not
// as an error.
func (db *DB) check(ctx context.Context) error {
	var found []string
	err := db.each(ctx, "PRAGMA integrity_check", func(scan func(...any) error) error {
		var line string
		if err := scan(&line); err != nil {
			return err
		}
		if line != "ok" {
			found = append(found, line)
		}
		return nil
	})
	if err != nil {
		return err
	}
	err = db.each(ctx, "PRAGMA foreign_key_check", func(scan func(...any) error) error {
		var table, parent string
		var row sql.NullInt64
		var key int
		if err := scan(&table, &row, &parent, &key); err != nil {
			return err
		}
		found = append(found, fmt.Sprintf("row %d of %s names a missing row of %s", row.Int64, table, parent))
		return nil
	})
	if err != nil {
		return err
	}
	if len(found) > 0 {
		return damaged(db.file, errors.New(strings.Join(found, "; ")))
	}
	return nil
}

// each runs a query and calls row for every row of the answer.
func (db *DB) each(ctx context.Context, query string, row func(scan func(...any) error) error, args ...any) error {
	rows, err := db.sql.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := row(rows.Scan); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Close closes the file; what was committed is on the disk already.
func (db *DB) Close() error { return db.sql.Close() }
