package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
)

// AddDevice stores a device with the SHA-256 of its token, on the disk when it
// returns.
func (db *DB) AddDevice(ctx context.Context, d device.Device, tokenHash [32]byte) error {
	_, err := db.sql.ExecContext(ctx,
		`INSERT INTO devices (id, name, role, token_hash, created, last_seen) VALUES (?, ?, ?, ?, ?, ?)`,
		d.ID, d.Name, string(d.Role), tokenHash[:], d.Created.UnixMilli(), d.LastSeen.UnixMilli())
	if err != nil {
		return explain(db.file, err)
	}
	return db.Present()
}

const deviceColumns = `id, name, role, created, last_seen`

func scanDevice(scan func(...any) error) (device.Device, error) {
	var d device.Device
	var role string
	var created, seen int64
	err := scan(&d.ID, &d.Name, &role, &created, &seen)
	d.Role = device.Role(role)
	d.Created, d.LastSeen = time.UnixMilli(created).UTC(), time.UnixMilli(seen).UTC()
	return d, err
}

// DeviceByToken finds the device that holds a token by its SHA-256. Error:
// fault.NotJoined if there is none, or no more.
func (db *DB) DeviceByToken(ctx context.Context, tokenHash [32]byte) (device.Device, error) {
	row := db.sql.QueryRowContext(ctx, `SELECT `+deviceColumns+` FROM devices WHERE token_hash = ?`, tokenHash[:])
	d, err := scanDevice(row.Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return device.Device{}, fault.New(fault.NotJoined, say.New("join-not-joined"))
	}
	return d, explain(db.file, err)
}

// Devices lists those that are not ended, oldest first.
func (db *DB) Devices(ctx context.Context) ([]device.Device, error) {
	all := []device.Device{}
	err := db.each(ctx, `SELECT `+deviceColumns+` FROM devices WHERE ended IS NULL ORDER BY created, id`,
		func(scan func(...any) error) error {
			d, err := scanDevice(scan)
			all = append(all, d)
			return err
		})
	if err != nil {
		return nil, explain(db.file, err)
	}
	return all, nil
}

// RenameDevice gives a device another name. Error: fault.NotFound for an
// unknown or ended one.
func (db *DB) RenameDevice(ctx context.Context, id, name string) error {
	return db.changeOne(ctx, `UPDATE devices SET name = ? WHERE id = ? AND ended IS NULL`, name, id)
}

// EndDevice takes a device's token away. Error: fault.NotFound for an unknown
// or already ended one.
func (db *DB) EndDevice(ctx context.Context, id string, at time.Time) error {
	return db.changeOne(ctx, `UPDATE devices SET ended = ?, token_hash = NULL WHERE id = ? AND ended IS NULL`, at.UnixMilli(), id)
}

// changeOne runs an update that must meet a device.
func (db *DB) changeOne(ctx context.Context, update string, args ...any) error {
	res, err := db.sql.ExecContext(ctx, update, args...)
	if err != nil {
		return explain(db.file, err)
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return fault.Wrap(fault.NotFound, say.New("join-device-gone"), err)
	}
	return db.Present()
}

// SawDevice notes when a device last spoke.
func (db *DB) SawDevice(ctx context.Context, id string, at time.Time) error {
	_, err := db.sql.ExecContext(ctx, `UPDATE devices SET last_seen = max(last_seen, ?) WHERE id = ?`, at.UnixMilli(), id)
	return explain(db.file, err)
}
