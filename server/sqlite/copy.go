package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"os"

	sqlite3 "github.com/mattn/go-sqlite3"
)

// CopyTo writes the records as they are at one moment to a new file, while they
// are in use. Errors: as of Open; the target must not exist.
func (db *DB) CopyTo(ctx context.Context, target string) error {
	return explain(db.file, copyTo(ctx, db.sql, target))
}

// Copy is CopyTo for records that another program may have open. It changes
// nothing of them, not even to bring their tables up to date.
func Copy(ctx context.Context, file, target string) error {
	if _, err := os.Stat(file); err != nil {
		return explain(file, err) // opening would make it
	}
	pool, err := sql.Open("sqlite3", dsn(file))
	if err != nil {
		return explain(file, err)
	}
	return explain(file, errors.Join(copyTo(ctx, pool, target), pool.Close()))
}

func copyTo(ctx context.Context, pool *sql.DB, target string) error {
	_, err := pool.ExecContext(ctx, `VACUUM INTO ?`, target)
	return err
}

// Fold puts what a killed program left beside the records into their file, so
// that it is whole by itself. Errors: as of Open.
func Fold(ctx context.Context, file string) error {
	if _, err := os.Stat(file); err != nil {
		return explain(file, err) // opening would make it
	}
	pool, err := sql.Open("sqlite3", dsn(file))
	if err != nil {
		return explain(file, err)
	}
	_, err = pool.ExecContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`)
	return explain(file, errors.Join(err, pool.Close()))
}

// Facts are what a file of records holds.
type Facts struct {
	Entries int
	Devices int // that may talk to the server
	Newest  string
}

// Inspect checks a file of records whole and tells what it holds, without
// bringing it up to date. Errors: as of Open.
func Inspect(ctx context.Context, file string) (Facts, error) {
	if _, err := os.Stat(file); err != nil {
		return Facts{}, explain(file, err)
	}
	pool, err := sql.Open("sqlite3", dsn(file))
	if err != nil {
		return Facts{}, explain(file, err)
	}
	db := &DB{file: file, sql: pool}
	var facts Facts
	if err = db.limit(ctx); err == nil {
		facts, err = db.inspect(ctx)
	}
	return facts, explain(file, errors.Join(err, pool.Close()))
}

// longest is more than any value in the records has: a push has at most 1 MiB.
const longest = 8 << 20

// limit lets no value of a file take much memory: it may be anybody's.
func (db *DB) limit(ctx context.Context) error {
	db.sql.SetMaxOpenConns(1) // the limit is a connection's
	conn, err := db.sql.Conn(ctx)
	if err != nil {
		return err
	}
	err = conn.Raw(func(c any) error {
		c.(*sqlite3.SQLiteConn).SetLimit(sqlite3.SQLITE_LIMIT_LENGTH, longest)
		return nil
	})
	return errors.Join(err, conn.Close())
}

func (db *DB) inspect(ctx context.Context) (f Facts, err error) {
	if err := db.check(ctx); err != nil {
		return f, err
	}
	steps, err := db.steps()
	if err != nil {
		return f, err
	}
	current, err := db.notNewer(ctx, steps)
	if err != nil {
		return f, err
	}
	if current < 1 {
		return f, damaged(db.file, errors.New("no tables"))
	}
	if err := db.readAll(ctx); err != nil {
		return f, err
	}
	if err := db.sql.QueryRowContext(ctx, `SELECT count(*) FROM devices WHERE ended IS NULL`).Scan(&f.Devices); err != nil {
		return f, err
	}
	if current < journalSince {
		return f, nil
	}
	count, last, err := db.checkEntries(ctx)
	f.Entries, f.Newest = count, last.String()
	return f, err
}

// readAll reads every value of every table, so that one that is too long shows.
func (db *DB) readAll(ctx context.Context) error {
	var tables []string
	err := db.each(ctx, `SELECT replace(name, '"', '""') FROM sqlite_schema WHERE type = 'table'`, func(scan func(...any) error) error {
		var name string
		err := scan(&name)
		tables = append(tables, name)
		return err
	})
	for _, name := range tables {
		err = errors.Join(err, db.each(ctx, `SELECT * FROM "`+name+`"`, func(func(...any) error) error { return nil }))
	}
	return err
}

// journalSince is the schema that first had entries.
const journalSince = 2
