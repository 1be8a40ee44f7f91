package sqlite

import (
	"errors"
	"io/fs"

	sqlite3 "github.com/mattn/go-sqlite3"

	"panside/internal/fault"
	"panside/internal/say"
)

// explain turns what the driver or the system says into a sentence, judging by
// codes and never by an error's text. A fault passes through unchanged.
func explain(file string, err error) error {
	var f *fault.Error
	if err == nil || errors.As(err, &f) {
		return err
	}
	var e sqlite3.Error
	if errors.As(err, &e) {
		switch e.Code {
		case sqlite3.ErrCorrupt, sqlite3.ErrNotADB, sqlite3.ErrTooBig:
			return damaged(file, err)
		case sqlite3.ErrReadonly, sqlite3.ErrPerm, sqlite3.ErrAuth:
			return readOnly(file, err)
		case sqlite3.ErrCantOpen:
			return unusable(file, err)
		case sqlite3.ErrFull:
			return fault.Wrap(fault.DataFolder, say.New("records-disk-full", say.Text("file", file)), err)
		case sqlite3.ErrBusy, sqlite3.ErrLocked:
			return fault.Wrap(fault.DataFolder, say.New("records-in-use", say.Text("file", file)), err)
		case sqlite3.ErrIoErr:
			return fault.Wrap(fault.DataFolder, say.New("records-disk-fault", say.Text("file", file)), err)
		}
	}
	switch {
	case errors.Is(err, fs.ErrPermission):
		return readOnly(file, err)
	case errors.As(err, new(*fs.PathError)):
		return unusable(file, err)
	}
	return err
}

func readOnly(file string, err error) error {
	return fault.Wrap(fault.DataFolder, say.New("records-not-allowed", say.Text("file", file)), err)
}

func unusable(file string, err error) error {
	return fault.Wrap(fault.DataFolder, say.New("records-unopened", say.Text("file", file)), err)
}

func damaged(file string, err error) error {
	return fault.Wrap(fault.Damaged, say.New("records-damaged", say.Text("file", file)), err)
}
