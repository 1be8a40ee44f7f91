package sqlite

import (
	"context"
	"database/sql"
	"encoding/hex"
	"errors"
	"os"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
)

// Heads tells how many entries there are and how far each writer's chain goes,
// in order of writers.
func (db *DB) Heads(ctx context.Context) (count int64, heads []journal.Head, err error) {
	at, err := newest(ctx, db.sql)
	if err != nil {
		return 0, nil, explain(db.file, err)
	}
	err = db.each(ctx, `
		SELECT w.name, e.seq, e.hash, e.arrived, coalesce(d.name, '')
		FROM (SELECT writer, max(seq) AS seq FROM entries GROUP BY writer) last
		JOIN entries e ON e.writer = last.writer AND e.seq = last.seq
		JOIN writers w ON w.id = e.writer LEFT JOIN devices d ON d.id = e.device
		ORDER BY w.name`, func(scan func(...any) error) error {
		var h journal.Head
		var hash []byte
		err := scan(&h.Writer, &h.Seq, &hash, &h.At, &h.By)
		h.Hash = journal.Hash(hex.EncodeToString(hash))
		heads = append(heads, h)
		return err
	})
	return at.place, heads, explain(db.file, err)
}

// Count tells how many entries there are.
func (db *DB) Count(ctx context.Context) (int64, error) {
	at, err := newest(ctx, db.sql)
	return at.place, explain(db.file, err)
}

// Holds reports whether the entry of a head is here.
func (db *DB) Holds(ctx context.Context, h journal.Head) (bool, error) {
	var hash []byte
	err := db.sql.QueryRowContext(ctx, `
		SELECT e.hash FROM entries e JOIN writers w ON w.id = e.writer
		WHERE w.name = ? AND e.seq = ?`, string(h.Writer), int64(h.Seq)).Scan(&hash)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	return err == nil && hex.EncodeToString(hash) == string(h.Hash), explain(db.file, err)
}

// Check reads all of the file, as Open does, over a connection of its own, which
// remembers nothing of what it read before. Error: fault.Damaged.
func (db *DB) Check(ctx context.Context) error {
	if err := db.Present(); err != nil {
		return err
	}
	pool, err := sql.Open("sqlite3", dsn(db.file))
	if err != nil {
		return explain(db.file, err)
	}
	fresh := &DB{file: db.file, sql: pool}
	err = fresh.check(ctx)
	if err == nil {
		_, _, err = fresh.checkEntries(ctx)
	}
	return explain(db.file, errors.Join(err, pool.Close()))
}

// Mark stands for all that a copy of the records would hold: it changes when
// something new came. That a device was seen again is nothing new.
func (db *DB) Mark(ctx context.Context) (mark string, err error) {
	err = db.sql.QueryRowContext(ctx, `
		SELECT (SELECT coalesce(max(place), 0) FROM entries) || ' ' ||
		       (SELECT count(*) || ' ' || count(ended) || ' ' || coalesce(group_concat(name), '') FROM devices) || ' ' ||
		       (SELECT coalesce(max(id), 0) FROM scale_checks)`).Scan(&mark)
	return mark, explain(db.file, err)
}

// Present finds out that the file was taken away or replaced while it is in use.
// The system would go on writing into the one that nobody finds again.
func (db *DB) Present() error {
	now, err := os.Stat(db.file)
	if err == nil && os.SameFile(now, db.made) {
		_, err = os.Stat(db.file + "-wal")
		if err == nil {
			return nil
		}
	}
	return fault.Wrap(fault.DataFolder, say.New("records-folder-gone"), err)
}
