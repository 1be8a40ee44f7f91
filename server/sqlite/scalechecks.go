package sqlite

import (
	"context"
	"database/sql"
	"encoding/json"
	"time"
)

// ScaleCheck is a kept check of a scale with weights.
type ScaleCheck struct {
	ID      int64
	Scale   string // as its port or address names it
	Dialect string
	Taken   time.Time
	Device  string          // who sent it; "" for the laptop's own terminal
	Record  json.RawMessage // as the core's method scale-check takes it
}

// AddScaleCheck keeps a check, on the disk when it returns, and gives its ID.
// Earlier ones stay.
func (db *DB) AddScaleCheck(ctx context.Context, c ScaleCheck) (int64, error) {
	res, err := db.sql.ExecContext(ctx,
		`INSERT INTO scale_checks (scale, dialect, taken, device, record) VALUES (?, ?, ?, ?, ?)`,
		c.Scale, c.Dialect, c.Taken.UnixMilli(), sql.NullString{String: c.Device, Valid: c.Device != ""}, string(c.Record))
	if err != nil {
		return 0, explain(db.file, err)
	}
	id, err := res.LastInsertId()
	if err != nil {
		return 0, explain(db.file, err)
	}
	return id, db.Present()
}

// NewestScaleChecks gives the check kept last for each scale and line format.
func (db *DB) NewestScaleChecks(ctx context.Context) ([]ScaleCheck, error) {
	var all []ScaleCheck
	err := db.each(ctx,
		`SELECT id, scale, dialect, taken, device, record FROM scale_checks
		 WHERE id IN (SELECT max(id) FROM scale_checks GROUP BY scale, dialect) ORDER BY id`,
		func(scan func(...any) error) error {
			var c ScaleCheck
			var taken int64
			var device sql.NullString
			var record string
			err := scan(&c.ID, &c.Scale, &c.Dialect, &taken, &device, &record)
			c.Taken, c.Device, c.Record = time.UnixMilli(taken).UTC(), device.String, json.RawMessage(record)
			all = append(all, c)
			return err
		})
	if err != nil {
		return nil, explain(db.file, err)
	}
	return all, nil
}
