package sqlite

import (
	"context"
	"time"
)

// Origins gives every origin kept, with when it was last noted as served.
func (db *DB) Origins(ctx context.Context) (map[string]time.Time, error) {
	all := map[string]time.Time{}
	err := db.each(ctx, `SELECT origin, last_served FROM origins`, func(scan func(...any) error) error {
		var origin string
		var at int64
		err := scan(&origin, &at)
		all[origin] = time.UnixMilli(at).UTC()
		return err
	})
	if err != nil {
		return nil, explain(db.file, err)
	}
	return all, nil
}

// KeepOrigin notes that the server serves under an origin, new or known.
func (db *DB) KeepOrigin(ctx context.Context, origin string, at time.Time) error {
	_, err := db.sql.ExecContext(ctx,
		`INSERT INTO origins (origin, last_served) VALUES (?, ?)
		 ON CONFLICT (origin) DO UPDATE SET last_served = max(last_served, excluded.last_served)`,
		origin, at.UnixMilli())
	return explain(db.file, err)
}

// DropOrigin forgets an origin; one that isn't there is no error.
func (db *DB) DropOrigin(ctx context.Context, origin string) error {
	_, err := db.sql.ExecContext(ctx, `DELETE FROM origins WHERE origin = ?`, origin)
	return explain(db.file, err)
}
